"""Two builds into one folder: the second waits for the first, and gives up with a sentence."""

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from procgen.manual.page import Page
from procgen.output import lock
from procgen.output.error import OutputError
from procgen.output.write import write_site
from tests.output.builds import python, snapshot

WRITES_SLOWLY = """
import sys
from pathlib import Path
from procgen.manual.page import Page
from procgen.output.write import write_site

def pages():
    yield Page("index.html", sys.argv[3])
    print("writing", flush=True)
    sys.stdin.readline()
    yield Page("last.html", sys.argv[3])

write_site(pages(), Path(sys.argv[1]), Path(sys.argv[2]))
"""
TIME_OUT_S = 30


def test_the_second_build_waits_until_the_first_is_through(tmp_path: Path) -> None:
    may_go_on, is_writing = threading.Event(), threading.Event()

    def slowly() -> Iterator[Page]:
        yield Page("index.html", "first")
        is_writing.set()
        assert may_go_on.wait(TIME_OUT_S)
        yield Page("last.html", "first")

    first = threading.Thread(target=write_site, args=(slowly(), tmp_path / "site", tmp_path / "library"))
    first.start()
    assert is_writing.wait(TIME_OUT_S)

    seen: list[dict[str, bytes]] = []

    def second_pages() -> Iterator[Page]:
        seen.append(snapshot(tmp_path / "site"))
        yield Page("index.html", "second")

    second = threading.Thread(target=write_site, args=(second_pages(), tmp_path / "site", tmp_path / "library"))
    second.start()
    may_go_on.set()
    first.join(TIME_OUT_S)
    second.join(TIME_OUT_S)
    assert seen[0]["last.html"] == b"first"
    assert {path for path in snapshot(tmp_path / "site") if path[0] != "."} == {"index.html"}
    assert (tmp_path / "site" / "index.html").read_text(encoding="utf-8") == "second"


def test_a_build_that_waits_in_vain_says_why(tmp_path: Path) -> None:
    with lock.alone(_made(tmp_path / "site")):
        with pytest.raises(OutputError, match="Another procgen is writing to"), lock.alone(tmp_path / "site", 0.1):
            raise AssertionError("both have it")
        assert snapshot(tmp_path / "site") == {}
    with lock.alone(tmp_path / "site", 0.1):
        pass


def test_a_lock_goes_with_the_process_that_held_it(tmp_path: Path) -> None:
    process = python(WRITES_SLOWLY, tmp_path / "site", tmp_path / "library", "first")
    assert process.stdout
    assert process.stdout.readline() == "writing\n"
    process.kill()
    process.communicate(timeout=TIME_OUT_S)
    result = write_site([Page("index.html", "second")], tmp_path / "site", tmp_path / "library")
    assert (result.written, result.removed) == (("index.html",), ())


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder
