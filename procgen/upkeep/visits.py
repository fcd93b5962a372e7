"""The cheapest visits over some years: what to do together, and what to do before it is due.

The model. Each piece of work has a day on which it is due, and an interval: done on a day, it is due again that many
days later. No work is done after its day. A visit does a set of work and costs what that set costs, on whatever day.
What is left of an interval after the last day is worth that share of the least that the work adds to any visit: without
it, whatever is due near the end would be brought forward for nothing. The cost of all visits up to the last day, less
what is left then, is least.

Why visits only on due days are enough: take the first visit of the cheapest plan on which nothing is due, and move it
to the next day on which some of its work is due, or to the next visit that does some of its work. Nothing falls due
earlier than it did, so the rest of the plan still holds and no less is left at the end, and two visits on one day cost
no more as one, as long as a set costs no more than its parts. So the next visit is on the first due day there is, it
does at least what is due, and all that is to choose is what is done early with it. What is not due up to the last day
is not done for what would be left of it: that is never worth more than it adds.

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """Visits up to the last day."""

    visits: tuple[DayOfWork, ...]
    cost: float
    """Of all visits."""
    left: float
    """What is left of all intervals on the last day, in the same money."""

    @property
    def total(self) -> float:
        """What is least where the visits are the cheapest."""
        return self.cost - self.left


Cost = Callable[[Work], float]
"""What it costs to do a set of work in one visit: 0 or more, and no more than its parts cost one by one."""
Dues = tuple[int, ...]
"""For each piece of work the day on which it is due next."""


def cheapest(clocks: Sequence[Clock], horizon: int, cost: Cost) -> Round:
    """The visits with the least total.

    horizon: the last day that counts, from now. Raises TooTangledError for more than MOST pieces of work, and where too
    much could be chosen.
    """
    _refuse_too_many(clocks)
    return _Search(tuple(clocks), horizon, cost).run()


def when_due(clocks: Sequence[Clock], horizon: int, cost: Cost) -> Round:
    """The visits where nothing is ever done before it is due. Raises TooTangledError for more than MOST pieces."""
    _refuse_too_many(clocks)
    due = tuple(max(clock.due, 0) for clock in clocks)
    visits = []
    while due and min(due) <= horizon:
        day = min(due)
        visits.append(DayOfWork(day, frozenset(index for index, each in enumerate(due) if each == day)))
        due = _after(due, day, visits[-1].work, clocks)
    return _Search(tuple(clocks), horizon, cost).told(visits, due)


def _refuse_too_many(clocks: Sequence[Clock]) -> None:
    if len(clocks) > MOST:
        raise TooTangledError(f"{len(clocks)} pieces of work are more than {MOST}")


class _Search:
    def __init__(self, clocks: tuple[Clock, ...], horizon: int, cost: Cost) -> None:
        self.clocks = clocks
        self.horizon = horizon
        self.costs = {frozenset(each): cost(frozenset(each)) if each else 0.0 for each in _subsets(range(len(clocks)))}
        free = frozenset(index for clock in clocks for index in clock.resets)
        self.worth = tuple(0.0 if index in free else self._least_added(index) for index in range(len(clocks)))
        """Of each piece of work, when all of its interval is left; nothing where it counts as done with other work."""
        self.shares = self._shares()
        self.gone_on: list[tuple[Dues, float]] = []
        """States that were gone on from."""
        self.best: dict[Dues, tuple[float, Dues | None, DayOfWork | None]] = {}

    def _least_added(self, index: int) -> float:
        """The least that a piece of work adds to any visit."""
        added = (self.costs[work | {index}] - cost for work, cost in self.costs.items() if index not in work)
        return max(min(added), 0.0)

    def _shares(self) -> tuple[float, ...]:
        """For each piece of work a share: no set costs less than the shares of all that counts as done with it.

        The most frequent comes first. No share is less than what the work is worth: the least that each adds, summed
        up, is no more than a set costs.
        """
        shares = list(self.worth)
        served = [(cost, _done(work, self.clocks)) for work, cost in self.costs.items()]
        for index in sorted(range(len(self.clocks)), key=lambda each: self.clocks[each].every):
            left = (cost - sum(shares[each] for each in work) for cost, work in served if index in work)
            shares[index] += max(min(left), 0.0)
        return tuple(shares)

    def _at_least(self, due: Dues) -> float:
        """The least that is still to be paid, less the most that can be left."""
        total = 0.0
        for day, clock, share, worth in zip(due, self.clocks, self.shares, self.worth, strict=True):
            times = max((self.horizon - day) // clock.every + 1, 0)
            total += share * times - worth * self._share_left(day + times * clock.every, clock)
        return total

    def _share_left(self, due: int, clock: Clock) -> float:
        return min(max(due - self.horizon, 0) / clock.every, 1.0)

    def _left(self, due: Dues) -> float:
        return sum(
            worth * self._share_left(day, clock) for day, clock, worth in zip(due, self.clocks, self.worth, strict=True)
        )

    def told(self, visits: Sequence[DayOfWork], due: Dues) -> Round:
        """Visits with what they come to. due: the days on which the work is due after them."""
        return Round(visits=tuple(visits), cost=sum(self.costs[each.work] for each in visits), left=self._left(due))

    def run(self) -> Round:
        """The cheapest visits."""
        start = self._within(tuple(max(clock.due, 0) for clock in self.clocks))
        self.best[start] = 0.0, None, None
        waiting = [(self._at_least(start), 0, start)]
        order = 0
        while True:
            bound, _, due = heapq.heappop(waiting)
            paid = self.best[due][0]
            if bound > paid + self._at_least(due) + _SAME:
                continue  # a cheaper way to this state was found since
            if min(due, default=self.horizon + 1) > self.horizon:
                return self.told(self._visits(due), due)
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
                yield DayOfWork(day, work), self._within(after)

    def _within(self, due: Dues) -> Dues:
        """What lies after the last day is all one where nothing that is left is worth anything."""
        last = self.horizon + 1
        return tuple(min(day, last) if not worth else day for day, worth in zip(due, self.worth, strict=True))

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
    done = _done(work, clocks)
    return tuple(day + clocks[index].every if index in done else each for index, each in enumerate(due))


def _done(work: Work, clocks: Sequence[Clock]) -> Work:
    """What counts as done after a visit."""
    return work.union(*(clocks[index].resets for index in work))
