"""The visits to one machine over some years: what is cheapest done together, and each piece of work when it is due.

Work that shares access is searched together, opening by opening, by the model of visits.py. Intervals are taken in
days, as the meter runs now; an every-nth one as so many of the other. What the search needs to know of a machine is
worked out here.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations

from procgen.library.machine import ScheduleItem
from procgen.library.origin import ItemId
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.grouping import counts_as_done, job_of, with_resets
from procgen.upkeep.history import Basis, Since
from procgen.upkeep.limits import measured
from procgen.upkeep.meter import DAYS_IN_A_YEAR
from procgen.upkeep.pricing import Pricing
from procgen.upkeep.together import Access, Together
from procgen.upkeep.visits import MOST, Clock, Round, TooTangledError, cheapest, when_due

YEARS = 10
"""How far ahead visits are planned where nobody says: the long intervals come round twice. Ours; no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkDone:
    """A piece of work at one visit."""

    due: Due
    early: int
    """Days before it would be due; 0: on its day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One day of work on a machine."""

    on: date
    work: tuple[WorkDone, ...]
    counts: tuple[WorkDone, ...]
    """What counts as done with it."""
    minutes: float
    parts: float
    """What the parts cost that are needed for certain and have a price."""
    cost: float
    """Labour and parts in money; minutes where the manual gives no labour rate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visits:
    """Visits over some years."""

    visits: tuple[Visit, ...]
    left: float
    """What is left of all intervals on the last day, as a cost."""

    @property
    def minutes(self) -> float:
        """Of all visits."""
        return sum(visit.minutes for visit in self.visits)

    @property
    def parts(self) -> float:
        """Of all visits."""
        return sum(visit.parts for visit in self.visits)

    @property
    def cost(self) -> float:
        """Of all visits."""
        return sum(visit.cost for visit in self.visits)

    @property
    def total(self) -> float:
        """What is compared: the cost, less what is left."""
        return self.cost - self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Work that shares access, and its visits."""

    work: tuple[Due, ...]
    shares: tuple[ItemId, ...]
    """What at least two of it take off, part or drain."""
    cheapest: Visits | None
    """None where the search was given up."""
    when_due: Visits
    gave_up: str = ""
    """Why; empty where it was not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Work that takes no part, and why."""

    due: Due
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlan:
    """The visits to one machine."""

    machine: MachineDue
    years: int
    last: date
    """The last day that counts."""
    openings: tuple[Opening, ...]
    left_out: tuple[LeftOut, ...]


def visit_plan(
    machine: MachineDue, together: Together, years: int = YEARS, only: Collection[str] | None = None
) -> VisitPlan:
    """The cheapest visits to a machine for so many years. only: the items of the schedule that take part; None: all."""
    return _Planner(machine, together, years).plan(only)


def interval_days(item: ScheduleItem, machine: MachineDue, inside: frozenset[str] = frozenset()) -> int | None:
    """The interval of scheduled work in days, as the machine is used now; None where it cannot be told."""
    name = item.address.id
    if item.every is None:
        base = machine.machine.schedule.get(item.nth_of)
        if base is None or name in inside:
            return None
        days = interval_days(base, machine, inside | {name})
        return days * item.nth if days else None
    now = Since(on=machine.on, meter=machine.track.at(machine.on), basis=Basis.DID)
    ends = (measured(limit, now, machine.track, machine.machine.meter).due_on for limit in item.every.limits)
    known = [(end - machine.on).days for end in ends if end]
    return max(min(known), 1) if known else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    due: Due
    opened: Access
    day: int
    """From now until it is due; less than 0 where it is overdue."""
    every: int
    done: frozenset[str]
    """The items of the schedule that count as done with it."""

    @property
    def name(self) -> str:
        return self.due.item.address.id


class _Planner:
    def __init__(self, machine: MachineDue, together: Together, years: int) -> None:
        self.machine = machine
        self.together = together
        self.years = years
        self.horizon = min(round(years * DAYS_IN_A_YEAR), (date.max - machine.on).days)
        self.left_out: list[LeftOut] = []

    def plan(self, only: Collection[str] | None) -> VisitPlan:
        asked = [due for due in self.machine.work if only is None or due.item.address.id in only]
        groups = _openings(self._without_covered(list(self._pieces(asked))))
        openings = tuple(self._opening(group) for group in groups if len(group) > 1)
        for (alone,) in (group for group in groups if len(group) == 1):
            self._leave(alone.due, "shares no access with the rest")
        return VisitPlan(
            machine=self.machine,
            years=self.years,
            last=self.machine.on + timedelta(days=self.horizon),
            openings=openings,
            left_out=tuple(sorted(self.left_out, key=lambda each: self.machine.work.index(each.due))),
        )

    def _leave(self, due: Due, reason: str) -> None:
        self.left_out.append(LeftOut(due=due, reason=reason))

    # What takes part

    def _pieces(self, work: Sequence[Due]) -> Iterator[_Piece]:
        schedule, library = self.machine.machine.schedule, self.together.library
        for due in work:
            every = interval_days(due.item, self.machine)
            job = job_of(due.item, self.machine.logbook, library)
            if not job.do:
                self._leave(due, "names no procedure, so nobody knows what it takes")
            elif due.due_on is None or every is None:
                self._leave(due, "has no day on which it is due")
            else:
                done = counts_as_done(frozenset(due.item.do), self.machine)
                yield _Piece(
                    due=due,
                    opened=self.together.opened(job),
                    day=(due.due_on - self.machine.on).days + self._late(due.item),
                    every=every,
                    done=done | with_resets([due.item.address.id], schedule),
                )

    def _late(self, item: ScheduleItem, inside: frozenset[str] = frozenset()) -> int:
        """By how many days the work is overdue of which this is done at every nth time: those times come later."""
        name = item.address.id
        base = next((each for each in self.machine.work if each.item.address.id == item.nth_of), None)
        if base is None or item.every is not None or name in inside:
            return 0
        return max(-(base.days_left or 0), 0) + self._late(base.item, inside | {name})

    def _without_covered(self, pieces: list[_Piece]) -> list[_Piece]:
        """What always counts as done with other work before it is due is never to be done for itself."""
        kept: list[_Piece] = []
        for piece in sorted(pieces, key=lambda piece: -len(piece.done)):
            cover = next((each for each in kept if _covers(each, piece)), None)
            if cover is None:
                kept.append(piece)
            else:
                self._leave(piece.due, f"counts as done with {cover.due.item.title}, which is due no later")
        return [piece for piece in pieces if piece in kept]

    # Its visits

    def _opening(self, group: list[_Piece]) -> Opening:
        clocks = [_clock(piece, group) for piece in group]
        pricing = Pricing(
            [piece.due.item for piece in group], [clock.resets for clock in clocks], self.machine.logbook, self.together
        )
        plain = when_due(clocks, self.horizon, pricing.cost)
        best, gave_up = None, ""
        try:
            best = cheapest(clocks, self.horizon, pricing.cost)
        except TooTangledError as error:
            gave_up = str(error)
        return Opening(
            work=tuple(piece.due for piece in group),
            shares=_shared(group, self.machine),
            cheapest=self._dated(best, group, clocks, pricing) if best else None,
            when_due=self._dated(plain, group, clocks, pricing),
            gave_up=gave_up,
        )

    def _dated(self, found: Round, group: Sequence[_Piece], clocks: Sequence[Clock], pricing: Pricing) -> Visits:
        day_of = [max(clock.due, 0) for clock in clocks]
        visits = []
        for each in found.visits:
            price, needed = pricing.price(each.work), pricing.needed(each.work)
            every = each.work.union(*(clocks[index].resets for index in each.work))
            done = {index: WorkDone(due=group[index].due, early=day_of[index] - each.day) for index in sorted(every)}
            visits.append(
                Visit(
                    on=self.machine.on + timedelta(days=each.day),
                    work=tuple(each for index, each in done.items() if index in needed),
                    counts=tuple(each for index, each in done.items() if index not in needed),
                    minutes=price.minutes,
                    parts=price.parts,
                    cost=price.cost(self.together.library),
                )
            )
            for index in every:
                day_of[index] = each.day + clocks[index].every
        return Visits(visits=tuple(visits), left=found.left)


def _covers(cover: _Piece, piece: _Piece) -> bool:
    """Whether a piece of work counts as done with another each time before it is due."""
    return piece.name in cover.done and cover.every <= piece.every and max(cover.day, 0) <= max(piece.day, 0)


def _openings(pieces: Sequence[_Piece]) -> list[list[_Piece]]:
    """Work that shares access, directly or through other work, in the order of the first.

    What shares the most comes together first, and no opening grows beyond what can be searched.
    """
    opening_of = {piece.name: [piece] for piece in pieces}
    for one, other in sorted(combinations(pieces, 2), key=lambda pair: -_in_common(*pair)):
        mine, theirs = opening_of[one.name], opening_of[other.name]
        if mine is not theirs and _in_common(one, other) and len(mine) + len(theirs) <= MOST:
            mine.extend(theirs)
            opening_of.update((piece.name, mine) for piece in theirs)
    found = {id(opening): opening for opening in opening_of.values()}
    place = {piece.name: index for index, piece in enumerate(pieces)}
    return [sorted(opening, key=lambda piece: place[piece.name]) for opening in found.values()]


def _in_common(one: _Piece, other: _Piece) -> float:
    """The minutes of what both take off, part or drain; a little for what takes no time."""
    shared = one.opened.keys() & other.opened.keys()
    return sum(min(one.opened[item], other.opened[item]) for item in shared) + len(shared) / 1000


def _clock(piece: _Piece, group: Sequence[_Piece]) -> Clock:
    resets = frozenset(index for index, other in enumerate(group) if other is not piece and other.name in piece.done)
    return Clock(due=piece.day, every=piece.every, resets=resets)


def _shared(group: Sequence[_Piece], machine: MachineDue) -> tuple[ItemId, ...]:
    times = Counter(item for piece in group for item in piece.opened)
    return tuple(ItemId(name) for name in machine.machine.items if times[ItemId(name)] > 1)
