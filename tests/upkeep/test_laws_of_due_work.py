"""What holds for every logbook: time never gives back, doing the work does, and the order of a file says nothing."""

import random
import tempfile
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from procgen.library.fleet import Entry, Logbook, MeterReading
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.origin import ProcedureId
from procgen.upkeep.due import Due, MachineDue, machine_due
from procgen.upkeep.gauge import Standing
from procgen.upkeep.meter import track
from tests.written import write

FILES = {
    "engine.yaml": """\
        machine: engine
        meter: hours
        schedule:
          oil: {title: Oil, every: [200 h, 1 year], do: change-oil}
          look: {title: Look, every: 6 months, do: look, kind: inspect}
          belt: {title: Belt, every: [1500 h, 5 years], do: renew-belt, resets: look, kind: renew}
          rollers: {title: Rollers, every-nth: {of: belt, n: 2}, do: renew-rollers, kind: renew}
          tray: {title: Tray, every: 700 h, do: clean-tray}
        """,
    "log.yaml": """\
        logbook: one
        machine: engine
        in-service: 2010-01-01
        meter: [{on: 2010-01-01, hours: 0}]
        entries: [{on: 2010-01-01, hours: 0}]
        """,
    **{
        f"{name}.yaml": f"""\
            procedure: {name}
            machine: engine
            steps:
              - do: Do it.
            """
        for name in ("change-oil", "look", "renew-belt", "renew-rollers", "clean-tray")
    },
}
FIRST = date(2010, 1, 1)


@cache
def library() -> Library:
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(write(Path(folder), FILES))
    assert loaded.findings == ()
    return loaded.library


@st.composite
def logbooks(draw: st.DrawFn) -> Logbook:
    """Up to twelve entries and readings in ten years, the meter rising, sometimes not noted."""
    days = sorted(draw(st.lists(st.integers(0, 3650), max_size=12)))
    empty = library().logbooks["one"]
    meter, entries, readings = 0.0, [], []
    for day in days:
        meter += draw(st.integers(0, 400))
        on = FIRST + timedelta(days=day)
        did = tuple(map(ProcedureId, draw(st.sets(st.sampled_from(sorted(library().procedures)), max_size=2))))
        if draw(st.booleans()):
            noted = draw(st.booleans())
            entries.append(Entry(on=on, meter=meter if noted else None, did=did, origin=empty.entries[0].origin))
        else:
            readings.append(MeterReading(on=on, value=meter, origin=empty.entries[0].origin))
    in_service = draw(st.sampled_from([None, FIRST]))
    return replace(empty, in_service=in_service, meter=tuple(readings), entries=tuple(entries))


def judged(logbook: Logbook, on: date) -> MachineDue:
    return machine_due(library(), logbook, on)


def by_id(machine: MachineDue) -> dict[str, Due]:
    return {each.item.address.id: each for each in machine.work}


def essence(machine: MachineDue) -> list[tuple[object, ...]]:
    return [
        (each.item.address.id, each.standing, each.due_on, each.used, each.since and (each.since.on, each.since.meter))
        for each in machine.work
    ]


DAYS = st.integers(0, 2000).map(lambda days: FIRST + timedelta(days=3650 + days))


@given(logbooks(), DAYS, DAYS)
def test_a_later_day_never_makes_work_less_used_nor_more_distant(logbook: Logbook, one: date, other: date) -> None:
    before, after = (by_id(judged(logbook, day)) for day in sorted((one, other)))
    for name, earlier in before.items():
        later = after[name]
        assert later.due_on == earlier.due_on
        assert (earlier.used is None) == (later.used is None)
        if earlier.used is not None and later.used is not None:
            assert later.used >= earlier.used
        urgency = list(Standing)
        assert urgency.index(later.standing) <= urgency.index(earlier.standing)


@given(logbooks(), DAYS)
def test_work_is_overdue_exactly_when_all_of_a_limit_is_used(logbook: Logbook, on: date) -> None:
    for each in judged(logbook, on).work:
        shares = [use.used_on(on) for use in each.limits]
        assert (each.standing is Standing.OVERDUE) == any(share is not None and share >= 1 for share in shares)
        assert (each.due_on is not None and each.due_on <= on) == (each.standing is Standing.OVERDUE)


@given(logbooks(), DAYS, st.sampled_from(["oil", "look", "belt", "rollers", "tray"]))
def test_doing_work_resets_it(logbook: Logbook, on: date, name: str) -> None:
    item = library().machines["engine"].schedule[name]
    origin = library().logbooks["one"].entries[0].origin
    done = replace(logbook, entries=(*logbook.entries, Entry(on=on, meter=None, did=item.do, origin=origin)))
    each = by_id(judged(done, on))[name]
    assert each.since is not None
    assert each.since.on == on
    assert each.standing is not Standing.OVERDUE
    if not item.nth_of:
        assert {use.used_on(on) for use in each.limits} <= {0, None}


@given(logbooks(), DAYS, st.randoms(use_true_random=False))
def test_the_order_of_a_logbook_does_not_matter(logbook: Logbook, on: date, chance: random.Random) -> None:
    entries, readings = list(logbook.entries), list(logbook.meter)
    chance.shuffle(entries)
    chance.shuffle(readings)
    shuffled = replace(logbook, entries=tuple(entries), meter=tuple(readings))
    assert essence(judged(shuffled, on)) == essence(judged(logbook, on))


@given(logbooks(), DAYS, st.integers(0, 6000))
def test_the_meter_never_falls_and_a_figure_comes_on_the_first_day_that_has_it(
    logbook: Logbook, on: date, figure: int
) -> None:
    meter = track(logbook, on)
    assert meter.rate is None or meter.rate >= 0
    known = [value for day in range(0, 6000, 97) if (value := meter.at(FIRST + timedelta(days=day))) is not None]
    assert known == sorted(known)
    day = meter.day_of(Fraction(figure))
    if day is None or day > date(2500, 1, 1):
        return
    there, the_day_before = meter.at(day), meter.at(day - timedelta(days=1))
    assert there is not None
    assert there >= figure
    assert the_day_before is None or the_day_before < figure


@given(st.lists(st.integers(0, 9), max_size=8))
def test_of_figures_that_contradict_each_other_as_few_as_possible_are_passed_over(figures: list[int]) -> None:
    """Held against every choice there is."""
    empty = library().logbooks["one"]
    origin = empty.entries[0].origin
    readings = tuple(
        MeterReading(on=FIRST + timedelta(days=day), value=float(figure), origin=origin)
        for day, figure in enumerate(figures)
    )
    logbook = replace(empty, in_service=None, meter=readings, entries=())
    kept = [int(noted.value) for noted in track(logbook, FIRST + timedelta(days=99)).noted]
    rising = [
        list(choice)
        for length in range(len(figures) + 1)
        for choice in combinations(figures, length)
        if list(choice) == sorted(choice)
    ]
    assert kept in rising
    assert len(kept) == max(map(len, rising))
