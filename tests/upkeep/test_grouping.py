"""While you are in there: what goes with work that is planned, and what is cheapest together over some years."""

import tempfile
from datetime import date
from fractions import Fraction
from pathlib import Path

from procgen.library.library import Library
from procgen.library.load import load
from procgen.upkeep.due import Due, MachineDue, due
from procgen.upkeep.grouping import Grouping, cheapest_visits, companions, interval_days, job_of
from tests.written import write

FILES = {
    "manual.yaml": "manual: M\nlabour-rate: 60\n",
    "machine.yaml": """\
        machine: m
        meter: hours
        components:
          cover:
            remove: {time: 30 min, steps: [{remove: cover, do: Lift it off.}]}
            fit: {time: 30 min, steps: [{fit: cover, do: Set it on.}]}
          belt: {behind: [cover], part: belt}
          pump: {behind: [cover], part: pump}
          horn: {part: horn}
        schedule:
          belt: {of: belt, every: [1000 h, 4 years], do: renew-belt}
          pump: {of: pump, every: 6 years, do: renew-pump, resets: pump-look}
          pump-look: {of: pump, every: 2 years, do: look-at-pump}
          horn: {of: horn, every: 1 year, do: renew-horn}
        """,
    "parts.yaml": "parts: {belt: {title: Belt, price: 20}, pump: {title: Pump, price: 100}, horn: {title: Horn}}\n",
    "belt.yaml": """\
        procedure: renew-belt
        machine: m
        steps:
          - open: belt
          - {renew: belt, do: Change it., time: 10 min}
          - close: belt
        """,
    "pump.yaml": """\
        procedure: renew-pump
        machine: m
        steps:
          - open: pump
          - {renew: pump, do: Change it., time: 20 min}
          - close: pump
        """,
    "look.yaml": """\
        procedure: look-at-pump
        machine: m
        steps:
          - open: pump
          - {inspect: pump, accept: Dry., do: Look., time: 5 min}
          - close: pump
        """,
    "horn.yaml": "procedure: renew-horn\nmachine: m\nsteps: [{renew: horn, do: Change it., time: 10 min}]\n",
    "log.yaml": """\
        logbook: one
        machine: m
        meter: [{on: 2022-01-01, hours: 0}, {on: 2024-01-01, hours: 200}]
        entries:
          - {on: 2022-01-01, hours: 0, did: [renew-belt, renew-pump, renew-horn]}
        """,
}


def on(day: str) -> tuple[MachineDue, dict[str, Due], Library]:
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(write(Path(folder), FILES))
    assert loaded.findings == ()
    (machine,) = due(loaded.library, date.fromisoformat(day))
    return machine, {each.item.address.id: each for each in machine.work}, loaded.library


def test_the_pump_behind_the_same_cover_adds_its_own_minutes_only_and_throws_a_third_of_its_life_away() -> None:
    machine, work, library = on("2026-01-01")
    found = companions(job_of(work["belt"].item, machine.logbook, library), machine, library)
    told = [(each.due.item.address.id, each.shares, each.extra_minutes, each.alone_minutes) for each in found]
    assert told == [("pump", ("cover",), 20, 80), ("pump-look", ("cover",), 5, 65)]
    pump = found[0]
    assert pump.life_left is not None
    assert abs(pump.life_left - Fraction(1, 3)) < Fraction(1, 500)
    assert pump.days_left == (date(2028, 1, 1) - date(2026, 1, 1)).days
    assert pump.saved_minutes == 60


def test_what_the_work_counts_as_doing_anyway_is_no_companion() -> None:
    machine, work, library = on("2026-01-01")
    found = companions(job_of(work["pump"].item, machine.logbook, library), machine, library)
    assert [each.due.item.address.id for each in found] == ["belt"]


def test_the_life_is_that_of_the_day_on_which_the_job_is_planned() -> None:
    machine, work, library = on("2025-01-01")
    job = job_of(work["belt"].item, machine.logbook, library, date(2026, 1, 1))
    pump = companions(job, machine, library)[0]
    assert pump.days_left == (date(2028, 1, 1) - date(2026, 1, 1)).days


def test_an_interval_is_told_in_days_by_the_limit_that_is_reached_first() -> None:
    machine, work, _ = on("2026-01-01")
    # 100 h a year: 1000 h take ten years, so that four years come first.
    assert interval_days(work["belt"].item, machine) == (date(2030, 1, 1) - date(2026, 1, 1)).days


def visits(*names: str, years: int = 8) -> Grouping:
    machine, work, library = on("2026-01-01")
    return cheapest_visits(machine, [work[name] for name in names], library, years)


def test_the_pump_is_renewed_with_the_belt_where_a_second_opening_costs_more_than_its_life() -> None:
    # When due: belt 2026 and 2030, pump 2028, and both in 2034: four openings. The cheapest does both from 2028 on,
    # since an hour of opening costs 60 and a belt 20, and leaves the pump, at 100, until it is due.
    found = visits("belt", "pump")
    assert [(visit.on.year, len(visit.work)) for visit in found.visits] == [(2026, 1), (2028, 2), (2032, 2)]
    assert found.money is not None
    assert found.money_when_due is not None
    assert found.money < found.money_when_due


def test_minutes_and_parts_are_those_of_the_merged_plan() -> None:
    both = visits("belt", "pump").visits[1]
    assert (both.minutes, both.parts) == (90, 120)
