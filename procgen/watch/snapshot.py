"""How the files of a library stand: names, sizes and times, without reading any.

The snapshot alone decides whether there is something to build. Events only say when to take one, so it does no harm
when the system drops some, invents some, or reports none at all.
"""

import os
from collections.abc import Mapping
from pathlib import Path

Stamp = tuple[int, int, int]
"""Time of change in nanoseconds, size in bytes, and number on the disk: another file by the same name differs."""
Snapshot = Mapping[str, Stamp]
"""Path relative to the library, with forward slashes, to how that file stands."""


def snapshot(library: Path, leave_out: Path) -> Snapshot | None:
    """Every file that a build may read, but for those in `leave_out`; None where the library is not there.

    As in reading, what is hidden and what is a link does not belong to a library. A folder that vanishes meanwhile is
    empty; whoever made it vanish stirs again.
    """
    if not library.is_dir():
        return None
    found: dict[str, Stamp] = {}
    skipped = os.path.realpath(leave_out)
    folders = [(os.path.realpath(library), "")]
    while folders:
        folder, prefix = folders.pop()
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    _note(entry, prefix, skipped, found, folders)
        except OSError:
            continue
    return found


def _note(
    entry: os.DirEntry[str], prefix: str, skipped: str, found: dict[str, Stamp], folders: list[tuple[str, str]]
) -> None:
    if entry.name.startswith(".") or entry.is_symlink() or entry.path == skipped:
        return
    name = prefix + entry.name
    if entry.is_dir(follow_symlinks=False):
        folders.append((entry.path, name + "/"))
        return
    try:
        status = entry.stat(follow_symlinks=False)
    except OSError:
        return
    found[name] = (status.st_mtime_ns, status.st_size, status.st_ino)


def changed(before: Snapshot | None, now: Snapshot | None) -> tuple[str, ...]:
    """The files that are new, other or gone, sorted."""
    one, other = before or {}, now or {}
    return tuple(sorted(path for path in {*one, *other} if one.get(path) != other.get(path)))
