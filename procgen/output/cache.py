"""What was worked out before, on the disk: the one cache of the program.

What is in it. Results under names: the outline and the tree of a file; what was found in a portion of a library, and
what other pages say of it; the digest of a page. Each name is made from all that the result depends on, by content:
the files, the program, the theme, the day (see memo.py; the names are made where the results are, in
library/listing.py, checks/survey.py, manual/basis.py). So nothing in here can be out of date. It can only be unused,
for whatever is changed has another name; what was not used for a month is thrown out.

Where it is. In the user's own folder for such things, one file for all libraries, never in a library or a manual:
values are pickled, and unpickling what somebody else has written would run it. So the folder must belong to the user
and be writable to nobody else; where it is not so, nothing is remembered, and everything works as before.

What can happen to it. It may be deleted at any time. Two builds may use it at once: SQLite lets one write at a time,
and a name means the same to both. It may be damaged: then it is thrown away. It may be full, or locked for long: then
no more is kept. In no case does a build fail because of it, or make other pages.
"""

import os
import pickle
import sqlite3
import stat
import zlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from procgen.memo import NOTHING_KNOWN, Memo

_DAYS = 30
_SUM = 4
"""Bytes before each value that tell whether it is still as it was written, and under its own name."""
_MOST_WAITING = 32_000_000
"""So many bytes wait to be written at most."""
_PATIENCE_S = 5.0
"""So long one waits for another who writes."""
T = TypeVar("T")

_TABLE = "CREATE TABLE IF NOT EXISTS kept (name TEXT PRIMARY KEY, value BLOB NOT NULL, day INTEGER NOT NULL)"


class Cache:
    """A memo on the disk. Use it as a context: what was kept is there for others when the context ends."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._used: set[str] = set()
        self._waiting: dict[str, bytes] = {}
        """What is to be written, pickled; so the lock of the file is held for a moment only."""
        self._waiting_bytes = 0
        self._process = os.getpid()
        self._connection = _opened(file)

    def __enter__(self) -> "Cache":
        return self

    def __exit__(self, *_: object) -> None:
        self._write_waiting()
        self._tidy()
        self._close()

    def recall(self, name: str, /) -> Any | None:
        """What was kept under a name; None where nothing is."""
        try:
            data = self._waiting.get(name) or self._row(name)
            if data is None or data[:_SUM] != _sum(name, data[_SUM:]):
                return None
            value = pickle.loads(data[_SUM:])  # noqa: S301 - the file is the user's own, see above
        except Exception:
            return None  # whatever is wrong with what was kept, it can be worked out again
        self._used.add(name)
        return value

    def keep(self, name: str, value: object, /) -> bool:
        """Remember a value. False where it cannot be kept."""
        if self._connection is None:
            return False
        try:
            data = pickle.dumps(value, pickle.HIGHEST_PROTOCOL)
        except (pickle.PicklingError, TypeError, AttributeError, RecursionError):
            return False
        self._waiting[name] = _sum(name, data) + data
        self._waiting_bytes += len(data)
        if self._waiting_bytes > _MOST_WAITING:
            self._write_waiting()
        return True

    def again(self, _what: str, _made_from: object, make: Callable[[], T], /) -> T:
        """Made now: a disk is no quicker."""
        return make()

    def _write_waiting(self) -> None:
        waiting, self._waiting, self._waiting_bytes = self._waiting, {}, 0
        rows = ((name, data, _today()) for name, data in waiting.items())
        self._write("INSERT OR REPLACE INTO kept VALUES (?, ?, ?)", rows)

    def _tidy(self) -> None:
        """Note what was used, once a day, and throw out what was not for long."""
        today = _today()
        used = ((today, name, today) for name in self._used)
        self._write("UPDATE kept SET day = ? WHERE name = ? AND day < ?", used)
        self._write("DELETE FROM kept WHERE day < ?", [(today - _DAYS,)])

    def _write(self, statement: str, rows: Iterable[tuple[object, ...]]) -> None:
        """Carry out a statement for each row, all of them or none; where that fails, nothing is kept any more."""
        if self._connection is None:
            return
        try:
            with self._connection as connection:
                connection.executemany(statement, rows)
        except sqlite3.Error as error:
            self._close()
            if _means_damage(error):
                _throw_away(self._file)

    def _close(self) -> None:
        connection, self._connection = self._connection, None
        if connection is not None:
            with suppress(sqlite3.Error):
                connection.close()

    def _row(self, name: str) -> bytes | None:
        if os.getpid() != self._process:
            # A connection must not be used by the child of the process that opened it.
            self._process, self._connection = os.getpid(), _opened(self._file)
        if self._connection is None:
            return None
        row = self._connection.execute("SELECT value FROM kept WHERE name = ?", (name,)).fetchone()
        return bytes(row[0]) if row else None


class Held:
    """A memo in memory, before another one: for a process that builds again and again.

    What the latest build used is held; the rest, and at the end of the context everything, goes to the memo behind.
    """

    def __init__(self, behind: Memo) -> None:
        self._behind = behind
        self._held: dict[str, Any] = {}
        self._used: set[str] = set()
        self._new: set[str] = set()
        """What the memo behind has not been told."""
        self._last: dict[str, tuple[Any, Any]] = {}
        """What was made, each the last time, and from what."""

    def __enter__(self) -> "Held":
        return self

    def __exit__(self, *_: object) -> None:
        self._used.clear()
        self.let_go()

    def recall(self, name: str, /) -> Any | None:
        """What was kept under a name; None where nothing is."""
        value = self._held.get(name)
        if value is None:
            value = self._behind.recall(name)
        if value is not None:
            self._held[name] = value
            self._used.add(name)
        return value

    def keep(self, name: str, value: object, /) -> bool:
        """Remember a value."""
        self._held[name] = value
        self._used.add(name)
        self._new.add(name)
        return True

    def again(self, what: str, made_from: object, make: Callable[[], T], /) -> T:
        """What was made the last time, if it was made from the same; else made now."""
        last = self._last.get(what)
        if last is None or last[0] != made_from:
            last = self._last[what] = made_from, make()
        value: T = last[1]
        return value

    def let_go(self) -> None:
        """Hold no more than was used since the last time."""
        for name in self._held.keys() - self._used:
            value = self._held.pop(name)
            if name in self._new:
                self._new.discard(name)
                self._behind.keep(name, value)
        self._used = set()


def _sum(name: str, data: bytes) -> bytes:
    """A disk that goes bad can also bring one value under another's name."""
    return zlib.crc32(data, zlib.crc32(name.encode("utf-8", "surrogatepass"))).to_bytes(_SUM, "big")


