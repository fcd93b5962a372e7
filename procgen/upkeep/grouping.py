"""While you are in there: what else can be done with work that is planned, what it adds, what life it throws away;
and over some years, what is cheapest done together.

Minutes are those of the merged plan of all the procedures, as a job would have it. Nothing is estimated.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from procgen.library.fleet import Job, Logbook, Task
from procgen.library.items import Component, Fluid, Line
from procgen.library.library import Library
from procgen.library.machine import ScheduleItem
from procgen.library.origin import Address, ItemId, Kind
from procgen.library.state import DISTURBS
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.needs import part_needs
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.history import Basis, Since
from procgen.upkeep.limits import measured
from procgen.upkeep.meter import DAYS_IN_A_YEAR
from procgen.upkeep.visits import Clock, Work, cheapest, when_due

# One job and what goes with it


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """Scheduled work that shares its access with a job."""

    due: Due
    shares: tuple[ItemId, ...]
    """What both take off, part or drain, once per job procedures aside."""
    extra_minutes: float
    """What it adds to the job."""
    alone_minutes: float
    """What it takes by itself."""
    life_left: Fraction | None
    """How much of its interval is thrown away if it is done on the job's day: 0 none, 1 all; None: nobody knows."""
    days_left: int | None
    """Days from the job until it is due; negative where it is overdue by then."""

    @property
    def saved_minutes(self) -> float:
        """What is saved by doing it with the job instead of by itself."""
        return self.alone_minutes - self.extra_minutes


def companions(job: Job, machine: MachineDue, library: Library) -> tuple[Companion, ...]:
    """The scheduled work of a machine that shares access with a job on it; what saves the most time first.

    What the job does anyway, or counts as doing, is not among it.
    """
    on = job.planned or machine.on
    planned = frozenset(task.procedure for task in job.do)
    covered = _counts_as_done(planned, machine)
    found = []
    for due in machine.work:
        more = [name for name in due.item.do if name in library.procedures and name not in planned]
        if not more or due.item.address.id in covered:
            continue
        together = plan_job(_with(job, due.item, library), library)
        added = frozenset(index for index, task in enumerate(together.tasks) if task.task.procedure in more)
        shares = _shared_access(together, added)
        if shares:
            found.append(_companion(due, together, added, shares, on))
    return tuple(sorted(found, key=lambda each: (-each.saved_minutes, each.due.item.address.id)))


def job_of(item: ScheduleItem, logbook: Logbook, library: Library, on: date | None = None) -> Job:
    """A piece of scheduled work as a job by itself, with the options as they are preset."""
    empty = Job(
        address=Address(Kind.JOB, item.address.id),
        title=item.title,
        origin=item.origin,
        logbook=logbook.address.id,
        planned=on,
    )
    return _with(empty, item, library)


def _with(job: Job, item: ScheduleItem, library: Library) -> Job:
    known = {task.procedure for task in job.do}
    more = (name for name in item.do if name in library.procedures and name not in known)
    return replace(job, do=(*job.do, *(Task(procedure=name, options={}, origin=item.origin) for name in more)))


def _counts_as_done(procedures: frozenset[str], machine: MachineDue) -> frozenset[str]:
    """The items of the schedule that are done, or reset, by some procedures."""
    schedule = machine.machine.schedule
    done = {name for name, item in schedule.items() if procedures & set(item.do)}
    return _with_resets(done, schedule)


def _with_resets(done: Iterable[str], schedule: Mapping[str, ScheduleItem]) -> frozenset[str]:
    found = set(done)
    while more := {reset for name in found if name in schedule for reset in schedule[name].resets} - found:
        found |= more
    return frozenset(found)


def _shared_access(together: JobPlan, added: frozenset[int]) -> tuple[ItemId, ...]:
    """What is taken off, parted or drained for the added work and for the rest in one."""
    items = together.plan.machine.items
    found: dict[ItemId, None] = {}
    for step in together.plan.steps:
        tasks = {own.task for own in together.does[step.key]}
        if tasks & added and tasks - added:
            for action in step.actions:
                if action.verb in DISTURBS and isinstance(items.get(action.item), (Component, Line, Fluid)):
                    found[action.item] = None
    return tuple(found)


def _companion(due: Due, together: JobPlan, added: frozenset[int], shares: tuple[ItemId, ...], on: date) -> Companion:
    used = due.bites.used_on(on) if due.bites else None
    return Companion(
        due=due,
        shares=shares,
        extra_minutes=sum(together.tasks[index].extra_minutes for index in added),
        alone_minutes=sum(together.tasks[index].minutes_alone for index in added),
        life_left=max(1 - used, Fraction(0)) if used is not None else None,
        days_left=(due.due_on - on).days if due.due_on else None,
    )


