"""The files of a library as they are listed: what others have to know of each, and its content when it is asked for.

What a file holds is remembered under a name made from its bytes. So a procedure that has not changed since it was last
read is not read again, nor even opened, as long as nobody asks for its steps.
"""

import errno
import os
import time
from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from procgen import program
from procgen.finding import Finding, in_order
from procgen.library.files import ReadLibrary, SourceFile, read_content
from procgen.library.folder import PAUSED, Content, Found, content_of, search
from procgen.library.outline import Outline
from procgen.memo import NOTHING_KNOWN, Memo, name_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """One file."""

    outline: Outline
    findings: tuple[Finding, ...]
    """What was found while it was read."""
    digest: str
    """Of its path and its bytes; empty where nobody wants to recognise it."""
    open: Callable[[], SourceFile]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """All files of a library, in the order of their paths."""

    root: Path
    files: tuple[Listed, ...]
    findings: tuple[Finding, ...]
    """Those of all files, and of what could not be looked into."""
    others: tuple[str, ...] = ()
    """Paths of the files that are not read here: pictures, records."""

    @property
    def paused(self) -> tuple[str, ...]:
        """Paths of the records of paused work."""
        return tuple(path for path in self.others if path.endswith(PAUSED))


def listing_of(read: ReadLibrary) -> Listing:
    """The listing of files that have all been read."""
    return Listing(root=read.root, files=tuple(map(_held, read.files)), findings=read.findings)


def _held(file: SourceFile) -> Listed:
    return Listed(outline=file.outline, findings=file.findings, digest="", open=lambda: file)


def list_library(root: Path, leave_out: Collection[Path] = (), memo: Memo = NOTHING_KNOWN) -> Listing:
    """List every YAML file below `root`, but for hidden folders and those in `leave_out`."""
    found = search(root, leave_out)
    lister = _Lister(root, memo)
    files = tuple(map(lister.listed, found.files))
    lister.save()
    findings = (*found.findings, *(finding for file in files for finding in file.findings))
    return Listing(root=root, files=files, findings=in_order(findings), others=found.others)


class ChangedError(OSError):
    """A file of the library changed while it was read, and what was known of it does not hold any more."""


class _Seen(NamedTuple):
    """A file when it was last read."""

    stamp: tuple[int, int, int, int]
    digest: str


class _Lister:
    """Lists files, those that are as they were without reading them.

    A file that has the same times, size and number on the disk as when it was read holds the same: nobody can change a
    file and keep the time of that change, which the system itself notes. How finely it notes it is not known, so a file
    that was changed shortly before it was read is read again.
    """

    def __init__(self, root: Path, memo: Memo) -> None:
        self._memo = memo
        # Another version of this program may make another outline of the same file.
        self._name = f"seen {program.name()} {root.resolve()}"
        self._before: dict[str, _Seen] = memo.recall(self._name) or {}
        self._now: dict[str, _Seen] = {}

    def save(self) -> None:
        """Let the next listing know."""
        if self._now != self._before:
            self._memo.keep(self._name, self._now)

    def listed(self, found: Found) -> Listed:
        """The listing of one file."""
        stamp = _stamp(found.path)
        seen = self._before.get(found.name)
        if seen is not None and seen.stamp == stamp:
            known = self._memo.recall(f"outline {seen.digest}")
            if known is not None:
                self._now[found.name] = seen
                return self._known(found, seen.digest, known)
        began = time.time_ns()
        content = content_of(found)
        digest = _digest(found, content)
        if stamp is not None and began - max(stamp[:2]) > _COARSEST_NS:
            self._now[found.name] = _Seen(stamp, digest)
        return self._read(found, content, digest)

    def _known(self, found: Found, digest: str, known: tuple[Outline, tuple[Finding, ...]]) -> Listed:
        def open_() -> SourceFile:
            file: SourceFile | None = self._memo.recall(f"file {digest}")
            if file is None:
                content = content_of(found)
                if _digest(found, content) != digest:
                    raise ChangedError(errno.EAGAIN, "the file changed while it was read; begin again", found.name)
                file = read_content(content, found.name)
            return file

        outline, findings = known
        return Listed(outline=outline, findings=findings, digest=digest, open=open_)

    def _read(self, found: Found, content: Content, digest: str) -> Listed:
        known: tuple[Outline, tuple[Finding, ...]] | None = self._memo.recall(f"outline {digest}")
        if known is None:
            file = read_content(content, found.name)
            known = file.outline, file.findings
            self._memo.keep(f"outline {digest}", known)
            self._memo.keep(f"file {digest}", file)
            return Listed(outline=file.outline, findings=file.findings, digest=digest, open=lambda: file)

        def open_() -> SourceFile:
            # What was seen is kept, so that a file that changes meanwhile is not taken for what its name says.
            file: SourceFile | None = self._memo.recall(f"file {digest}")
            return file or read_content(content, found.name)

        outline, findings = known
        return Listed(outline=outline, findings=findings, digest=digest, open=open_)


_COARSEST_NS = 2_500_000_000
"""Some file systems note times to two seconds."""


def _digest(found: Found, content: Content) -> str:
    return name_of(program.name(), found.name, content.data or b"", repr(content.findings))


def _stamp(path: Path) -> tuple[int, int, int, int] | None:
    """Times of change of the content and of the file, size, number; None where nobody can tell."""
    try:
        status = os.lstat(path)
    except OSError:
        return None
    return status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino
