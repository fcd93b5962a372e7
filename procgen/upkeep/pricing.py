"""What it costs to do a set of scheduled work in one visit.

Some sixty sets are looked at for every opening, and to merge a plan takes as long as to make a page of the manual. So
all the work of an opening is merged once, and a set costs what that plan takes without the steps that only the rest
needs. In the demo library that is for every set what its own plan takes; a test holds it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from procgen.library.condition import holds
from procgen.library.fleet import Logbook
from procgen.library.library import Library
from procgen.library.machine import ScheduleItem
from procgen.plan.duration import minutes_of
from procgen.plan.job_plan import JobPlan
from procgen.plan.needs import PartNeed, part_needs
from procgen.plan.snapshots import complete
from procgen.plan.steps import Plan
from procgen.upkeep.grouping import job_of, with_work
from procgen.upkeep.together import Together
from procgen.upkeep.visits import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What a visit costs."""

    minutes: float
    parts: float
    """What the parts cost that are needed for certain and have a price."""

    def cost(self, library: Library) -> float:
        """Labour and parts in money, or minutes where the manual gives no labour rate."""
        rate = library.manual.labour_rate
        return self.minutes if rate is None else self.minutes / 60 * rate + self.parts


class Pricing:
    """Prices of sets of work on one machine; work is named by its index."""

    def __init__(
        self, work: Sequence[ScheduleItem], resets: Sequence[Work], logbook: Logbook, together: Together
    ) -> None:
        """resets: for each piece of work, what counts as done with it."""
        self.work = tuple(work)
        self.resets = tuple(resets)
        self.logbook = logbook
        self.together = together
        schedule = list(together.library.machines[logbook.machine].schedule)
        # In the order of the schedule, so that machines of a kind have plans in common.
        self.order = [schedule.index(item.address.id) for item in self.work]
        self._known: dict[Work, Price] = {}
        self._bases: dict[Work, _Base] = {}

    def cost(self, work: Work) -> float:
        """As the search takes it."""
        return self.price(work).cost(self.together.library)

    def price(self, work: Work) -> Price:
        """What a set costs."""
        needed = self.needed(work)
        if needed not in self._known:
            self._known[needed] = self._base(needed).price(needed)
        return self._known[needed]

    def needed(self, work: Work) -> Work:
        """What of a set is done: the rest counts as done with it."""
        left = work
        for index in sorted(work):
            if any(index in self.resets[other] for other in left - {index}):
                left -= {index}
        return left

    def _plan(self, work: Work) -> JobPlan:
        first, *others = sorted(work, key=lambda index: self.order[index])
        job = job_of(self.work[first], self.logbook, self.together.library)
        for index in others:
            job = with_work(job, self.work[index], self.together.library)
        return self.together.plan(job)

    def _base(self, work: Work) -> "_Base":
        """The merged plan that a set is priced by: of it, and of all else that does not count as done with the rest."""
        whole = work
        for index in range(len(self.work)):
            if self.needed(whole | {index}) == whole | {index}:
                whole |= {index}
        if whole not in self._bases:
            self._bases[whole] = _Base(self, whole, self._plan(whole))
        return self._bases[whole]

    def _worth(self, need: PartNeed) -> float:
        part = self.together.library.parts.get(need.part)
        if part is None or part.price is None or not need.is_certain:
            return 0.0
        return part.price * (float(need.amount.middle) if need.amount else need.count)

    def worths(self, plan: Plan) -> Iterator[tuple[str, frozenset[str], float]]:
        """Of each part that a plan needs: its id, what it goes into, what it costs."""
        for need in part_needs(plan, self.together.library):
            yield need.part, frozenset(need.items), self._worth(need)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Steps that are done for the same procedures."""

    tasks: frozenset[int]
    minutes: float
    own: dict[int, float]
    """For each procedure what it gives for them, where it is done without the others."""


class _Base:
    """A merged plan from which the work of some can be left out."""

    def __init__(self, pricing: Pricing, work: Work, planned: JobPlan) -> None:
        self.tasks = {
            index: frozenset(
                place for place, task in enumerate(planned.tasks) if task.task.procedure in pricing.work[index].do
            )
            for index in work
        }
        self.stretches = tuple(_stretches(planned))
        self.alone = [task.minutes_alone for task in planned.tasks]
        self.worths = [tuple(pricing.worths(task.alone)) for task in planned.tasks]

    def price(self, work: Work) -> Price:
        tasks: frozenset[int] = frozenset().union(*(self.tasks[index] for index in work))
        if len(tasks) == 1:
            (task,) = tasks
            return Price(minutes=self.alone[task], parts=self._parts(tasks))
        return Price(minutes=sum(_minutes(each, tasks) for each in self.stretches), parts=self._parts(tasks))

    def _parts(self, tasks: frozenset[int]) -> float:
        """A part that several put into the same place is needed once."""
        found: dict[tuple[str, str], float] = {}
        total = 0.0
        for task in sorted(tasks):
            for part, items, worth in self.worths[task]:
                places = [(part, item) for item in items]
                known = max((found[place] for place in places if place in found), default=0.0)
                total += max(worth - known, 0.0)
                found.update(dict.fromkeys(places, max(worth, known)))
        return total


def _stretches(planned: JobPlan) -> Iterator[_Stretch]:
    usual = complete(planned.plan, {})
    for step in planned.plan.steps:
        if minutes := minutes_of(step) if holds(step.when, usual) else 0.0:
            own: dict[int, float] = {}
            for each in planned.does[step.key]:
                own.setdefault(each.task, minutes_of(planned.tasks[each.task].own(each.key)))
            yield _Stretch(frozenset(own), minutes, own)


def _minutes(stretch: _Stretch, tasks: frozenset[int]) -> float:
    left = stretch.tasks & tasks
    if left == stretch.tasks:
        return stretch.minutes
    return min(stretch.minutes, max((stretch.own[task] for task in left), default=0.0))
