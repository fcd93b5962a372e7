"""Writing a manual into a folder.

    write_site(pages: Iterable[Page], out: Path, library_root: Path) -> WriteResult

Pages are taken one at a time and never held. Each file appears whole or not at all, and only where its content
changed. Nothing is overwritten or removed unless this program wrote it and it is still as it was written.
"""

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from procgen.manual.page import Page
from procgen.output.error import OutputError
from procgen.output.folder import JOURNAL, MANIFEST, refuse_links, safe_folder, safe_path
from procgen.output.ledger import Ledger, digest, manifest_text, read_ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteResult:
    """What a build did to its folder; paths relative to it, sorted."""

    folder: Path
    written: tuple[str, ...]
    unchanged: tuple[str, ...]
    removed: tuple[str, ...]
    kept: tuple[str, ...]
    """Pages that are no longer in the manual, and that somebody changed: left where they are."""


def write_site(pages: Iterable[Page], out: Path, library_root: Path) -> WriteResult:
    """Write every page below `out`, and take away what earlier builds wrote and this one did not.

    Raises OutputError where the folder is not fit, or a file in the way is not the program's own; what was written
    until then stays, and the next build knows it for its own.
    """
    folder = safe_folder(out, library_root)
    try:
        return _write(pages, folder)
    except OSError as problem:
        raise OutputError(f"The manual could not be written to {out}: {problem.strerror or problem}.") from problem


def _write(pages: Iterable[Page], folder: Path) -> WriteResult:
    folder.mkdir(parents=True, exist_ok=True)
    refuse_links(folder)
    before = read_ledger(folder)
    now: dict[str, str] = {}
    taken: dict[str, str] = {}
    written, unchanged = [], []
    with (folder / JOURNAL).open("a", encoding="utf-8", newline="\n") as journal:
        for page in pages:
            if other := taken.get(page.path.casefold()):
                raise ValueError(f"two pages share one file: {page.path} and {other}")
            taken[page.path.casefold()] = page.path
            data = page.data
            now[page.path] = digest(data)
            target = safe_path(folder, page.path)
            if _is_there(target, page.path, data, before):
                unchanged.append(page.path)
                continue
            journal.write(f"{now[page.path]} {page.path}\n")
            journal.flush()
            _replace(target, data)
            written.append(page.path)
    removed, kept = _remove_stale(folder, before, now)
    manifest = manifest_text(now).encode("utf-8")
    if not (folder / MANIFEST).exists() or (folder / MANIFEST).read_bytes() != manifest:
        _replace(folder / MANIFEST, manifest)
    (folder / JOURNAL).unlink()
    return WriteResult(
        folder=folder,
        written=tuple(sorted(written)),
        unchanged=tuple(sorted(unchanged)),
        removed=removed,
        kept=kept,
    )


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


def _replace(target: Path, data: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    temporary = target.with_name(f".{target.name}.{os.getpid()}.tmp")
    try:
        with temporary.open("xb") as file:
            file.write(data)
        temporary.replace(target)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def _remove_stale(folder: Path, before: Ledger, now: dict[str, str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    removed, kept = [], []
    present = {path.casefold() for path in now}
    for path in sorted(before.written):
        target = folder / path
        if path.casefold() in present or not _is_plain_file(folder, target):
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
