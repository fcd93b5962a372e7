"""Schedules that cannot be kept by what the machine counts, and readings that nobody answered."""

from collections.abc import Iterator, Mapping

from procgen.checks.check import Check, Subject
from procgen.finding import Because, Finding, Severity
from procgen.library.fleet import Entry, Logbook
from procgen.library.items import Spec
from procgen.library.library import Library
from procgen.library.machine import Machine, ScheduleItem
from procgen.measure.typeset import show
from procgen.upkeep.limits import METER_OF, factor_between
from procgen.upkeep.renewal import is_outside, renews


def interval_unmetered(subject: Subject) -> Iterator[Finding]:
    """An interval counts what no meter of the machine counts."""
    for machine in subject.machines:
        own = METER_OF.get(machine.meter)
        for item in machine.schedule.values():
            for limit in item.every.meter_limits if item.every else ():
                if own is not None and factor_between(limit.meter, own) is not None:
                    continue
                why = f"its meter counts {machine.meter}" if own else "it has no meter"
                yield Finding(
                    check="interval-unmetered",
                    severity=Severity.WARNING,
                    place=item.origin.of("every"),
                    message=f"{item.title} is due after {limit.text}, and {machine.title} cannot tell: {why}.",
                    because=(Because(message="the machine's meter", place=machine.origin.of("meter")),),
                    remedy=f"give {machine.address.id} that `meter:`, or write the interval by the calendar",
                )


def interval_circular(subject: Subject) -> Iterator[Finding]:
    """Work is counted in times of other work, and that in times of the first: neither ever falls due."""
    for machine in subject.machines:
        told: set[str] = set()
        for item in machine.schedule.values():
            ring = _ring(item, machine.schedule)
            if ring and not told & set(ring):
                told |= set(ring)
                names = " → ".join((*ring, ring[0]))
                yield Finding(
                    check="interval-circular",
                    severity=Severity.ERROR,
                    place=item.origin.of("every-nth"),
                    message=f"{item.title} is counted by itself, {names}: it never falls due.",
                    because=tuple(_counted(machine.schedule[name]) for name in ring[1:]),
                    remedy="give one of them an interval of its own with `every:`",
                )


def _counted(item: ScheduleItem) -> Because:
    place = item.origin.of("every-nth")
    return Because(message=f"{item.address.id} is counted in times of {item.nth_of}", place=place)


def _ring(item: ScheduleItem, schedule: Mapping[str, ScheduleItem]) -> tuple[str, ...]:
    """The ids from `item` back to itself, where each is counted in times of the next; empty where that ends."""
    met: list[str] = []
    each: ScheduleItem | None = item
    while each is not None and each.every is None and each.address.id not in met:
        met.append(each.address.id)
        each = schedule.get(each.nth_of)
    is_ring = each is not None and each.every is None and each is item
    return tuple(met) if is_ring else ()


def renewal_put_off(subject: Subject) -> Iterator[Finding]:
    """An inspection counts as a renewal: as long as somebody looks, nothing is ever renewed."""
    for machine in subject.machines:
        for item in machine.schedule.values():
            for name in item.resets:
                other = machine.schedule[name]
                if item.kind == "inspect" and other.kind == "renew":
                    yield Finding(
                        check="renewal-put-off",
                        severity=Severity.WARNING,
                        place=item.origin.of("resets"),
                        message=f"{item.title} is an inspection and counts as {other.title}, which is a renewal: "
                        "as long as somebody looks, nothing is renewed.",
                        because=(Because(message=f"{name} is a renewal", place=other.origin.of("kind")),),
                        remedy=f"take {name} out of `resets:`; a renewal may reset an inspection, not the reverse",
                    )


def reading_out_of_limits(subject: Subject) -> Iterator[Finding]:
    """Something was measured outside its limits, and the entry says neither why nor what was done."""
    for logbook in subject.logbooks:
        machine = subject.library.machines.get(logbook.machine)
        for entry in logbook.entries if machine else ():
            if machine and entry.note is None:
                yield from _unanswered(entry, logbook, machine, subject.library)


def _unanswered(entry: Entry, logbook: Logbook, machine: Machine, library: Library) -> Iterator[Finding]:
    for name, value in entry.readings.items():
        spec = machine.items.get(name)
        if not isinstance(spec, Spec) or spec.limits is None or not is_outside(value, spec):
            continue
        if any(renews(entry, item, machine, library) for item in spec.of):
            continue
        yield Finding(
            check="reading-out-of-limits",
            severity=Severity.ADVICE,
            place=entry.origin.of("readings"),
            message=f"{spec.title} of {logbook.name} was {show(value)} on {entry.on}, outside {show(spec.limits)}, "
            "and the entry does not say what was done about it.",
            because=(Because(message=f"limits {show(spec.limits)}", place=spec.origin.of("limits")),),
            remedy="list the new part in `parts:`, or say in `note:` why the old one stayed",
        )


CHECKS = (
    Check("interval-unmetered", Severity.WARNING, interval_unmetered),
    Check("interval-circular", Severity.ERROR, interval_circular),
    Check("renewal-put-off", Severity.WARNING, renewal_put_off),
    Check("reading-out-of-limits", Severity.ADVICE, reading_out_of_limits),
)
