"""Writes a small library that checks and builds clean, with the schemas beside it for editors."""

import shutil
from collections.abc import Iterator
from importlib.resources import as_file, files
from pathlib import Path

SCHEMAS = ".schemas"
"""Where a library keeps the schemas for its editor; hidden, so that the program does not read it."""


class StartError(Exception):
    """A library cannot be started in a folder; the message says why."""


def start(folder: Path) -> tuple[str, ...]:
    """Write the starter library into `folder`, which is made, or is empty. Gives the files written, in order.

    Raises StartError where something is there already, or nothing can be written: nothing is then changed.
    """
    try:
        if folder.is_file():
            raise StartError(f"{folder} is a file. Name a new folder.")
        if folder.exists() and any(folder.iterdir()):
            raise StartError(f"{folder} is not empty, and nothing in it is to be overwritten. Name a new folder.")
        folder.mkdir(parents=True, exist_ok=True)
        with as_file(files("procgen.starter") / "library") as library:
            shutil.copytree(library, folder, dirs_exist_ok=True)
        with as_file(files("procgen.library") / "schemas") as schemas:
            shutil.copytree(schemas, folder / SCHEMAS)
    except OSError as problem:
        raise StartError(f"{folder} cannot be written: {problem.strerror or problem}.") from problem
    return tuple(_written(folder))


def _written(folder: Path) -> Iterator[str]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and SCHEMAS not in path.parts:
            yield path.relative_to(folder.parent).as_posix() if folder.parent != Path() else path.as_posix()
    yield f"{folder.as_posix()}/{SCHEMAS}/  (for your editor)"
