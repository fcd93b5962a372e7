"""While you are in there: what else can be done with work that is planned, what it adds, what life it throws away.

Minutes are those of the merged plan of all the procedures, as a job would have it. Nothing is estimated.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from procgen.library.fleet import Job, Logbook, Task
from procgen.library.library import Library
from procgen.library.machine import ScheduleItem
from procgen.library.origin import Address, ItemId, Kind
from procgen.plan.job_plan import JobPlan
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.together import Together, opened_by

_BARGAIN = 0.5
"""What else could be done is told where it takes no more than this share of its time by itself. Ours; no source."""


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

    @property
    def is_bargain(self) -> bool:
        """Whether it is worth telling a person of."""
        return self.extra_minutes <= _BARGAIN * self.alone_minutes


def companions(
    job: Job, machine: MachineDue, together: Together, *, only_bargains: bool = False
) -> tuple[Companion, ...]:
    """The scheduled work of a machine that shares access with a job on it; what saves the most time first.

    What the job does anyway, or counts as doing, is not among it. only_bargains: nothing is planned that cannot be one.
    """
    on = job.planned or machine.on
    planned = frozenset(task.procedure for task in job.do)
    covered = counts_as_done(planned, machine)
    open_anyway = together.opened(job)
    found = []
    for due in machine.work:
        longer = with_work(job, due.item, together.library)
        more = replace(job, do=longer.do[len(job.do) :])
        if not more.do or due.item.address.id in covered or not open_anyway.keys() & together.opened(more).keys():
            continue
        if only_bargains and not _may_be_bargain(*together.most_saved(job, more)):
            continue
        merged = together.plan(longer)
        added = frozenset(index for index, task in enumerate(merged.tasks) if task.task.procedure not in planned)
        shares = _shared_access(merged, added)
        if shares:
            found.append(_companion(due, merged, added, shares, on))
    worth = (each for each in found if each.is_bargain or not only_bargains)
    return tuple(sorted(worth, key=lambda each: (-each.saved_minutes, each.due.item.address.id)))


def _may_be_bargain(most_saved: float, alone: float) -> bool:
    return alone - most_saved <= _BARGAIN * alone


def job_of(item: ScheduleItem, logbook: Logbook, library: Library, on: date | None = None) -> Job:
    """A piece of scheduled work as a job by itself, with the options as they are preset."""
    empty = Job(
        address=Address(Kind.JOB, item.address.id),
        title=item.title,
        origin=item.origin,
        logbook=logbook.address.id,
        planned=on,
    )
    return with_work(empty, item, library)


def with_work(job: Job, item: ScheduleItem, library: Library) -> Job:
    """A job with a piece of scheduled work behind it, as far as the job does not do it."""
    known = {task.procedure for task in job.do}
    more = (name for name in item.do if name in library.procedures and name not in known)
    return replace(job, do=(*job.do, *(Task(procedure=name, options={}, origin=item.origin) for name in more)))


def counts_as_done(procedures: frozenset[str], machine: MachineDue) -> frozenset[str]:
    """The items of the schedule that are done, or reset, by some procedures."""
    schedule = machine.machine.schedule
    done = {name for name, item in schedule.items() if procedures & set(item.do)}
    return with_resets(done, schedule)


def with_resets(done: Iterable[str], schedule: Mapping[str, ScheduleItem]) -> frozenset[str]:
    """Items of the schedule that are done, with those that they reset."""
    found = set(done)
    while more := {reset for name in found if name in schedule for reset in schedule[name].resets} - found:
        found |= more
    return frozenset(found)


def _shared_access(together: JobPlan, added: frozenset[int]) -> tuple[ItemId, ...]:
    """What is taken off, parted or drained for the added work and for the rest in one."""
    found: dict[ItemId, None] = {}
    for step in together.plan.steps:
        tasks = {own.task for own in together.does[step.key]}
        if tasks & added and tasks - added:
            found.update(dict.fromkeys(opened_by(step, together.plan)))
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
