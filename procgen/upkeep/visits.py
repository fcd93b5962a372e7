"""The cheapest visits over some years: what to do together, and what to do before it is due.

The model. Each piece of work has a day on which it is due, and an interval: done on a day, it is due again that many
days later. No work is done after its day. A visit does a set of work and costs what that set costs, on whatever day.
The total of all visits from the first day to the last is least; what lies after the last day costs nothing, and life
that is left then is worth nothing.

Why visits only on due days are enough: take the first visit of the cheapest plan on which nothing is due, and move it
to the next day on which some of its work is due, or to the next visit that does some of its work. Nothing falls due
later than it did, so the rest of the plan still holds, and two visits on one day cost no more as one, as long as a set
costs no more than its parts. So the next visit is on the first due day there is, it does at least what is due, and all
that is to choose is what is done early with it.

The choices are searched best first (A*: Hart, Nilsson and Raphael, 1968; from memory). What is still to be paid is
bounded from below by a share of the cost for each piece of work, so chosen that the shares of no set come to more than
the set costs; each is paid at least as often as its interval fits into what is left. The search is exact.
"""

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, combinations

MOST = 6
"""Pieces of work: there are 2^6 sets of them, and each may be done early at every visit."""
_LARGEST = 20_000
"""How many states are kept before the search is given up: some seconds."""

Work = frozenset[int]
"""Indices of pieces of work."""


class TooTangledError(ValueError):
    """There is more work, or more that could be chosen, than can be searched exactly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """A piece of work that comes round."""

    due: int
    """Day from now on which it is due; 0 or less: now."""
    every: int
    """Days, at least 1."""
    resets: Work = frozenset()
    """Other work that counts as done with it."""


@dataclass(frozen=True, slots=True)
class DayOfWork:
    """One visit."""

    day: int
    """From now."""
    work: Work


Cost = Callable[[Work], float]
"""What it costs to do a set of work in one visit: 0 or more, and no more than its parts cost one by one."""
Dues = tuple[int, ...]
"""For each piece of work the day on which it is due next."""


def cheapest(clocks: Sequence[Clock], horizon: int, cost: Cost) -> tuple[float, tuple[DayOfWork, ...]]:
    """The least total, and visits that have it.

    horizon: the last day that counts, from now. Raises TooTangledError for more than MOST pieces of work, and where too
    much could be chosen.
    """
    if len(clocks) > MOST:
        raise TooTangledError(f"{len(clocks)} pieces of work are more than {MOST}")
    return _Search(tuple(clocks), horizon, cost).run() if clocks else (0.0, ())


def when_due(clocks: Sequence[Clock], horizon: int, cost: Cost) -> tuple[float, tuple[DayOfWork, ...]]:
    """The total, and the visits, where nothing is ever done before it is due."""
    due = tuple(max(clock.due, 0) for clock in clocks)
    total, visits = 0.0, []
    while due and min(due) <= horizon:
        day = min(due)
        work = frozenset(index for index, each in enumerate(due) if each == day)
        due = _after(due, day, work, clocks)
        total += cost(work)
        visits.append(DayOfWork(day, work))
    return total, tuple(visits)


class _Search:
    def __init__(self, clocks: tuple[Clock, ...], horizon: int, cost: Cost) -> None:
        self.clocks = clocks
        self.horizon = horizon
        self.costs = {frozenset(each): cost(frozenset(each)) if each else 0.0 for each in _subsets(range(len(clocks)))}
        self.shares = self._shares()
        self.gone_on: list[tuple[Dues, float]] = []
        """States that were gone on from."""
        self.best: dict[Dues, tuple[float, Dues | None, DayOfWork | None]] = {}

    def _shares(self) -> tuple[float, ...]:
        """For each piece of work a share, so that no set costs less than its shares; the most frequent comes first.

        What counts as done with other work may never be paid for.
        """
        free = frozenset(index for clock in self.clocks for index in clock.resets)
        shares = [0.0] * len(self.clocks)
        for index in sorted(range(len(self.clocks)), key=lambda each: self.clocks[each].every):
            if index not in free:
                left = (cost - sum(shares[each] for each in work) for work, cost in self.costs.items() if index in work)
                shares[index] = max(min(left), 0.0)
        return tuple(shares)

    def _at_least(self, due: Dues) -> float:
        """The least that is still to be paid."""
        times = ((self.horizon - day) // clock.every + 1 for day, clock in zip(due, self.clocks, strict=True))
        return sum(share * max(each, 0) for share, each in zip(self.shares, times, strict=True))

    def run(self) -> tuple[float, tuple[DayOfWork, ...]]:
        start = tuple(min(max(clock.due, 0), self.horizon + 1) for clock in self.clocks)
        self.best[start] = 0.0, None, None
        waiting = [(self._at_least(start), 0, start)]
        order = 0
        while True:
            bound, _, due = heapq.heappop(waiting)
            paid = self.best[due][0]
            if bound > paid + self._at_least(due) + _SAME:
                continue  # a cheaper way to this state was found since
            if min(due) > self.horizon:
                return paid, tuple(self._visits(due))
            if self._is_beaten(due, paid):
                continue
            for visit, after in self._options(due):
                total = paid + self.costs[visit.work]
                if after not in self.best or total < self.best[after][0] - _SAME:
                    order += 1
                    self.best[after] = total, due, visit
                    heapq.heappush(waiting, (total + self._at_least(after), order, after))
            if len(self.best) > _LARGEST:
                raise TooTangledError("too much could be chosen; fewer pieces of work, or fewer years, can be searched")

    def _is_beaten(self, due: Dues, paid: float) -> bool:
        """Whether another state was reached for no more, and nothing of it is due earlier; else it is kept as one."""
        for other, less in self.gone_on:
            if less <= paid + _SAME and all(theirs >= mine for theirs, mine in zip(other, due, strict=True)):
                return other != due
        self.gone_on.append((due, paid))
        return False

    def _options(self, due: Dues) -> Iterator[tuple[DayOfWork, Dues]]:
        """What can be done on the next visit, the least work first, and the due days after it."""
        day = min(due)
        may = [index for index, each in enumerate(due) if each <= self.horizon or self.clocks[index].resets]
        for chosen in _subsets(may):
            work = frozenset(chosen)
            after = _after(due, day, work, self.clocks)
            if min(after) > day:
                yield DayOfWork(day, work), tuple(min(each, self.horizon + 1) for each in after)

    def _visits(self, due: Dues) -> list[DayOfWork]:
        found: list[DayOfWork] = []
        _, before, visit = self.best[due]
        while before is not None and visit is not None:
            found.append(visit)
            _, before, visit = self.best[before]
        return found[::-1]


_SAME = 1e-9
"""Costs nearer than this are equal."""


def _subsets(members: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every subset, the smallest first."""
    return chain.from_iterable(combinations(members, size) for size in range(len(members) + 1))


def _after(due: Dues, day: int, work: Work, clocks: Sequence[Clock]) -> Dues:
    """The due days after a visit."""
    done = work.union(*(clocks[index].resets for index in work))
    return tuple(day + clocks[index].every if index in done else each for index, each in enumerate(due))
