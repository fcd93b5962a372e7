"""Which folders and files may be written at all."""

import re
from pathlib import Path, PurePosixPath

from procgen.output.error import OutputError

MANIFEST = ".procgen-manifest.json"
"""Lists what the program wrote, each file with the SHA-256 of its content."""
JOURNAL = ".procgen-journal"
"""What has been written since the manifest; there only while a build runs, or after one that was cut off."""
STAGED = ".procgen-staged"
"""The one file that is being written, until it is whole and moves to its place."""
_PLAIN = re.compile(r'[^/\\:*?"<>|\0]+(?:/[^/\\:*?"<>|\0]+)*')
OWN_NAMES = (MANIFEST, JOURNAL, STAGED)


def safe_folder(out: Path, library_root: Path) -> Path:
    """The folder to write to, resolved.

    A link to a folder is followed: what it leads to is the folder.

    Raises OutputError where writing there could touch the library: where it is the library, holds it, or lies in it
    and has library files of its own; and where nobody may look whether that is so.
    """
    try:
        return _safe_folder(out, library_root)
    except (OSError, RuntimeError) as problem:  # Python 3.11 and 3.12 call a ring of links a RuntimeError
        reason = problem.strerror if isinstance(problem, OSError) else "its links lead round in a ring"
        raise OutputError(f"{out} cannot be looked into: {reason}. Name another folder for the manual.") from problem


def _safe_folder(out: Path, library_root: Path) -> Path:
    folder, library = out.resolve(), library_root.resolve()
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"{out} is a file. Name a folder for the manual.")
    if folder == library:
        raise OutputError(f"{out} is the library itself. Name another folder for the manual, such as site.")
    if folder in library.parents:
        raise OutputError(
            f"{out} holds the library ({library_root}), and the manual could overwrite it. "
            "Name a folder beside the library, such as site."
        )
    if library in folder.parents and (source := _library_file_in(folder)):
        raise OutputError(
            f"{out} lies in the library and holds {source.relative_to(folder)}, which the library reads. "
            "Name a folder that is empty, or beside the library."
        )
    return folder


def _library_file_in(folder: Path) -> Path | None:
    return min((*folder.rglob("*.yaml"), *folder.rglob("*.yml")), default=None)


def safe_path(folder: Path, path: str) -> Path:
    """The file for `path` below `folder`.

    Raises OutputError where a link on the way leads elsewhere, or a file stands where a folder is needed, and
    ValueError (a fault of the program, not of the author) for a path that is not a plain relative one.
    """
    if not is_plain(path):
        raise ValueError(f"{path!r} is not a plain relative path")
    target = folder
    *parents, name = PurePosixPath(path).parts
    for part in parents:
        target /= part
        if target.is_symlink():
            raise OutputError(f"{target} is a link to somewhere else, and nothing is written through links. Remove it.")
        if target.exists() and not target.is_dir():
            raise OutputError(f"{target} is a file where the manual needs a folder. Move it away.")
    target /= name
    _refuse_what_is_no_file(target)
    return target


def refuse_disguised(folder: Path) -> None:
    """Raises OutputError where one of the program's own files is no file, such as a link that leads elsewhere."""
    for name in OWN_NAMES:
        _refuse_what_is_no_file(folder / name)


def _refuse_what_is_no_file(target: Path) -> None:
    if target.is_symlink():
        raise OutputError(f"{target} is a link to somewhere else, and nothing is written through links. Remove it.")
    if target.exists() and not target.is_file():
        kind = "a folder" if target.is_dir() else "a device or a pipe"
        raise OutputError(f"{target} is {kind} where the manual needs a file. Move it away.")


def is_plain(path: str) -> bool:
    """Whether a path stays in its folder on every system: no "..", no drive, no backslash, not one of our own files."""
    return (
        _PLAIN.fullmatch(path) is not None
        and "/./" not in (inside := f"/{path}/")
        and "/../" not in inside
        and path not in OWN_NAMES
    )
