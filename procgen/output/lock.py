"""One build at a time in a folder.

The system keeps the lock and takes it back when a process ends, however it ends: nothing is left behind that a later
build would have to judge. What reads the folder is not kept out, since every file in it is whole at any moment.
"""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from procgen.output.error import OutputError

PATIENCE_S = 10.0
"""How long the second of two builds waits for the first, in seconds."""
_PAUSE_S = 0.05


@contextmanager
def alone(folder: Path, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold the folder, waiting up to `patience_s` for whoever holds it now.

    Raises OutputError where they do not finish in time. Where the file system knows no locks, nothing is held.
    """
    descriptor = _open(folder)
    try:
        last = time.monotonic() + patience_s
        while not _take(descriptor):
            if time.monotonic() > last:
                raise OutputError(
                    f"Another procgen is writing to {folder}. Let it finish, or name another folder for the manual."
                )
            time.sleep(_PAUSE_S)
        yield
    finally:
        os.close(descriptor)


if sys.platform == "win32":
    import msvcrt

    _LOCK = ".procgen-lock"

    def _open(folder: Path) -> int:
        # Windows locks no folders. The file goes with its descriptor.
        return os.open(folder / _LOCK, os.O_RDWR | os.O_CREAT | os.O_TEMPORARY)

    def _take(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True

else:
    import fcntl

    def _open(folder: Path) -> int:
        return os.open(folder, os.O_RDONLY | os.O_CLOEXEC)

    def _take(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            # Some network file systems lock no folders: two builds at once are then up to whoever starts them.
            return True
        return True
