"""Which folders and files may be written at all."""

from pathlib import Path, PurePosixPath

from procgen.output.error import OutputError

MANIFEST = ".procgen-manifest.json"
"""Lists what the program wrote, each file with the SHA-256 of its content."""
JOURNAL = ".procgen-journal"
"""What has been written since the manifest; there only while a build runs, or after one that was cut off."""


def safe_folder(out: Path, library_root: Path) -> Path:
    """The folder to write to, resolved.

    Raises OutputError where writing there could touch the library: where it is the library, holds it, or lies in it
    and has library files of its own.
    """
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
    if target.is_symlink() or target.is_dir():
        kind = "a link" if target.is_symlink() else "a folder"
        raise OutputError(f"{target} is {kind} where the manual needs a file. Move it away.")
    return target


def refuse_links(folder: Path) -> None:
    """Raises OutputError where one of the program's own lists is a link, through which it would write elsewhere."""
    for name in (MANIFEST, JOURNAL):
        if (folder / name).is_symlink():
            raise OutputError(f"{folder / name} is a link to somewhere else. Remove it.")


def is_plain(path: str) -> bool:
    """Whether a path stays in its folder on every system: no "..", no drive, no backslash, not one of our own lists."""
    parts = path.split("/")
    return (
        all(part not in ("", ".", "..") for part in parts)
        and not any(character in path for character in '\\:*?"<>|\0')
        and path not in (MANIFEST, JOURNAL)
    )
