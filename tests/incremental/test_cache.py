"""Whatever becomes of the cache, a build gives the manual that one from nothing gives, and writes nowhere else."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import pytest

from procgen import flow
from procgen.output import cache
from procgen.output.cache import Cache, Held, cache_file, remembered
from tests.incremental.bench import built, differences, lay, snapshot
from tests.incremental.edits import State
from tests.incremental.shop import shop
from tests.output.builds import python

T = TypeVar("T")

SEED = 20261101
FILE = "kept.sqlite3"
DAY = date(2026, 11, 1)
BUILDS = """
import sys
from datetime import date
from pathlib import Path
from procgen import flow
from procgen.manual import site
from procgen.output.cache import remembered
print("ready", flush=True)
sys.stdin.readline()
with remembered() as memo:
    flow.build(Path(sys.argv[1]), Path(sys.argv[2]), on=date(2026, 11, 1), draft=True, memo=memo)
"""


@pytest.fixture
def library(tmp_path: Path) -> Path:
    lay(tmp_path / "library", shop())
    return tmp_path / "library"


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The cache's folder."""
    folder = tmp_path / "cache"
    monkeypatch.setenv("PROCGEN_CACHE", str(folder))
    return folder


def alike(library: Path, out: Path) -> bool:
    """Build with the cache, and compare with a build from nothing."""
    with remembered() as memo:
        known = built(library, out, State(files={}), memo)
    clean = out.with_name("clean")
    shutil.rmtree(clean, ignore_errors=True)
    return differences(known, built(library, clean, State(files={}))) == []


def made_pages(library: Path, out: Path) -> int:
    """How many pages a build with the cache makes."""
    made: list[str] = []
    with remembered() as memo:
        flow.build(library, out, on=DAY, draft=True, memo=memo, progress=made.append)
    return len(made)


def test_a_cache_that_is_deleted_between_builds_is_made_again(library: Path, kept: Path, tmp_path: Path) -> None:
    assert alike(library, tmp_path / "site")
    shutil.rmtree(kept)
    assert alike(library, tmp_path / "site")
    assert (kept / FILE).is_file()


@pytest.mark.skipif(os.name != "posix", reason="an open file can be deleted only there")
def test_a_cache_that_is_deleted_during_a_build_is_not_missed(library: Path, kept: Path, tmp_path: Path) -> None:
    assert alike(library, tmp_path / "site")
    (library / "winch/make-safe.yaml").write_bytes(shop()["winch/make-safe.yaml"].replace(b"1 min", b"2 min"))
    with remembered() as memo:
        built(library, tmp_path / "site", State(files={}), _Deleting(memo, kept))
    assert alike(library, tmp_path / "site")


class _Deleting:
    """A memo whose folder is deleted as soon as something was asked of it."""

    def __init__(self, memo: Any, folder: Path) -> None:
        self._memo = memo
        self._folder = folder

    def recall(self, name: str) -> Any:
        shutil.rmtree(self._folder, ignore_errors=True)
        return self._memo.recall(name)

    def keep(self, name: str, value: object) -> bool:
        return bool(self._memo.keep(name, value))

    def again(self, what: str, made_from: object, make: Callable[[], T]) -> T:
        again: T = self._memo.again(what, made_from, make)
        return again


