"""The files of a library: which there are, what kind each is, and their text as trees."""

import os
import stat
from collections.abc import Collection
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from procgen.finding import Finding, Place, Severity, in_order
from procgen.library.origin import Kind
from procgen.library.schema import KIND_OF_KEY
from procgen.library.validate import validate
from procgen.library.yaml_reading import read
from procgen.library.yaml_tree import Map

CATALOGUES = frozenset({Kind.TOOL, Kind.PART, Kind.SOURCE, Kind.NOTICE, Kind.TERM})
"""Files that hold many records and have no id of their own."""

_SUFFIXES = (".yaml", ".yml")
_BIGGEST = 2_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFile:
    """One file of a library, as far as it could be read."""

    path: str
    """Relative to the library, with forward slashes."""
    kind: Kind | None
    """None where the first key is no kind, or nothing could be read."""
    id: str
    """Empty for catalogues, and where it could not be read."""
    data: Map
    bad: frozenset[tuple[str | int, ...]]
    """Paths of values that are not what the format asks for; already reported."""
    damaged: bool
    """Something that the author wrote is not in `data`: nothing may be concluded from what is missing."""
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLibrary:
    """All files of a library, in the order of their paths."""

    root: Path
    files: tuple[SourceFile, ...]
    findings: tuple[Finding, ...]
    """Of all files, and of those that could not be read."""


def read_library(root: Path, leave_out: Collection[Path] = ()) -> ReadLibrary:
    """Read every YAML file below `root`, but for hidden folders and those in `leave_out`."""
    findings: list[Finding] = []
    files: list[SourceFile] = []
    for path, name in _yaml_files(root, frozenset(folder.resolve() for folder in leave_out), findings):
        file = _read_file(path, name)
        files.append(file)
        findings.extend(file.findings)
    return ReadLibrary(root=root, files=tuple(files), findings=in_order(findings))


def _yaml_files(root: Path, leave_out: frozenset[Path], findings: list[Finding]) -> list[tuple[Path, str]]:
    found: list[tuple[Path, str]] = []
    folders = [root]
    while folders:
        folder = folders.pop()
        with os.scandir(folder) as entries:
            for entry in entries:
                path = Path(entry.path)
                if entry.name.startswith(".") or entry.is_symlink():
                    continue
                if entry.is_dir():
                    if path.resolve() not in leave_out:
                        folders.append(path)
                elif entry.name.lower().endswith(_SUFFIXES) and stat.S_ISREG(entry.stat().st_mode):
                    found.append((path, path.relative_to(root).as_posix()))
    return sorted(found, key=lambda each: each[1])


def _read_file(path: Path, name: str) -> SourceFile:
    reading = read(path.read_bytes().decode("utf-8", "replace"), name)
    data = reading.tree if isinstance(reading.tree, Map) else Map(1, 1)
    findings = list(reading.findings)
    first = next(iter(data), "")
    kind = KIND_OF_KEY.get(first)
    if kind is None:
        near = get_close_matches(first, KIND_OF_KEY, 4)
        findings.append(
            Finding(
                check="unknown-key",
                severity=Severity.ERROR,
                place=Place(name, *(data.spots[first][0] if first else (1, 1))),
                message=f'The first key of a file says what kind it is, and "{first}" is none.',
                remedy=("Did you mean " + ", ".join(near) + "? " if near else "") + "Kinds: " + ", ".join(KIND_OF_KEY),
            )
        )
    bad: frozenset[tuple[str | int, ...]] = frozenset()
    if kind is not None:
        faults, bad = validate(data, kind, name, damaged=reading.damaged)
        findings.extend(faults)
    value = data.get(first)
    return SourceFile(
        path=name,
        kind=kind,
        id=value if isinstance(value, str) and kind not in CATALOGUES else "",
        data=data,
        bad=bad,
        damaged=reading.damaged,
        findings=tuple(findings),
    )
