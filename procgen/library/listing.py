"""The files of a library as they are listed: what others have to know of each, and its content when it is asked for.

What a file holds is remembered under a name made from its bytes. So a procedure that has not changed since it was last
read is not read again, nor even opened, as long as nobody asks for its steps.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

from procgen.finding import Finding, in_order
from procgen.library.files import ReadLibrary, SourceFile, read_content
from procgen.library.folder import Found, content_of, search
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
    """Paths of the files that are not read as text: pictures, records."""


def listing_of(read: ReadLibrary) -> Listing:
    """The listing of files that have all been read."""
    return Listing(root=read.root, files=tuple(map(_held, read.files)), findings=read.findings)


def _held(file: SourceFile) -> Listed:
    return Listed(outline=file.outline, findings=file.findings, digest="", open=lambda: file)


def list_library(root: Path, leave_out: Collection[Path] = (), memo: Memo = NOTHING_KNOWN) -> Listing:
    """List every YAML file below `root`, but for hidden folders and those in `leave_out`."""
    found = search(root, leave_out)
    files = tuple(_listed(each, memo) for each in found.files)
    findings = (*found.findings, *(finding for file in files for finding in file.findings))
    return Listing(root=root, files=files, findings=in_order(findings), others=found.others)


def _listed(found: Found, memo: Memo) -> Listed:
    content = content_of(found)
    digest = name_of("file", found.name, content.data or b"", repr(content.findings))
    known: tuple[Outline, tuple[Finding, ...]] | None = memo.recall(f"outline {digest}")
    if known is None:
        file = read_content(content, found.name)
        known = file.outline, file.findings
        memo.keep(f"outline {digest}", known)
        if not memo.keep(f"file {digest}", file):
            return Listed(outline=file.outline, findings=file.findings, digest=digest, open=lambda: file)

    def open_() -> SourceFile:
        # What was seen is kept, so that a file that changes meanwhile is not taken for what its name says.
        file: SourceFile | None = memo.recall(f"file {digest}")
        return file or read_content(content, found.name)

    outline, findings = known
    return Listed(outline=outline, findings=findings, digest=digest, open=open_)
