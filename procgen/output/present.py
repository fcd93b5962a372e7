"""Which pages in a manual's folder are as they will be, without making or reading them.

For each page it is remembered what it was made from (a name, see manual/basis.py), the digest of its content, and how
its file stood then. A file that has the same times, size and number on the disk has the same content: no program can
change a file and keep the time of that change, which the system itself notes. (It notes it to a hundredth of a second
or finer. What changed a page within that time after it was written, and kept its size, would not be seen; but pages
are nobody's to change, and what is changed later is seen, and left alone.)
"""

import os
import stat
from pathlib import Path
from typing import NamedTuple

from procgen.manual.page import Page
from procgen.memo import Memo
from procgen.output.ledger import digest


class _Stamp(NamedTuple):
    """How a file stands on the disk."""

    content_changed_ns: int
    file_changed_ns: int
    size_bytes: int
    number: int


class _Known(NamedTuple):
    """A page as it was when it was last seen."""

    made_from: str
    digest: str
    stamp: _Stamp


class Present:
    """The pages below a folder."""

    def __init__(self, folder: Path, memo: Memo) -> None:
        self._folder = folder
        self._memo = memo
        self._name = f"present {folder}"
        self._before: dict[str, _Known] = memo.recall(self._name) or {}
        self._now: dict[str, _Known] = {}
        self._plain: dict[str, bool] = {"": True}

    def digest_of(self, page: Page) -> str | None:
        """The digest of the page's content, where its file has that content already; None where it must be made."""
        known = self._before.get(page.path)
        if known is None or not page.made_from or known.made_from != page.made_from:
            return None
        if not self._is_plain(page.path.rpartition("/")[0]):
            return None
        stamp = self._stamp(page.path)
        if stamp is None:
            return None
        if known.stamp != stamp:
            if digest((self._folder / page.path).read_bytes()) != known.digest:
                return None
            known = _Known(known.made_from, known.digest, stamp)
        self._now[page.path] = known
        return known.digest

    def note(self, page: Page, name: str) -> None:
        """Remember that the page's file has a content of that digest now."""
        stamp = self._stamp(page.path)
        if stamp is not None and page.made_from:
            self._now[page.path] = _Known(page.made_from, name, stamp)

    def save(self) -> None:
        """Let the next build know."""
        if self._now != self._before:
            self._memo.keep(self._name, self._now)

    def _is_plain(self, folder: str) -> bool:
        """Whether no link leads out of the manual's folder on the way to one in it."""
        if folder not in self._plain:
            there = self._folder / folder
            plain = not there.is_symlink() and there.is_dir()
            self._plain[folder] = plain and self._is_plain(folder.rpartition("/")[0])
        return self._plain[folder]

    def _stamp(self, path: str) -> _Stamp | None:
        """How the file of a page stands; None where there is no plain file."""
        try:
            status = os.lstat(f"{self._folder}/{path}")
        except OSError:
            return None
        if not stat.S_ISREG(status.st_mode):
            return None
        return _Stamp(status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino)
