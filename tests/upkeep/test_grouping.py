"""While you are in there: what goes with work that is planned, what it adds, what life it gives away."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from procgen.library.load import load
from procgen.upkeep.due import due
from procgen.upkeep.grouping import companions, job_of
from procgen.upkeep.together import Together
from tests.upkeep.one_cover import one_cover

DEMO = Path(__file__).parent.parent.parent / "procedures"


def test_the_pump_behind_the_same_cover_adds_its_own_minutes_only_and_throws_a_third_of_its_life_away() -> None:
    machine, work, library = one_cover("2026-01-01")
    found = companions(job_of(work["belt"].item, machine.logbook, library), machine, Together(library))
    told = [(each.due.item.address.id, each.shares, each.extra_minutes, each.alone_minutes) for each in found]
    assert told == [("pump", ("cover",), 20, 80), ("pump-look", ("cover",), 5, 65)]
    pump = found[0]
    assert pump.life_left is not None
    assert abs(pump.life_left - Fraction(1, 3)) < Fraction(1, 500)
    assert pump.days_left == (date(2028, 1, 1) - date(2026, 1, 1)).days
    assert pump.saved_minutes == 60


def test_what_the_work_counts_as_doing_anyway_is_no_companion() -> None:
    machine, work, library = one_cover("2026-01-01")
    found = companions(job_of(work["pump"].item, machine.logbook, library), machine, Together(library))
    assert [each.due.item.address.id for each in found] == ["belt"]


def test_the_life_is_that_of_the_day_on_which_the_job_is_planned() -> None:
    machine, work, library = one_cover("2025-01-01")
    job = job_of(work["belt"].item, machine.logbook, library, date(2026, 1, 1))
    pump = companions(job, machine, Together(library))[0]
    assert pump.days_left == (date(2028, 1, 1) - date(2026, 1, 1)).days


@pytest.mark.parametrize("name", ["launch-one-annual", "launch-two-belt", "trailer-a-spring"])
def test_bargains_are_the_same_where_nothing_else_is_planned(name: str) -> None:
    library = load(DEMO).library
    job = library.jobs[name]
    machine = next(each for each in due(library, date(2026, 11, 1)) if each.logbook.address.id == job.logbook)
    everything = companions(job, machine, Together(library))
    assert companions(job, machine, Together(library), only_bargains=True) == tuple(
        each for each in everything if each.is_bargain
    )
