"""Which program this is, to the byte: what it worked out holds for it alone."""

from functools import cache
from pathlib import Path

from procgen.memo import name_of


@cache
def name() -> str:
    """A name for the program with all that decides what it does: its code, its schemas and its pages of help.

    Working it out takes as long as reading a large library does once, so times and sizes stand for contents.
    """
    own = Path(__file__).parent
    files = sorted(path for path in own.rglob("*") if path.suffix in _DECIDING)
    stamps = ((path, path.stat()) for path in files)
    return name_of(*(f"{path.relative_to(own)} {stamp.st_size} {stamp.st_mtime_ns}" for path, stamp in stamps))


_DECIDING = frozenset({".py", ".json", ".md", ".yaml", ".js", ".css", ".html"})