def _today() -> int:
    return date.today().toordinal()


@contextmanager
def remembered(*, afresh: bool = False) -> Iterator[Memo]:
    """What is known from earlier, while the context lasts. afresh: as if nothing were."""
    file = None if afresh else cache_file()
    if file is None:
        yield NOTHING_KNOWN
        return
    with Cache(file) as cache:
        yield cache


def cache_file() -> Path | None:
    """Where the cache is: in the folder that PROCGEN_CACHE names, else in the user's own. None: nowhere safe."""
    import platformdirs  # noqa: PLC0415 - only where something is remembered

    wanted = os.environ.get("PROCGEN_CACHE")
    folder = Path(wanted) if wanted else platformdirs.user_cache_path("procgen", appauthor=False)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return folder / "kept.sqlite3" if _is_ours_alone(folder) else None
    except OSError:
        return None


def _is_ours_alone(folder: Path) -> bool:
    if os.name != "posix":
        return True
    status = folder.stat()
    return status.st_uid == os.getuid() and not status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _opened(file: Path) -> sqlite3.Connection | None:
    """The file as a database; one that is damaged is thrown away. None where there can be none."""
    for _ in range(2):
        try:
            return _connected(file)
        except sqlite3.Error as error:
            if not _means_damage(error):
                return None  # locked for long, on a disk that is full, or where nobody may write
            _throw_away(file)
    return None


def _means_damage(error: sqlite3.Error) -> bool:
    # What else can be wrong has a class of its own below this one.
    return type(error) is sqlite3.DatabaseError


def _throw_away(file: Path) -> None:
    """With what SQLite keeps beside it: a new file must not be taken for the one to which that belongs."""
    for each in (file, *(file.with_name(f"{file.name}-{rest}") for rest in ("wal", "shm"))):
        with suppress(OSError):
            each.unlink(missing_ok=True)


def _connected(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, timeout=_PATIENCE_S, check_same_thread=False)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        # What is lost when the power fails is worked out again, as long as the rest is whole.
        connection.execute("PRAGMA synchronous = NORMAL")
        connection.execute(_TABLE)
        connection.commit()
    except sqlite3.Error:
        connection.close()
        raise
    return connection
