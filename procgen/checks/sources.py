"""Where figures come from: whether anyone says so, whether sources disagree, whether a source was replaced."""

from collections.abc import Iterator

from procgen.checks.check import Check, Subject
from procgen.finding import Because, Finding, Severity
from procgen.library.catalogue import Source
from procgen.library.items import Fastener, Fluid, OtherValue, Record, Spec
from procgen.library.machine import ScheduleItem


def _figures(subject: Subject) -> Iterator[tuple[Record, str]]:
    """Every record that has a figure, and the key of the figure."""
    for machine in subject.machines:
        for item in machine.items.values():
            match item:
                case Fastener() if item.torque is not None:
                    yield item, "torque"
                case Spec() if item.limits is not None:
                    yield item, "limits"
                case Fluid() if item.capacity is not None:
                    yield item, "capacity"
                case _:
                    pass
        for due in machine.schedule.values():
            if due.every is not None:
                yield due, "every"


def unsourced(subject: Subject) -> Iterator[Finding]:
    """A limit, a capacity or an interval that nobody vouches for. Torque has a check of its own."""
    if not subject.library.sources:
        return
    for record, key in _figures(subject):
        if key != "torque" and record.source is None and "source" not in record.faulty:
            yield Finding(
                check="unsourced",
                severity=Severity.WARNING,
                place=record.origin.of(key),
                message=f"The {key} of {record.address.id} has no source: nobody can tell how far to trust it.",
                remedy="add `source:` with the id of a source and the page; `common-practice` is a kind of source too",
            )


def sources_disagree(subject: Subject) -> Iterator[Finding]:
    """Another source gives another figure, and the manual does not say why it is not followed."""
    for record, key in _figures(subject):
        for other in record.other_values:
            if other.key == key and other.why_not is None and _differs(record, other):
                source = f" in {other.source.source}" if other.source else ""
                yield Finding(
                    check="sources-disagree",
                    severity=Severity.WARNING,
                    place=other.origin.place,
                    message=f"The {key} of {record.address.id} is {other.text}{source}, and nothing says why not.",
                    because=(Because(message="the figure that is followed", place=record.origin.of(key)),),
                    remedy="add `why-not:` with the reason why the other figure is followed",
                )


def _differs(record: Record, other: OtherValue) -> bool:
    match record:
        case Fastener(torque=torque) if torque is not None and other.torque is not None:
            return torque.stages != other.torque.stages
        case Spec(limits=quantity) | Fluid(capacity=quantity) if quantity is not None and other.quantity is not None:
            return not quantity.same_as(other.quantity)
        case ScheduleItem():
            return True
        case _:
            return False


def source_superseded(subject: Subject) -> Iterator[Finding]:
    """A figure cites an edition that a later one replaces, and does not say what the later one gives."""
    library = subject.library
    replaced = {source.replaces: source for source in library.sources.values() if source.replaces}
    for record, key in _figures(subject):
        later = replaced.get(record.source.source) if record.source else None
        if later is None or record.source is None or _answered(record, later):
            continue
        newer = later.address.id
        yield Finding(
            check="source-superseded",
            severity=Severity.WARNING,
            place=record.source.place,
            message=f"The {key} of {record.address.id} cites {record.source.source}, which {newer} replaces.",
            because=(Because(message=f"{newer} replaces it", place=later.origin.of("replaces")),),
            remedy=f"look it up in {newer}, or give its figure under `other-values:` with `why-not:`",
        )


def _answered(record: Record, later: Source) -> bool:
    return any(
        other.source is not None and other.source.source == later.address.id and other.why_not is not None
        for other in record.other_values
    )


CHECKS = (
    Check("unsourced", Severity.WARNING, unsourced),
    Check("sources-disagree", Severity.WARNING, sources_disagree),
    Check("source-superseded", Severity.WARNING, source_superseded),
)
