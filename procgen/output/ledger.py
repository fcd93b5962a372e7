"""What the program remembers having written, so that it never touches a file of somebody else.

The manifest is written last, when a build is through. A journal is kept in between: a build that was cut off leaves
files that no manifest lists, and without the journal the next build could not know them for its own.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from procgen.output.error import OutputError
from procgen.output.folder import JOURNAL, MANIFEST, is_plain


def digest(data: bytes) -> str:
    """The name of a content: its SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


@dataclass(frozen=True, slots=True)
class Ledger:
    """For each path, every content that the program may have left there."""

    written: Mapping[str, frozenset[str]]

    def is_ours(self, path: str, data: bytes) -> bool:
        """Whether the file at `path` is still as the program wrote it.

        An empty file counts: it holds nobody's work, and it is what some file systems leave of a file that was written
        shortly before the power failed.
        """
        return path in self.written and (not data or digest(data) in self.written[path])


def read_ledger(folder: Path) -> Ledger:
    """What earlier builds wrote into `folder`. Raises OutputError where the list is there but cannot be read."""
    written: dict[str, set[str]] = {}
    for path, name in (*_manifest(folder / MANIFEST), *_journal(folder / JOURNAL)):
        if is_plain(path):
            written.setdefault(path, set()).add(name)
    return Ledger({path: frozenset(names) for path, names in written.items()})


def ledger_stamps(folder: Path) -> tuple[tuple[int, int, int], ...]:
    """What tells whether the ledger of a folder is still the same: the times, size and number of its files."""
    found = []
    for file in (folder / MANIFEST, folder / JOURNAL):
        status = file.stat() if file.exists() else None
        found.append((status.st_ctime_ns, status.st_size, status.st_ino) if status else (0, 0, 0))
    return tuple(found)


def _manifest(file: Path) -> list[tuple[str, str]]:
    if not file.exists():
        return []
    try:
        files = json.loads(file.read_text(encoding="utf-8"))["files"]
        return [(str(path), str(name)) for path, name in files.items()]
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as problem:
        raise OutputError(
            f"{file} cannot be read ({problem}). It lists what belongs to the manual: "
            "without it nothing is overwritten. Empty the folder and build again."
        ) from problem


def _journal(file: Path) -> list[tuple[str, str]]:
    if not file.exists():
        return []
    lines = file.read_bytes().decode("utf-8", "replace").split("\n")
    # The last line may be cut off; a name that is no SHA-256 matches no content, so it does no harm.
    return [(path, name) for name, _, path in (line.partition(" ") for line in lines)]


def manifest_text(written: Mapping[str, str]) -> str:
    """The manifest for what a build has written: path to digest, sorted."""
    # A line for each file, so that two manifests can be compared by eye.
    files = json.dumps(dict(sorted(written.items())), separators=(",\n", ": "))[1:-1]
    return f'{{\n"made-by": "procgen",\n"files": {{\n{files}\n}}\n}}\n'
