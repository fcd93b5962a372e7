"""Libraries as literal text, and findings as literal lines: what most tests begin and end with."""

import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from textwrap import dedent

from procgen.checks.examine import Examined, examine
from procgen.finding import Finding
from procgen.library.load import load

TODAY = date(2026, 11, 1)
"""The day for which the libraries of the tests are judged."""


Files = Mapping[str, str] | Mapping[str, bytes] | str
"""Texts, or bytes as they are, by path; one text alone is the file `library.yaml`."""


def write(folder: Path, files: Files) -> Path:
    """Write a library. Gives the folder."""
    for name, text in ({"library.yaml": files} if isinstance(files, str) else files).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else dedent(text).encode("utf-8"))
    return folder


def examined(files: Files) -> Examined:
    """A library of these files, judged by every check."""
    with tempfile.TemporaryDirectory() as folder:
        return examine(load(write(Path(folder), files)), TODAY)


def one_line(finding: Finding) -> str:
    """`file:line:column severity check: message`."""
    return f"{finding.place} {finding.severity} {finding.check}: {finding.message}"


def lines(files: Files, *checks: str) -> list[str]:
    """What is found in a library, one line each; only findings of `checks` where any are named."""
    return [one_line(finding) for finding in examined(files).findings if not checks or finding.check in checks]
