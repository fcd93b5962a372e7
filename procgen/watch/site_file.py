"""From what a browser asks for to a file of the manual: nothing that lies outside it, nothing hidden, no links."""

import os
import stat
from pathlib import Path
from urllib.parse import unquote_to_bytes

FRONT = "index.html"

_FORBIDDEN = frozenset('\\:*?"<>|') | {chr(code) for code in (*range(32), 127)}
"""In no path of a manual; on some system each of them leads somewhere else."""


def wanted_path(target: str) -> str | None:
    """The path, relative to the manual, that a request's target names; None where it can name no file of it.

    It is decoded once: what still looks encoded then is a strange name, and no way out.
    """
    path = target.partition("#")[0].partition("?")[0]
    if not path.startswith("/"):
        return None
    try:
        decoded = unquote_to_bytes(path[1:]).decode("utf-8")
    except UnicodeError:
        return None
    wanted = decoded or FRONT
    parts = wanted.split("/")
    if _FORBIDDEN.intersection(wanted) or any(not part or part.startswith(".") or part.endswith(" ") for part in parts):
        return None
    return wanted


def read_site_file(folder: Path, path: str) -> bytes | None:
    """The content of a file of the manual; None where there is no such plain file, or a link lies on the way.

    folder: resolved. path: as `wanted_path` gives it.
    """
    file = folder / path
    try:
        if file.resolve(strict=True) != file:
            return None
        # Not blocking: a pipe with nobody at its other end would keep us waiting.
        descriptor = os.open(file, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    except (OSError, RuntimeError, ValueError):
        return None
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        return None
    with os.fdopen(descriptor, "rb") as opened:
        return opened.read()
