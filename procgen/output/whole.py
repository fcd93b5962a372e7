"""Writing one file whole or not at all: it is staged beside its place, and moves there when it is complete."""

import os
import shutil
import sys
from pathlib import Path


def put_whole(staged: Path, target: Path, data: bytes, *, durably: bool = False) -> None:
    """Write a file whole, or not at all. durably: it is on the disk before it takes its place, not on its way there.

    Raises OSError as the system does; the file is then as it was, and `staged` may be left.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    with staged.open("wb") as file:
        file.write(data)
        if durably:
            file.flush()
            os.fsync(file.fileno())
    if durably and target.exists():
        # Who may read and write it stays as it was.
        shutil.copymode(target, staged)
    staged.replace(target)
    if durably:
        _settle(target.parent)


def _settle(folder: Path) -> None:
    """Let the disk know the new name. Windows opens no folders, and names are safe there with the file."""
    if sys.platform == "win32":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
