"""A folder's files, and builds in a process of their own that may die on the way."""

import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from procgen.manual.page import Page

PROJECT = Path(__file__).parent.parent.parent


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too: path to content."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def pages(files: Mapping[str, bytes]) -> list[Page]:
    return [Page(path, content) for path, content in files.items()]


def python(program: str, *arguments: str | Path, as_nobody: bool = False) -> subprocess.Popen[str]:
    """Run a program in a new interpreter, from the project's folder."""
    preamble = "import os, sys; os.setegid(65534); os.seteuid(65534)\n" if as_nobody else ""
    return subprocess.Popen(
        [sys.executable, "-c", program.replace("# become nobody\n", preamble), *map(str, arguments)],
        cwd=PROJECT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