# Visits over some years


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One day of work on a machine."""

    on: date
    work: tuple[Due, ...]
    early: tuple[Due, ...]
    """What of it would not be due yet."""
    minutes: float
    parts: float
    """What the parts cost that are needed for certain and have a price."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grouping:
    """The cheapest visits, and what they are cheaper than."""

    visits: tuple[Visit, ...]
    minutes: float
    parts: float
    money: float | None
    """Labour and parts; None where the manual gives no labour rate: then the least time was looked for."""
    minutes_when_due: float
    money_when_due: float | None
    """The same work with nothing done before it is due."""


def cheapest_visits(machine: MachineDue, work: Sequence[Due], library: Library, years: int) -> Grouping:
    """The cheapest way to do some scheduled work from now on, for so many years; see visits.py for the model.

    What has no due day, or no interval that can be told in days, is left out. Intervals are taken in days as the meter
    runs now. Raises TooTangledError for more than visits.MOST pieces of work, and where too much could be chosen.
    """
    known = [(due, days) for due in work if due.due_on and (days := interval_days(due.item, machine))]
    dues = tuple(due for due, _ in known)
    clocks = [_clock(due, days, dues, machine) for due, days in known]
    pricing = _Pricing(machine, dues, library)
    horizon = round(years * DAYS_IN_A_YEAR)
    _, chosen = cheapest(clocks, horizon, pricing.cost)
    _, plain = when_due(clocks, horizon, pricing.cost)
    day_of = {index: max(clock.due, 0) for index, clock in enumerate(clocks)}
    visits = []
    for each in chosen:
        early = tuple(dues[index] for index in sorted(each.work) if day_of[index] > each.day)
        visits.append(
            Visit(
                on=machine.on + timedelta(days=each.day),
                work=tuple(dues[index] for index in sorted(each.work)),
                early=early,
                minutes=pricing.minutes(each.work),
                parts=pricing.parts(each.work),
            )
        )
        for index in each.work.union(*(clocks[index].resets for index in each.work)):
            day_of[index] = each.day + clocks[index].every
    return Grouping(
        visits=tuple(visits),
        minutes=sum(visit.minutes for visit in visits),
        parts=sum(visit.parts for visit in visits),
        money=pricing.money([each.work for each in chosen]),
        minutes_when_due=sum(pricing.minutes(each.work) for each in plain),
        money_when_due=pricing.money([each.work for each in plain]),
    )


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


def _clock(due: Due, days: int, dues: Sequence[Due], machine: MachineDue) -> Clock:
    done = _counts_as_done(frozenset(due.item.do), machine) | _with_resets(
        [due.item.address.id], machine.machine.schedule
    )
    resets = frozenset(index for index, other in enumerate(dues) if other is not due and other.item.address.id in done)
    start = due.due_on or machine.on
    return Clock(due=(start - machine.on).days, every=days, resets=resets)


class _Pricing:
    """What sets of work cost, each planned once."""

    def __init__(self, machine: MachineDue, dues: Sequence[Due], library: Library) -> None:
        self.machine = machine
        self.dues = dues
        self.library = library
        self._known: dict[Work, tuple[float, float]] = {}

    def minutes(self, work: Work) -> float:
        return self._priced(work)[0]

    def parts(self, work: Work) -> float:
        return self._priced(work)[1]

    def cost(self, work: Work) -> float:
        minutes, parts = self._priced(work)
        rate = self.library.manual.labour_rate
        return minutes if rate is None else minutes / 60 * rate + parts

    def money(self, visits: Iterable[Work]) -> float | None:
        return None if self.library.manual.labour_rate is None else sum(map(self.cost, visits))

    def _priced(self, work: Work) -> tuple[float, float]:
        if work not in self._known:
            self._known[work] = self._plan(work)
        return self._known[work]

    def _plan(self, work: Work) -> tuple[float, float]:
        first, *others = sorted(work)
        job = job_of(self.dues[first].item, self.machine.logbook, self.library)
        for index in others:
            job = _with(job, self.dues[index].item, self.library)
        if not job.do:
            return 0.0, 0.0
        planned = plan_job(job, self.library)
        return planned.minutes_together, _price(planned, self.library)


def _price(planned: JobPlan, library: Library) -> float:
    total = 0.0
    for need in part_needs(planned.plan, library):
        part = library.parts.get(need.part)
        if part and part.price is not None and need.is_certain:
            total += part.price * (float(need.amount.middle) if need.amount else need.count)
    return total
