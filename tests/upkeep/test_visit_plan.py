"""The visits to a machine over some years: which work goes together, on which days, for how much."""

from datetime import date
from itertools import chain, combinations
from pathlib import Path

import pytest

from procgen.library.load import load
from procgen.plan.job import plan_job
from procgen.upkeep.due import due
from procgen.upkeep.grouping import job_of, with_work
from procgen.upkeep.pricing import Pricing
from procgen.upkeep.together import Together
from procgen.upkeep.visit_plan import Opening, VisitPlan, Visits, interval_days, visit_plan
from procgen.upkeep.visits import Work
from tests.upkeep.one_cover import one_cover

DEMO = Path(__file__).parent.parent.parent / "procedures"


def planned(*names: str, years: int = 8) -> VisitPlan:
    machine, _, library = one_cover("2026-01-01")
    return visit_plan(machine, Together(library), years, names or None)


def only_opening(*names: str) -> Opening:
    (opening,) = planned(*names).openings
    return opening


def days(visits: Visits | None) -> list[tuple[int, list[str]]]:
    assert visits is not None
    return [(visit.on.year, [each.due.item.address.id for each in visit.work]) for visit in visits.visits]


def test_an_interval_is_told_in_days_by_the_limit_that_is_reached_first() -> None:
    machine, work, _ = one_cover("2026-01-01")
    # 100 h a year: 1000 h take ten years, so that four years come first.
    assert interval_days(work["belt"].item, machine) == (date(2030, 1, 1) - date(2026, 1, 1)).days


def test_the_pump_is_renewed_with_the_belt_where_a_second_opening_costs_more_than_its_life() -> None:
    # An hour of opening costs 60, two of four years of the belt 15, two of six years of the pump 40.
    opening = only_opening("belt", "pump")
    assert days(opening.cheapest) == [(2026, ["belt"]), (2028, ["belt", "pump"]), (2032, ["belt", "pump"])]
    # Six years are 2 191 days, as counted from 2026, so that the pump comes round on the last day of 2033.
    when_due = [(2026, ["belt"]), (2028, ["pump"]), (2030, ["belt"]), (2033, ["pump"]), (2034, ["belt"])]
    assert days(opening.when_due) == when_due
    assert opening.cheapest is not None
    assert opening.cheapest.total < opening.when_due.total


def test_a_visit_tells_how_early_work_is_done_and_costs_what_the_merged_plan_takes() -> None:
    opening = only_opening("belt", "pump")
    assert opening.cheapest is not None
    both = opening.cheapest.visits[1]
    early = {each.due.item.address.id: each.early for each in both.work}
    assert early == {"belt": (date(2030, 1, 1) - date(2028, 1, 1)).days, "pump": 0}
    assert (both.minutes, both.parts, both.cost) == (90, 120, 90 + 120)


def test_what_shares_no_access_and_what_other_work_does_anyway_is_left_out_with_the_reason() -> None:
    plan = planned()
    assert [each.item.address.id for each in plan.openings[0].work] == ["pump-look", "belt", "pump"]
    assert [(each.due.item.title, each.reason) for each in plan.left_out] == [
        ("Horn", "shares no access with the rest")
    ]


def test_the_inspection_is_left_out_where_the_renewal_that_resets_it_is_never_due_later() -> None:
    machine, _, library = one_cover("2026-01-01", {"pump": "6 years", "pump-look": "6 years"})
    plan = visit_plan(machine, Together(library))
    assert [(each.due.item.address.id, each.reason) for each in plan.left_out] == [
        ("horn", "shares no access with the rest"),
        ("pump-look", "counts as done with Pump, which is due no later"),
    ]


def test_more_work_behind_one_cover_than_can_be_searched_is_parted_where_the_least_is_shared() -> None:
    machine, _, library = one_cover("2026-01-01", more=6)
    openings = visit_plan(machine, Together(library)).openings
    assert sorted(len(opening.work) for opening in openings) == [3, 6]


def test_work_at_every_second_time_of_overdue_work_waits_for_that_second_time() -> None:
    plan = demo_plan("launch-two", date(2026, 11, 1))
    rollers = [
        (visit.on, each.early)
        for opening in plan.openings
        for visit in opening.when_due.visits
        for each in visit.work
        if each.due.item.address.id == "rollers"
    ]
    # The belt, due in May 2026, is renewed on the day; the second one five years after, and the rollers with it.
    assert rollers == [(date(2031, 11, 1), 0)]


def demo_plan(logbook: str, on: date) -> VisitPlan:
    library = load(DEMO).library
    machine = next(each for each in due(library, on) if each.logbook.address.id == logbook)
    return visit_plan(machine, Together(library))


def test_a_visit_on_which_nothing_is_due_is_never_made() -> None:
    for logbook in ("launch-one", "launch-two"):
        for opening in demo_plan(logbook, date(2026, 11, 1)).openings:
            assert opening.cheapest is not None
            for visit in opening.cheapest.visits:
                assert min(each.early for each in (*visit.work, *visit.counts)) == 0


@pytest.mark.parametrize("logbook", ["launch-one", "launch-two"])
def test_every_set_of_the_work_on_a_launch_costs_what_a_plan_of_its_own_takes(logbook: str) -> None:
    library = load(DEMO).library
    machine = next(each for each in due(library, date(2026, 11, 1)) if each.logbook.address.id == logbook)
    for opening in visit_plan(machine, Together(library)).openings:
        work = [each.item for each in opening.work]
        resets = [
            frozenset(index for index, other in enumerate(work) if other.address.id in item.resets) for item in work
        ]
        pricing = Pricing(work, resets, machine.logbook, Together(library))
        for chosen in all_sets(len(work)):
            needed = [
                item for index, item in enumerate(work) if index in chosen and not reset_by(index, chosen, resets)
            ]
            job = job_of(needed[0], machine.logbook, library)
            for item in needed[1:]:
                job = with_work(job, item, library)
            assert pricing.price(chosen).minutes == pytest.approx(plan_job(job, library).minutes_together)


def reset_by(index: int, chosen: Work, resets: list[Work]) -> bool:
    return any(index in resets[other] for other in chosen)


def all_sets(count: int) -> list[Work]:
    every = chain.from_iterable(combinations(range(count), size) for size in range(1, count + 1))
    return [frozenset(each) for each in every]