@pytest.mark.parametrize("damage", ["text", "nothing", "half", "no head", "folder", "foreign tables"])
def test_a_cache_that_is_damaged_changes_nothing(damage: str, library: Path, kept: Path, tmp_path: Path) -> None:
    assert alike(library, tmp_path / "site")
    file = kept / FILE
    content = file.read_bytes()
    match damage:
        case "text":
            file.write_text("not a database, and quite long enough to be taken for one\n" * 99, encoding="utf-8")
        case "nothing":
            file.write_bytes(b"")
        case "half":
            file.write_bytes(content[: len(content) // 2])
        case "no head":
            file.write_bytes(bytes(100) + content[100:])
        case "folder":
            file.unlink()
            file.mkdir()
        case "foreign tables":
            file.unlink()
            with closing(sqlite3.connect(file)) as connection:
                connection.execute("CREATE TABLE kept (something TEXT)")
                connection.commit()
    assert alike(library, tmp_path / "site")
    assert alike(library, tmp_path / "site")


def test_a_cache_with_bytes_overwritten_anywhere_changes_nothing(library: Path, kept: Path, tmp_path: Path) -> None:
    assert alike(library, tmp_path / "site")
    whole = (kept / FILE).read_bytes()
    random_ = random.Random(SEED)  # noqa: S311 - no secret
    for _ in range(8):
        content = bytearray(whole)
        for _ in range(random_.choice((1, 20, 2000))):
            content[random_.randrange(len(content))] = random_.randrange(256)
        for file in kept.iterdir():
            file.unlink()
        (kept / FILE).write_bytes(content)
        assert alike(library, tmp_path / "site")


def test_a_cache_that_was_damaged_remembers_again(library: Path, kept: Path, tmp_path: Path) -> None:
    made_pages(library, tmp_path / "site")
    size = (kept / FILE).stat().st_size
    with (kept / FILE).open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * (size - 4096))
    for _ in range(2):
        made_pages(library, tmp_path / "site")
    assert made_pages(library, tmp_path / "site") < len(snapshot(tmp_path / "site")) / 2


def test_a_value_that_lies_under_the_name_of_another_is_not_taken_for_it(tmp_path: Path) -> None:
    with Cache(tmp_path / FILE) as memo:
        memo.keep("one", "first")
        memo.keep("other", "second")
    with closing(sqlite3.connect(tmp_path / FILE)) as connection:
        connection.execute("UPDATE kept SET value = (SELECT value FROM kept WHERE name = 'other') WHERE name = 'one'")
        connection.commit()
    with Cache(tmp_path / FILE) as memo:
        assert memo.recall("one") is None
        assert memo.recall("other") == "second"


def test_a_value_that_cannot_be_read_any_more_is_worked_out_again(tmp_path: Path) -> None:
    with Cache(tmp_path / FILE) as memo:
        memo.keep("kept by an earlier program", _Gone())
    _Gone.__qualname__ = "NotThere"
    try:
        with Cache(tmp_path / FILE) as memo:
            assert memo.keep("not to be pickled", _Gone()) is False
            del globals()["_Gone"]
            assert memo.recall("kept by an earlier program") is None
    finally:
        globals()["_Gone"] = _Gone_


class _Gone:
    """Of a class that the next program does not have."""


_Gone_ = _Gone


def test_what_cannot_be_pickled_is_held_in_memory_and_goes_nowhere(tmp_path: Path) -> None:
    with Cache(tmp_path / FILE) as memo, Held(memo) as held:
        assert memo.keep("a function", lambda: 1) is False
        assert held.keep("a function", lambda: 1)
        assert held.recall("a function")
        held.let_go()
        held.let_go()
        assert held.recall("a function") is None


@pytest.mark.skipif(os.name != "posix", reason="others are kept out otherwise there")
@pytest.mark.parametrize("mode", [0o770, 0o707, 0o777])
def test_a_folder_that_others_may_write_to_is_not_used(mode: int, library: Path, kept: Path, tmp_path: Path) -> None:
    kept.mkdir()
    kept.chmod(mode)
    assert cache_file() is None
    assert alike(library, tmp_path / "site")
    assert list(kept.iterdir()) == []


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only the superuser can give a folder away")
def test_a_folder_of_somebody_else_is_not_used(kept: Path) -> None:
    kept.mkdir(mode=0o700)
    os.chown(kept, 65534, 65534)
    assert cache_file() is None


def test_a_file_in_the_place_of_the_folder_is_left_alone(library: Path, kept: Path, tmp_path: Path) -> None:
    kept.write_text("mine", encoding="utf-8")
    assert cache_file() is None
    assert alike(library, tmp_path / "site")
    assert kept.read_text(encoding="utf-8") == "mine"


def test_a_cache_that_may_only_be_read_is_read(library: Path, kept: Path, tmp_path: Path) -> None:
    assert alike(library, tmp_path / "site")
    for file in kept.iterdir():
        file.chmod(0o400)
    kept.chmod(0o500)
    try:
        assert alike(library, tmp_path / "site")
    finally:
        kept.chmod(0o700)


def test_a_cache_that_another_holds_locked_does_not_stop_a_build(
    library: Path, kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cache, "_PATIENCE_S", 0.05)
    assert alike(library, tmp_path / "site")
    with closing(sqlite3.connect(kept / FILE)) as other:
        other.execute("BEGIN EXCLUSIVE")
        assert alike(library, tmp_path / "site")
        other.rollback()
    assert alike(library, tmp_path / "site")


def test_what_was_not_used_for_a_month_is_thrown_out_and_what_was_used_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = date(2026, 1, 1).toordinal()
    monkeypatch.setattr(cache, "_today", lambda: first)
    with Cache(tmp_path / FILE) as memo:
        memo.keep("used", 1)
        memo.keep("forgotten", 2)
    monkeypatch.setattr(cache, "_today", lambda: first + 30)
    with Cache(tmp_path / FILE) as memo:
        assert memo.recall("used") == 1
    monkeypatch.setattr(cache, "_today", lambda: first + 31)
    with Cache(tmp_path / FILE):
        pass
    with Cache(tmp_path / FILE) as memo:
        assert memo.recall("used") == 1
        assert memo.recall("forgotten") is None


def started(library: Path, out: Path) -> subprocess.Popen[str]:
    """A build in a process of its own, which waits for a line before it begins."""
    process = python(BUILDS, library, out)
    assert process.stdout
    assert process.stdout.readline() == "ready\n"
    return process


def go(*processes: subprocess.Popen[str]) -> None:
    for process in processes:
        assert process.stdin
        with suppress(BrokenPipeError):
            process.stdin.write("\n")
            process.stdin.flush()


@pytest.mark.parametrize("names", [("one", "other"), ("one", "one")])
def test_two_builds_at_once_share_a_cache(names: tuple[str, str], library: Path, kept: Path, tmp_path: Path) -> None:
    clean = built(library, tmp_path / "clean", State(files={}))
    for _ in range(2):
        processes = [started(library, tmp_path / name) for name in names]
        go(*processes)
        assert [process.communicate(timeout=60) for process in processes] == [("", ""), ("", "")]
        assert all(snapshot(tmp_path / name) == clean.site for name in names)
    assert (kept / FILE).is_file()


def test_builds_that_are_killed_at_any_time_leave_a_cache_that_tells_no_lies(
    library: Path, kept: Path, tmp_path: Path
) -> None:
    random_ = random.Random(SEED)  # noqa: S311 - no secret
    gear = shop()["winch/gear.yaml"]
    for number in range(8):
        (library / "winch/gear.yaml").write_bytes(gear.replace(b"22 N", f"2{number} N".encode()))
        process = started(library, tmp_path / "site")
        go(process)
        with suppress(subprocess.TimeoutExpired):
            process.wait(timeout=random_.uniform(0.0, 0.5))
        process.kill()
        process.communicate(timeout=60)
        assert process.returncode in (0, -signal.SIGKILL)
    assert alike(library, tmp_path / "site")
    (library / "winch/gear.yaml").write_bytes(gear)
    assert alike(library, tmp_path / "site")
    assert kept.is_dir()


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 200 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=200k,mode=700", "tmpfs", str(disk)]
    try:
        mounted = subprocess.run(command, capture_output=True, text=True, check=False)
    except OSError as problem:
        pytest.skip(f"a small file system cannot be mounted here: {problem}")
    if mounted.returncode:
        pytest.skip(f"a small file system cannot be mounted here: {mounted.stderr.strip()}")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_cache_on_a_full_disk_stops_no_build(
    small_disk: Path, library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PROCGEN_CACHE", str(small_disk))
    assert alike(library, tmp_path / "site")
    assert alike(library, tmp_path / "site")
    with suppress(OSError):  # full is what it is to be
        (small_disk / "filler").write_bytes(b"." * 300_000)
    assert alike(library, tmp_path / "site")
