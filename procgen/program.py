"""Which program this is: what it worked out holds for it alone."""

import sys
import sysconfig
from functools import cache
from pathlib import Path

from procgen.memo import name_of

_DECIDING = frozenset({".py", ".json", ".md", ".yaml", ".js", ".css", ".html"})


@cache
def name() -> str:
    """A name for all that decides what the program does: its code, schemas and pages of help, and what it stands on.

    To read all that takes as long as to read a large library, so times and sizes stand for contents. The folders of
    installed packages have another time after each package that comes, goes or gets another version.
    """
    own = Path(__file__).parent
    files = sorted(path for path in own.rglob("*") if path.suffix in _DECIDING)
    stamps = ((path.relative_to(own), path.stat()) for path in files)
    packages = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    return name_of(
        sys.version,
        *(f"{path} {Path(path).stat().st_mtime_ns}" for path in sorted(packages) if Path(path).is_dir()),
        *(f"{path} {stamp.st_size} {stamp.st_mtime_ns}" for path, stamp in stamps),
    )
