"""Work that several processes share is the work of one: the same bytes, the same findings, the same exceptions."""

import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from procgen import flow, hands
from procgen.hands import shared_out
from procgen.manual.theme import ThemeError
from procgen.output.cache import Cache
from tests.incremental.bench import built, differences, lay, said
from tests.incremental.edits import FIRST_DAY, State
from tests.incremental.shop import Library, shop
from tests.output.builds import python

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="processes are forked only there")

WAITS = """
import os, sys, time
from pathlib import Path
from procgen import hands
from procgen.cli import main
hands._LEAST, hands._hands = 2, lambda: 2
from procgen.manual.press import Press

def set_(self, template, **_):
    print(os.getpid(), flush=True)
    time.sleep(0.2)
    return ""

Press.set = set_
print("parent", os.getpid(), flush=True)
sys.exit(main(["build", sys.argv[1], "--out", sys.argv[2], "--draft", "--on", "2026-11-01"]))
"""
LONG_S = 30


@pytest.fixture
def several(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Two processes for whatever there is to do."""
    monkeypatch.setattr(hands, "_LEAST", 2)
    monkeypatch.setattr(hands, "_SHARE", 3)
    monkeypatch.setattr(hands, "_hands", lambda: 2)
    yield
    assert hands._task is None


def many() -> Library:
    """A library with errors, warnings and more procedures than are held at once."""
    made = {}
    for number in range(140):
        follow = f"p-{number + 1}" if number % 7 else "make-ready"
        act = f"{{turn: drum, do: Turn it. See {{p-{number}}}.}}"
        text = f"procedure: p-{number}\nmachine: winch\nsteps:\n  - follow: {follow}\n  - {act}\n"
        made[f"many/p-{number}.yaml"] = text.encode()
    return {**shop(), **made}


@pytest.mark.usefixtures("several")
def test_several_processes_find_and_write_what_one_does(tmp_path: Path) -> None:
    lay(tmp_path / "library", many())
    state = State(files={})
    shared = built(tmp_path / "library", tmp_path / "shared", state)
    with pytest.MonkeyPatch.context() as alone:
        alone.setattr(hands, "_hands", lambda: 1)
        assert differences(shared, built(tmp_path / "library", tmp_path / "alone", state)) == []
        found = said(flow.check(tmp_path / "library", FIRST_DAY))
    assert said(flow.check(tmp_path / "library", FIRST_DAY)) == found
    assert len(found[0]) > 100


@pytest.mark.usefixtures("several")
def test_several_processes_with_a_cache_find_and_write_what_one_without_does(tmp_path: Path) -> None:
    state = State(files=many())
    for number in range(3):
        lay(
            tmp_path / "library", {**state.files, "winch/make-safe.yaml": shop()["winch/make-safe.yaml"] * (number + 1)}
        )
        with Cache(tmp_path / "kept.sqlite3") as memo:
            shared = built(tmp_path / "library", tmp_path / "shared", state, memo)
        with pytest.MonkeyPatch.context() as alone:
            alone.setattr(hands, "_hands", lambda: 1)
            assert differences(shared, built(tmp_path / "library", tmp_path / f"alone-{number}", state)) == []


@pytest.mark.usefixtures("several")
@pytest.mark.parametrize("template", ["{% if %}", "{{ nothing }}", "{{ view.nothing }}", "{% include 'none.html' %}"])
def test_a_broken_template_is_told_by_several_processes_as_by_one(
    template: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(tmp_path / "library", {**shop(), "theme/templates/item.html": template.encode()})
    told = []
    for count in (2, 1):
        monkeypatch.setattr(hands, "_hands", lambda count=count: count)
        with pytest.raises(ThemeError) as error:
            flow.build(tmp_path / "library", tmp_path / f"site-{count}", on=FIRST_DAY, draft=True)
        told.append(str(error.value))
    assert told[0] == told[1]
    monkeypatch.setattr(hands, "_hands", lambda: 2)
    (tmp_path / "library/theme/templates/item.html").unlink()
    state = State(files={})
    after = built(tmp_path / "library", tmp_path / "site-2", state)
    assert differences(after, built(tmp_path / "library", tmp_path / "clean", state)) == []


@pytest.mark.usefixtures("several")
def test_an_exception_arrives_as_itself_and_what_was_done_before_it_comes_first() -> None:
    def work(piece: int) -> int:
        if piece == 7:
            raise KeyError("seven")
        return piece * piece

    results = shared_out(work, range(20))
    got: list[int] = []
    with pytest.raises(KeyError, match="seven"):
        got.extend(results)
    assert got == [0, 1, 4, 9, 16, 25]


class OddError(Exception):
    """Made from two things, and told in one: such an exception cannot be made again from its words."""

    def __init__(self, one: str, other: str) -> None:
        super().__init__(f"{one} and {other}")


@pytest.mark.usefixtures("several")
def test_an_exception_that_cannot_travel_arrives_in_words() -> None:
    def work(piece: int) -> int:
        raise OddError(str(piece), "more")

    with pytest.raises(RuntimeError, match="OddError: 0 and more"):
        list(shared_out(work, range(20)))


@pytest.mark.usefixtures("several")
def test_what_a_process_had_in_hand_that_was_killed_is_done_by_the_one_that_waits() -> None:
    parent = os.getpid()

    def work(piece: int) -> int:
        if piece == 7 and os.getpid() != parent:
            os.kill(os.getpid(), signal.SIGKILL)
        return piece

    assert list(shared_out(work, range(40))) == list(range(40))


@pytest.mark.usefixtures("several")
def test_the_results_come_in_the_order_of_the_pieces() -> None:
    def work(piece: int) -> int:
        time.sleep(0.001 * (20 - piece))
        return piece

    assert list(shared_out(work, range(20))) == list(range(20))


def alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    state = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
    return state != "Z"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_build_that_is_stopped_leaves_no_process_behind(number: signal.Signals, tmp_path: Path) -> None:
    lay(tmp_path / "library", shop())
    process = python(WAITS, tmp_path / "library", tmp_path / "site")
    assert process.stdout
    assert process.stdout.readline().split()[0] == "parent"
    helpers = {int(process.stdout.readline()) for _ in range(2)}
    assert len(helpers) == 2
    assert all(map(alive, helpers))
    process.send_signal(number)
    _, told = process.communicate(timeout=LONG_S)
    assert number is not signal.SIGINT or told.endswith("Stopped.\n")
    assert number is not signal.SIGINT or "Traceback" not in told
    give_up = time.monotonic() + LONG_S
    while any(map(alive, helpers)) and time.monotonic() < give_up:
        time.sleep(0.02)
    assert not any(map(alive, helpers))
