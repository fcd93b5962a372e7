"""What falls due, and whether the logbooks can be believed."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from procgen.checks.check import Check, Subject
from procgen.finding import Because, Finding, Severity
from procgen.library.fleet import Logbook
from procgen.library.origin import Origin


def procedure_missing(subject: Subject) -> Iterator[Finding]:
    """Work falls due, and the manual does not say how it is done."""
    for machine in subject.machines:
        for due in machine.schedule.values():
            if not due.do and "do" not in due.faulty:
                yield Finding(
                    check="procedure-missing",
                    severity=Severity.WARNING,
                    place=due.origin.place,
                    message=f"{due.title} falls due on {machine.title}, and no procedure says how it is done.",
                    remedy="add `do:` with the id of a procedure",
                )


def interval_missing(subject: Subject) -> Iterator[Finding]:
    """Work is on the schedule, and nobody can tell when it falls due."""
    for machine in subject.machines:
        for due in machine.schedule.values():
            if due.every is None and not due.nth_of and not due.faulty & {"every", "every-nth", "of"}:
                yield Finding(
                    check="interval-missing",
                    severity=Severity.ERROR,
                    place=due.origin.place,
                    message=f"{due.title} stands on the schedule without an interval: it never falls due.",
                    remedy="add `every:`, for example `every: [1500 h, 5 years]`",
                )


def log_inconsistent(subject: Subject) -> Iterator[Finding]:
    """A logbook that contradicts itself: a meter that runs backwards, an entry in the future or before the machine."""
    for logbook in subject.logbooks:
        yield from _backwards(logbook)
        yield from _out_of_time(logbook, subject.on)


def _noted(logbook: Logbook) -> list[tuple[date, float, Origin]]:
    readings = [(reading.on, reading.value, reading.origin) for reading in logbook.meter]
    entries = [(entry.on, entry.meter, entry.origin) for entry in logbook.entries if entry.meter is not None]
    return sorted([*readings, *entries], key=lambda noted: (noted[0], noted[1]))


def _backwards(logbook: Logbook) -> Iterator[Finding]:
    noted = _noted(logbook)
    for (earlier, before, first), (later, after, second) in pairwise(noted):
        if after < before:
            yield Finding(
                check="log-inconsistent",
                severity=Severity.ERROR,
                place=second.place,
                message=f"The meter of {logbook.name} runs backwards: {before:g} on {earlier}, {after:g} on {later}.",
                because=(Because(message=f"{before:g} on {earlier}", place=first.place),),
                remedy="mend the figure or the date; after a change of meter, count on from the old one",
            )


def _out_of_time(logbook: Logbook, today: date) -> Iterator[Finding]:
    for on, origin in (
        *((reading.on, reading.origin) for reading in logbook.meter),
        *((entry.on, entry.origin) for entry in logbook.entries),
    ):
        if on > today:
            fault, remedy = f"lies after today, {today}", "a logbook holds what was done; plan it as a job"
        elif logbook.in_service and on < logbook.in_service:
            fault, remedy = f"lies before {logbook.in_service}, when it came into service", "mend one of the two dates"
        else:
            continue
        yield Finding(
            check="log-inconsistent",
            severity=Severity.ERROR,
            place=origin.of("on"),
            message=f"The entry of {on} in the logbook of {logbook.name} {fault}.",
            remedy=remedy,
        )


CHECKS = (
    Check("procedure-missing", Severity.WARNING, procedure_missing),
    Check("interval-missing", Severity.ERROR, interval_missing),
    Check("log-inconsistent", Severity.ERROR, log_inconsistent),
)
