"""Deviations that the author accepts with a reason: what is silenced, and what cannot be."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from procgen.checks.check import Subject
from procgen.finding import Finding, Place, Severity
from procgen.library.items import Component, Record
from procgen.library.near import offer
from procgen.library.origin import Accepted
from procgen.library.procedure import Step, walk


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """A finding that the author accepts, with the reason."""

    finding: Finding
    accepted: Accepted


def accepted_in(subject: Subject) -> Iterator[Accepted]:
    """Every `accepting:` in what is looked at."""
    if subject.is_shop:
        yield from subject.library.manual.accepting
        library = subject.library
        for shelf in (library.tools, library.parts, library.sources, library.notices, library.terms):
            yield from _of(shelf.values())
    for machine in subject.machines:
        yield from _of((machine, *machine.assemblies, *machine.schedule.values(), *machine.items.values()))
        for item in machine.items.values():
            if isinstance(item, Component):
                for change in (item.remove, item.fit):
                    yield from _of(walk(change.steps if change else ()))
    for procedure in subject.procedures:
        yield from _of((procedure, *(procedure.machine.items[item] for item in procedure.local_items)))
        yield from _of(procedure.every_step())
    yield from _of((*subject.logbooks, *subject.written_jobs))


def _of(records: Iterable[Record | Step]) -> Iterator[Accepted]:
    for record in records:
        yield from record.accepting


def settle(
    findings: Iterable[Finding], every: tuple[Accepted, ...], acceptable: frozenset[str]
) -> tuple[tuple[Finding, ...], tuple[Deviation, ...]]:
    """Part `findings` into those that stand and those that are accepted. every: all that the library accepts.

    A finding is accepted where it, or something that led to it, lies in the record that accepts its check. Only the
    checks in `acceptable` can be accepted; an `accepting:` that names another, or accepts nothing, is a finding.
    """
    by_check: dict[str, list[Accepted]] = {}
    for accepted in every:
        if accepted.check in acceptable:
            by_check.setdefault(accepted.check, []).append(accepted)
    standing: list[Finding] = []
    deviations: list[Deviation] = []
    for finding in findings:
        places = (finding.place, *(because.place for because in finding.because))
        match = next(
            (each for each in by_check.get(finding.check, ()) if any(each.covers(place) for place in places)), None
        )
        if match:
            deviations.append(Deviation(finding=finding, accepted=match))
        else:
            standing.append(finding)
    used = {(deviation.accepted.check, deviation.accepted.place) for deviation in deviations}
    standing.extend(_idle(every, used, acceptable))
    return tuple(standing), tuple(deviations)


def _idle(every: Iterable[Accepted], used: set[tuple[str, Place]], acceptable: frozenset[str]) -> Iterator[Finding]:
    for accepted in every:
        if accepted.check not in acceptable:
            yield Finding(
                check="unknown-name",
                severity=Severity.ERROR,
                place=accepted.place,
                message=f'"{accepted.check}" is no check that can be accepted.',
                remedy=offer(accepted.check, acceptable, "`procgen explain` lists the checks"),
            )
        elif (accepted.check, accepted.place) not in used:
            yield Finding(
                check="unused-item",
                severity=Severity.ADVICE,
                place=accepted.place,
                message=f"{accepted.check} is accepted here, and there is nothing to accept.",
                remedy="take it out, so that it cannot hide a new mistake",
            )
