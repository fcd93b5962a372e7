"""The manual in one file, to hand on: a zip with the same bytes for the same manual, whoever makes it and when."""

import io
import re
import zipfile
from collections.abc import Iterable
from pathlib import Path

from procgen.output.error import OutputError
from procgen.output.whole import put_whole
from procgen.output.write import WriteResult

MARK = b"made by procgen"
"""The comment of the archive, by which the program knows its own when it is built anew."""
_EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first moment that a zip can name: every file in it has this one."""
_PLAIN_FILE = 0o100644 << 16
_UNIX = 3
_LONGEST = 60


def write_zip(manual: WriteResult, title: str) -> Path:
    """Pack a manual that was just written into a zip beside its folder, whole or not at all. Gives where.

    Only what the build wrote goes in, under a folder that is called after the manual's title.
    Raises OutputError where a file of that name is not the program's own, or cannot be written.
    """
    target = manual.folder.with_name(f"{manual.folder.name}.zip")
    top = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:_LONGEST] or "manual"
    try:
        _refuse_foreign(target)
        data = _packed(manual.folder, sorted((*manual.written, *manual.unchanged)), top)
        put_whole(target.with_name(f".{target.name}.part"), target, data)
    except OSError as problem:
        raise OutputError(f"{target} could not be written: {problem.strerror or problem}.") from problem
    return target


def _packed(folder: Path, files: Iterable[str], top: str) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.comment = MARK
        for file in files:
            entry = zipfile.ZipInfo(f"{top}/{file}", _EARLIEST)
            # Neither the system that packs nor the rights of the file may show.
            entry.create_system = _UNIX
            entry.external_attr = _PLAIN_FILE
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, (folder / file).read_bytes(), compresslevel=9)
    return buffer.getvalue()


def _refuse_foreign(target: Path) -> None:
    if target.is_symlink() or (target.exists() and not target.is_file()):
        raise OutputError(f"{target} is no plain file, and nothing is written there. Move it away.")
    if target.exists() and not _is_ours(target):
        raise OutputError(f"{target} was not written by procgen, and would be overwritten. Move it away.")


def _is_ours(target: Path) -> bool:
    try:
        with zipfile.ZipFile(target) as archive:
            return archive.comment == MARK
    except zipfile.BadZipFile:
        return False
