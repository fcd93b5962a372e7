"""While you are in there: what other scheduled work shares the access of work that is due, or of a planned job."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.fleet import Job
from procgen.manual.book import Leaf, Link
from procgen.manual.facts import duration
from procgen.plan.naming import in_sentence
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.gauge import Standing
from procgen.upkeep.grouping import Companion, companions, job_of
from procgen.upkeep.wording import time_left


@dataclass(frozen=True, slots=True, kw_only=True)
class CompanionLine:
    """One piece of work that could be done in the same opening."""

    work: Link
    shares: str
    """What comes off once for both."""
    adds: str
    saves: str
    life: str
    """How much of its interval is given away; empty for nothing."""
    due_on: str
    """ISO 8601; empty where nobody knows."""
    left: str
    """From the day of the work until it is due."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InThere:
    """What shares its access with one piece of work, or one job."""

    work: Link
    takes: str
    """How long that is by itself; empty for a job, whose sheet says it."""
    on: str
    """The day for which life is reckoned, ISO 8601."""
    lines: tuple[CompanionLine, ...]
    """What saves the most time first."""


def in_there(job: Job, leaf: Leaf) -> InThere | None:
    """What could be done with a planned job; None for nothing, or where the manual does not know its day."""
    machine = next((each for each in leaf.book.due if each.logbook.address.id == job.logbook), None)
    if machine is None:
        return None
    return _view(leaf.to(job.address), "", job, machine, leaf)


def all_in_there(machine: MachineDue, leaf: Leaf) -> Iterator[InThere]:
    """What could be done with each job that is planned on a machine, and with what is due and not planned."""
    library = leaf.library
    ahead = {job.address.id: job for due in machine.work for job in due.planned}
    for job in ahead.values():
        if view := _view(leaf.to(job.address), "", job, machine, leaf):
            yield view
    for due in machine.work:
        job = job_of(due.item, machine.logbook, library)
        if due.standing in _PRESSING and job.do and not due.planned:
            takes = duration(leaf.book.together.plan(job).minutes_together)
            if view := _view(leaf.to(due.item.address), takes, job, machine, leaf):
                yield view


_PRESSING = (Standing.OVERDUE, Standing.SOON)


def _view(work: Link, takes: str, job: Job, machine: MachineDue, leaf: Leaf) -> InThere | None:
    if not any(task.procedure in leaf.library.procedures for task in job.do):
        return None
    found = companions(job, machine, leaf.book.together, only_bargains=True)
    lines = tuple(_line(each, machine, leaf) for each in found)
    on = (job.planned or machine.on).isoformat()
    return InThere(work=work, takes=takes, on=on, lines=lines) if lines else None


def _line(each: Companion, machine: MachineDue, leaf: Leaf) -> CompanionLine:
    first, *rest = (machine.machine.items[name].title for name in each.shares)
    return CompanionLine(
        work=leaf.to(each.due.item.address),
        shares=", ".join((first, *map(in_sentence, rest))),
        adds=duration(each.extra_minutes),
        saves=duration(each.saved_minutes),
        life=_life(each),
        due_on=_day(each.due),
        left=time_left(each.days_left),
    )


def _life(each: Companion) -> str:
    if each.life_left is None:
        return "nobody knows"
    return f"{round(each.life_left * 100)}\u202f% of its interval" if each.life_left else "none"


def _day(due: Due) -> str:
    return due.due_on.isoformat() if due.due_on else ""
