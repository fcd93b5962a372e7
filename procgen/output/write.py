"""Writing a manual into a folder.

    write_site(pages: Iterable[Page], out: Path, library_root: Path) -> WriteResult

Pages are made one after the other and never held. Each file appears whole or not at all, and only where its content
changed. Nothing is overwritten or removed unless this program wrote it and it is still as it was written.

Killed at any moment, a build leaves whole files, old ones and new ones, and a journal by which the next build knows
them all for its own. Of two builds into one folder the second waits for the first.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from procgen.hands import shared_out
from procgen.manual.page import Page
from procgen.memo import NOTHING_KNOWN, Memo
from procgen.output.error import OutputError
from procgen.output.folder import JOURNAL, MANIFEST, STAGED, refuse_disguised, safe_folder, safe_path
from procgen.output.ledger import Ledger, digest, ledger_stamps, manifest_text, read_ledger
from procgen.output.lock import alone
from procgen.output.present import Present
from procgen.output.whole import put_whole


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteResult:
    """What a build did to its folder; paths relative to it, sorted."""

    folder: Path
    written: tuple[str, ...]
    unchanged: tuple[str, ...]
    removed: tuple[str, ...]
    kept: tuple[str, ...]
    """Pages that are no longer in the manual, and that somebody changed: left where they are."""


def write_site(
    pages: Iterable[Page],
    out: Path,
    library_root: Path,
    *,
    memo: Memo = NOTHING_KNOWN,
    progress: Callable[[str], None] = lambda _: None,
) -> WriteResult:
    """Write every page below `out`, and take away what earlier builds wrote and this one did not.

    A page that is there, and of which `memo` knows that it would be the same, is not made. progress: told the path of
    each that is.

    Raises OutputError where the folder is not fit, a file in the way is not the program's own, the disk is full, or
    another build does not finish; what was written until then stays, and the next build knows it for its own.
    """
    folder = safe_folder(out, library_root)
    with _said_of(out):
        folder.mkdir(parents=True, exist_ok=True)
        with alone(folder):
            return _write(pages, folder, memo, progress)


@contextmanager
def _said_of(out: Path) -> Iterator[None]:
    """What the system refuses, as a sentence about the folder."""
    try:
        yield
    except OSError as problem:
        reason = f"{problem.strerror or problem}" + (f" ({problem.filename})" if problem.filename else "")
        raise OutputError(f"The manual could not be written to {out}: {reason}.") from problem


def _write(pages: Iterable[Page], folder: Path, memo: Memo, progress: Callable[[str], None]) -> WriteResult:
    refuse_disguised(folder)
    before = memo.again(f"ledger {folder}", ledger_stamps(folder), lambda: read_ledger(folder))
    present = Present(folder, memo)
    now: dict[str, str] = {}
    written: list[str] = []
    unchanged: list[str] = []
    wanted = _distinct(pages)
    with _journal(folder / JOURNAL) as journal:
        stale: list[Page] = []
        for page in wanted:
            known = present.digest_of(page)
            if known:
                now[page.path] = known
                unchanged.append(page.path)
            else:
                stale.append(page)
        for page, data in _made(stale):
            progress(page.path)
            now[page.path] = name = digest(data)
            target = safe_path(folder, page.path)
            if _is_there(target, page.path, data, before):
                unchanged.append(page.path)
            else:
                journal.write(f"{name} {page.path}\n".encode())
                put_whole(folder / STAGED, target, data)
                written.append(page.path)
            present.note(page, name)
    removed, kept = _remove_stale(folder, before, now)
    manifest = manifest_text(now).encode("utf-8")
    if not (folder / MANIFEST).exists() or (folder / MANIFEST).read_bytes() != manifest:
        put_whole(folder / STAGED, folder / MANIFEST, manifest, durably=True)
    (folder / STAGED).unlink(missing_ok=True)
    (folder / JOURNAL).unlink()
    present.save()
    return WriteResult(
        folder=folder,
        written=tuple(sorted(written)),
        unchanged=tuple(sorted(unchanged)),
        removed=removed,
        kept=kept,
    )


def _distinct(pages: Iterable[Page]) -> tuple[Page, ...]:
    taken: dict[str, Page] = {}
    for page in pages:
        if other := taken.get(page.path.casefold()):
            raise ValueError(f"two pages share one file: {page.path} and {other.path}")
        taken[page.path.casefold()] = page
    return tuple(taken.values())


def _made(pages: Iterable[Page]) -> Iterator[tuple[Page, bytes]]:
    """Pages with their bytes: first those that are copies, then those that have to be made."""
    to_make: list[Page] = []
    for page in pages:
        if callable(page.content):
            to_make.append(page)
        else:
            yield page, page.data
    yield from zip(to_make, shared_out(_data, to_make), strict=True)


def _data(page: Page) -> bytes:
    return page.data


def _is_there(target: Path, path: str, data: bytes, before: Ledger) -> bool:
    """Whether the file is already as it should be. Raises OutputError where it is somebody else's."""
    if not target.exists():
        return False
    present = target.read_bytes()
    if present == data:
        return True
    if not before.is_ours(path, present):
        how = "was changed after procgen wrote it" if path in before.written else "was not written by procgen"
        raise OutputError(f"{target} {how}, and would be overwritten. Move it away, or name another folder.")
    return False


@contextmanager
def _journal(file: Path) -> Iterator[IO[bytes]]:
    """The journal, to add lines to: each is with the system, out of this process, before its file is touched."""
    with file.open("ab", buffering=0) as journal:
        # The build before was cut off, perhaps in the middle of a line.
        if journal.tell():
            journal.write(b"\n")
        yield journal


def _remove_stale(folder: Path, before: Ledger, now: dict[str, str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    removed, kept = [], []
    present = {path.casefold(): path for path in now}
    for path in sorted(set(before.written) - set(now)):
        target = folder / path
        if not _is_plain_file(folder, target):
            continue
        # Where capitals make no difference, a page that changed in them alone is one file under both names.
        if (namesake := present.get(path.casefold())) and target.samefile(folder / namesake):
            continue
        if before.is_ours(path, target.read_bytes()):
            target.unlink()
            _remove_empty(folder, target.parent)
            removed.append(path)
        else:
            kept.append(path)
    return tuple(removed), tuple(kept)


def _is_plain_file(folder: Path, target: Path) -> bool:
    """Whether it is a file of the folder itself and not behind a link."""
    return target.is_file() and target.resolve() == target and folder in target.parents


def _remove_empty(folder: Path, parent: Path) -> None:
    """Take away the folders that the last removal left empty."""
    while parent != folder and not any(parent.iterdir()):
        parent.rmdir()
        parent = parent.parent
