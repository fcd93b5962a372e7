"""What is due on every individual machine on a day: each item of its schedule, measured against its logbook."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from procgen.library.fleet import Job, Logbook
from procgen.library.library import Library
from procgen.library.machine import Machine, ScheduleItem
from procgen.upkeep.gauge import Standing, standing_on
from procgen.upkeep.history import Basis, History, Since
from procgen.upkeep.limits import LimitUse, measured
from procgen.upkeep.meter import Track, track
from procgen.upkeep.nth import nth_use
from procgen.upkeep.trend import Trend, trends


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One item of the schedule of one machine, on a day."""

    item: ScheduleItem
    on: date
    since: Since | None
    """What its intervals count from; None where nothing tells."""
    limits: tuple[LimitUse, ...]
    """In the author's order."""
    bites: LimitUse | None
    """The limit that is reached first, or was; None where none can be told."""
    otherwise: Standing
    """How it stands on days that are neither overdue nor due soon: fine, never done, unknown."""
    planned: tuple[Job, ...]
    """Jobs that will do it."""

    @property
    def standing(self) -> Standing:
        """How it stands on the day."""
        return standing_on(self.on, due_on=self.due_on, soon_on=self.soon_on, otherwise=self.otherwise)

    @property
    def due_on(self) -> date | None:
        """The day on which the first limit is reached, or was; None: never, or nobody knows."""
        return min((use.due_on for use in self.limits if use.due_on), default=None)

    @property
    def soon_on(self) -> date | None:
        """The day from which it is due soon."""
        return min((use.soon_on for use in self.limits if use.soon_on), default=None)

    @property
    def used(self) -> Fraction | None:
        """How much is used of the limit that bites: 0 nothing, 1 all of it; None where nobody knows."""
        return self.bites.used_on(self.on) if self.bites else None

    @property
    def days_left(self) -> int | None:
        """Days until it is due, negative once it is overdue; None where it has no day."""
        return (self.due_on - self.on).days if self.due_on else None

    @property
    def is_never_done(self) -> bool:
        """Whether the logbook has no entry that did it."""
        return self.since is None or self.since.basis is Basis.IN_SERVICE


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineDue:
    """What is due on one machine."""

    logbook: Logbook
    machine: Machine
    on: date
    track: Track
    work: tuple[Due, ...]
    """The most urgent first."""
    trends: tuple[Trend, ...]
    """Of everything that was measured on it."""

    @property
    def meter_now(self) -> Fraction | None:
        """What the meter is expected to say on the day; the latest reading where its rate is not known."""
        return self.track.at(self.on) if self.track.latest else None

    def count(self, standing: Standing) -> int:
        """How many items stand so."""
        return sum(due.standing is standing for due in self.work)


def due(library: Library, on: date) -> tuple[MachineDue, ...]:
    """What is due on each individual machine on the day `on`, in the order of the logbooks.

    Only what the logbook knew by then counts. Items whose procedures are not for the machine's variants are left out.
    """
    return tuple(
        machine_due(library, logbook, on)
        for logbook in library.logbooks.values()
        if logbook.machine in library.machines
    )


def machine_due(library: Library, logbook: Logbook, on: date) -> MachineDue:
    """What is due on one machine, whose model the library must have."""
    machine = library.machines[logbook.machine]
    history = History(library, machine, logbook, track(logbook, on), on)
    work = [_due(item, history) for item in machine.schedule.values() if history.applies(item)]
    return MachineDue(
        logbook=logbook,
        machine=machine,
        on=on,
        track=history.track,
        work=tuple(sorted(work, key=_urgency)),
        trends=trends(library, logbook, on),
    )


def most_urgent_first(machines: tuple[MachineDue, ...]) -> tuple[MachineDue, ...]:
    """The machines in the order of their most urgent work; those without any work last."""
    return tuple(sorted(machines, key=lambda each: (not each.work, _urgency(each.work[0]) if each.work else ())))


_RANK = {each: place for place, each in enumerate(Standing)}


def _urgency(each: Due) -> tuple[int, date, Fraction]:
    return _RANK[each.standing], each.due_on or date.max, -(each.used or Fraction(0))


def _due(item: ScheduleItem, history: History) -> Due:
    since = history.since(item)
    limits = tuple(_limits(item, since, history))
    return Due(
        item=item,
        on=history.on,
        since=since,
        limits=limits,
        bites=_first(limits, history.on),
        otherwise=_otherwise(since, limits),
        planned=tuple(_planned(item, since, history)),
    )


def _limits(item: ScheduleItem, since: Since | None, history: History) -> Iterator[LimitUse]:
    for limit in item.every.limits if item.every else ():
        if since is None:
            yield LimitUse(limit=limit, gauge=None, trouble="it was never done, and nothing tells the machine's age")
        else:
            yield measured(limit, since, history.track, history.machine.meter)
    if item.nth_of:
        yield nth_use(item, history)


def _first(limits: tuple[LimitUse, ...], on: date) -> LimitUse | None:
    """The limit that is reached first; of those that no day is known for, the one that is used most."""
    known = [use for use in limits if use.gauge]
    dated = [use for use in known if use.due_on]
    if dated:
        return min(dated, key=lambda use: use.due_on or date.max)
    return max(known, key=lambda use: use.used_on(on) or Fraction(0), default=None)


def _otherwise(since: Since | None, limits: tuple[LimitUse, ...]) -> Standing:
    if any(use.gauge and not use.trouble for use in limits):
        return Standing.FINE
    return Standing.NEVER_DONE if since is None else Standing.UNKNOWN


def _planned(item: ScheduleItem, since: Since | None, history: History) -> Iterator[Job]:
    for job in history.library.jobs.values():
        on_this_machine = job.logbook == history.logbook.address.id
        is_ahead = job.planned is None or since is None or job.planned > since.on
        if on_this_machine and is_ahead and any(history.counts(task.procedure, item) for task in job.do):
            yield job
