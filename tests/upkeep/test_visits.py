"""The cheapest visits, held against a search that may visit on any day and do anything."""

from fractions import Fraction
from functools import cache
from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.upkeep.visits import Clock, TooTangledError, Work, cheapest, when_due


def subsets(count: int) -> list[Work]:
    every = chain.from_iterable(combinations(range(count), size) for size in range(count + 1))
    return [frozenset(each) for each in every]


def worth(index: int, clocks: list[Clock], costs: dict[Work, int]) -> int:
    """What a whole interval is worth on the last day: the least that the work adds; nothing where others reset it."""
    if any(index in clock.resets for clock in clocks):
        return 0
    return min(costs[work | {index}] - costs[work] for work in costs if index not in work)


def by_trying_every_day(clocks: list[Clock], horizon: int, costs: dict[Work, int]) -> Fraction:
    """Day after day, every set of work that leaves nothing overdue."""
    worths = [worth(index, clocks, costs) for index in range(len(clocks))]

    @cache
    def least(day: int, due: tuple[int, ...]) -> Fraction:
        if day > horizon:
            left = (
                Fraction(min(max(each - horizon, 0), clocks[i].every), clocks[i].every) for i, each in enumerate(due)
            )
            return -sum((share * worths[i] for i, share in enumerate(left)), Fraction(0))
        totals = []
        for work, cost in costs.items():
            done = work.union(*(clocks[index].resets for index in work))
            if all(day < due[index] or index in done for index in range(len(due))):
                after = tuple(day + clocks[i].every if i in done else each for i, each in enumerate(due))
                totals.append(cost + least(day + 1, after))
        return min(totals)

    return least(0, tuple(max(clock.due, 0) for clock in clocks))


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[Clock], int, dict[Work, int]]:
    """A few pieces of work; a set costs what its access costs once and what each piece costs by itself."""
    count = draw(st.integers(1, 3))
    clocks = []
    for index in range(count):
        others = [other for other in range(count) if other > index]
        resets = draw(st.sampled_from([(), (), tuple(others[:1])]))
        clocks.append(Clock(due=draw(st.integers(-1, 6)), every=draw(st.integers(1, 6)), resets=frozenset(resets)))
    access = [draw(st.sets(st.integers(0, 3), max_size=3)) for _ in range(count)]
    covers = [draw(st.integers(0, 9)) for _ in range(4)]
    own = [draw(st.integers(0, 9)) for _ in range(count)]
    costs = {
        work: sum(covers[each] for each in set().union(*(access[index] for index in work)))
        + sum(own[index] for index in work)
        for work in subsets(count)
    }
    return clocks, draw(st.integers(0, 13)), costs


@settings(max_examples=300, deadline=None)
@given(problems())
def test_no_other_days_and_no_other_work_are_cheaper(problem: tuple[list[Clock], int, dict[Work, int]]) -> None:
    clocks, horizon, costs = problem
    found = cheapest(clocks, horizon, lambda work: costs[work])
    assert found.total == pytest.approx(float(by_trying_every_day(clocks, horizon, costs)))


@settings(max_examples=200, deadline=None)
@given(problems())
def test_the_visits_keep_every_day_and_cost_what_they_are_said_to_cost(
    problem: tuple[list[Clock], int, dict[Work, int]],
) -> None:
    clocks, horizon, costs = problem
    for found in (
        cheapest(clocks, horizon, lambda work: costs[work]),
        when_due(clocks, horizon, lambda work: costs[work]),
    ):
        due = [max(clock.due, 0) for clock in clocks]
        for visit in found.visits:
            assert visit.day <= min(due)
            for index in visit.work.union(*(clocks[each].resets for each in visit.work)):
                due[index] = visit.day + clocks[index].every
        assert min(due) > horizon
        assert found.cost == sum(costs[visit.work] for visit in found.visits)
        left = [min(max(day - horizon, 0) / clocks[i].every, 1) * worth(i, clocks, costs) for i, day in enumerate(due)]
        assert found.left == pytest.approx(sum(left))


def test_two_belts_behind_one_cover_are_renewed_together_though_one_has_years_left() -> None:
    # The cover costs 10, each belt 1. When due: one belt on days 100, 150 and 200, both on day 300, in all 45.
    clocks = [Clock(due=100, every=100), Clock(due=150, every=150)]
    found = cheapest(clocks, 300, lambda work: 10 + len(work))
    assert (found.cost, len(found.visits)) == (12 + 12 + 11, 3)
    assert when_due(clocks, 300, lambda work: 10 + len(work)).cost == 11 + 11 + 11 + 12


def test_a_belt_is_not_renewed_long_before_its_day_only_because_the_years_that_count_end_soon() -> None:
    # Each belt adds 8 and the cover costs 2. On day 190 the second belt has 90 of its 100 days left; doing it then
    # would save the cover on day 280, and throw away days for which 7.2 were paid; day 290 is none that counts.
    clocks = [Clock(due=190, every=300), Clock(due=280, every=100)]
    found = cheapest(clocks, 285, lambda work: 2.0 + 8 * len(work))
    assert [(visit.day, sorted(visit.work)) for visit in found.visits] == [(190, [0]), (280, [1])]


def test_nothing_is_done_early_that_shares_nothing() -> None:
    clocks = [Clock(due=100, every=100), Clock(due=150, every=150)]
    found = cheapest(clocks, 250, lambda work: 10.0 * len(work))
    assert [(visit.day, sorted(visit.work)) for visit in found.visits] == [(100, [0]), (150, [1]), (200, [0])]


def test_no_work_needs_no_visits() -> None:
    assert cheapest([], 10, len).visits == when_due([], 10, len).visits == ()


def test_more_work_than_can_be_searched_is_refused() -> None:
    with pytest.raises(TooTangledError, match="7 pieces of work"):
        cheapest([Clock(due=1, every=1)] * 7, 10, len)
