"""Which files of a manual's folder are as they were last seen, without reading them.

A file that has the same times, size and number on the disk as when its content was known has that content: no program
can change a file and keep the time of that change, which the system itself notes. (It notes it to a hundredth of a
second or finer. What changed a page within that time after it was written, and kept its size, would not be seen; but
pages are nobody's to change, and what is changed later is seen, and left alone.)
"""

import os
import stat
from pathlib import Path

from procgen.memo import Memo
from procgen.output.ledger import digest

Stamp = tuple[int, int, int, int]
"""Times of change of the content and of the file in nanoseconds, size in bytes, number on the disk."""


class Present:
    """The files below a folder, by their contents."""

    def __init__(self, folder: Path, memo: Memo) -> None:
        self._folder = folder
        self._memo = memo
        self._before: dict[str, tuple[Stamp, str]] = memo.recall(f"present {folder}") or {}
        self._now: dict[str, tuple[Stamp, str]] = {}
        self._plain: dict[Path, bool] = {}

    def is_there(self, path: str, name: str) -> bool:
        """Whether there is a plain file at a path, behind no link, whose content has that digest."""
        file = self._folder / path
        if not self._is_plain(file.parent):
            return False
        stamp = _stamp(file)
        if stamp is None:
            return False
        if self._before.get(path) == (stamp, name):
            self._now[path] = stamp, name
            return True
        if digest(file.read_bytes()) != name:
            return False
        self.note(path, name)
        return True

    def note(self, path: str, name: str) -> None:
        """Remember that the file at a path has a content of that digest now."""
        stamp = _stamp(self._folder / path)
        if stamp is not None:
            self._now[path] = stamp, name

    def save(self) -> None:
        """Let the next build know."""
        if self._now != self._before:
            self._memo.keep(f"present {self._folder}", self._now)

    def _is_plain(self, folder: Path) -> bool:
        """Whether no link leads out of the manual's folder on the way to one in it."""
        if folder == self._folder:
            return True
        if folder not in self._plain:
            self._plain[folder] = not folder.is_symlink() and folder.is_dir() and self._is_plain(folder.parent)
        return self._plain[folder]


def _stamp(file: Path) -> Stamp | None:
    """How a file stands; None where there is no plain file."""
    try:
        status = os.lstat(file)
    except OSError:
        return None
    if not stat.S_ISREG(status.st_mode):
        return None
    return status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino
