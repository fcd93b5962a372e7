"""The cheapest visits, held against a search that may visit on any day and do anything."""

from functools import cache
from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.upkeep.visits import Clock, TooTangledError, Work, cheapest, when_due


def subsets(count: int) -> list[Work]:
    every = chain.from_iterable(combinations(range(count), size) for size in range(count + 1))
    return [frozenset(each) for each in every]


def by_trying_every_day(clocks: list[Clock], horizon: int, costs: dict[Work, int]) -> int:
    """Day after day, every set of work that leaves nothing overdue."""

    @cache
    def least(day: int, due: tuple[int, ...]) -> int:
        if day > horizon:
            return 0
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
    total, _ = cheapest(clocks, horizon, lambda work: costs[work])
    assert total == by_trying_every_day(clocks, horizon, costs)


@settings(max_examples=200, deadline=None)
@given(problems())
def test_the_visits_keep_every_day_and_cost_what_they_are_said_to_cost(
    problem: tuple[list[Clock], int, dict[Work, int]],
) -> None:
    clocks, horizon, costs = problem
    for total, visits in (
        cheapest(clocks, horizon, lambda work: costs[work]),
        when_due(clocks, horizon, lambda work: costs[work]),
    ):
        due = [max(clock.due, 0) for clock in clocks]
        for visit in visits:
            assert visit.day <= min(due)
            for index in visit.work.union(*(clocks[each].resets for each in visit.work)):
                due[index] = visit.day + clocks[index].every
        assert min(due) > horizon
        assert total == sum(costs[visit.work] for visit in visits)


def test_two_belts_behind_one_cover_are_renewed_together_though_one_has_years_left() -> None:
    # The cover costs 10, each belt 1. When due: one belt on days 100, 150 and 200, both on day 300, in all 45.
    clocks = [Clock(due=100, every=100), Clock(due=150, every=150)]
    total, visits = cheapest(clocks, 300, lambda work: 10 + len(work))
    assert (total, len(visits)) == (12 + 12 + 11, 3)
    assert when_due(clocks, 300, lambda work: 10 + len(work))[0] == 11 + 11 + 11 + 12


def test_nothing_is_done_early_that_shares_nothing() -> None:
    clocks = [Clock(due=100, every=100), Clock(due=150, every=150)]
    _, visits = cheapest(clocks, 250, lambda work: 10.0 * len(work))
    assert [(visit.day, sorted(visit.work)) for visit in visits] == [(100, [0]), (150, [1]), (200, [0])]


def test_more_work_than_can_be_searched_is_refused() -> None:
    with pytest.raises(TooTangledError, match="7 pieces of work"):
        cheapest([Clock(due=1, every=1)] * 7, 10, len)
