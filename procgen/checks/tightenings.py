"""What the torque family looks at: every fastener that is declared, and every step that tightens one."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from procgen.checks.check import Subject
from procgen.finding import Because, Finding, Place
from procgen.library.items import Fastener
from procgen.library.origin import Address
from procgen.library.state import Verb
from procgen.measure.quantity import exactly
from procgen.measure.unit_table import Unit
from procgen.plan.steps import Maker, Plan, PlannedStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Tightening:
    """A step, as it will be done, that tightens a fastener."""

    fastener: Fastener
    planned: PlannedStep
    plan: Plan

    @property
    def place(self) -> Place:
        """The step that somebody wrote: itself, or the one that asked for it."""
        return place_of(self.planned)

    @property
    def declared(self) -> Because:
        """Where the fastener is declared, so that it can be gone to, and can accept a finding."""
        return declared(self.fastener)


def place_of(planned: PlannedStep) -> Place:
    """Where somebody wrote a step: the step itself, or the author's own step that it was made for."""
    return planned.author.place if planned.maker is Maker.DATA else planned.step.place


def declared(fastener: Fastener) -> Because:
    """Where the fastener is declared."""
    return Because(message=f"{fastener.id} is declared", place=fastener.origin.place)


def fasteners(subject: Subject) -> Iterator[Fastener]:
    """Every fastener that a machine or a procedure declares, in the order of the files."""
    for machine in subject.machines:
        yield from (item for item in machine.items.values() if isinstance(item, Fastener))
    for procedure in subject.procedures:
        for name in procedure.local_items:
            item = procedure.machine.items[name]
            if isinstance(item, Fastener):
                yield item


def tightenings(subject: Subject) -> tuple[Tightening, ...]:
    """Every tightening of every procedure, in the order of doing; a step that many procedures share comes in each."""
    return subject.worked_out(_tightenings)


def _tightenings(subject: Subject) -> Iterator[Tightening]:
    for procedure in subject.procedures:
        plan = subject.plan(procedure)
        for planned in plan.steps:
            for action in planned.actions:
                item = plan.machine.items.get(action.item)
                if action.verb is Verb.TIGHTEN and isinstance(item, Fastener):
                    yield Tightening(fastener=item, planned=planned, plan=plan)


def each_once(found: Iterable[Tightening]) -> Iterator[Tightening]:
    """Of the tightenings of one fastener by one written step only the first."""
    seen: set[tuple[Place, Address]] = set()
    for each in found:
        key = (each.place, each.fastener.address)
        if key not in seen:
            seen.add(key)
            yield each


def by_step(finding: Finding) -> object:
    """What makes two findings one: the same step, in whatever procedures it is done, and the same fastener."""
    return finding.place, of_fastener(finding)


def of_fastener(finding: Finding) -> object:
    """What makes two findings one where they are about a fastener, not about a step."""
    return finding.because[0].place


def in_unit(torque_nm: float, unit: Unit) -> str:
    """A computed torque in the author's unit, to two figures, or three from a hundred: "38 N·m", "144 lbf·ft"."""
    value = float(exactly(torque_nm, "N·m").to(unit).middle)
    figures = 3 if abs(value) >= 100 else 2
    rounded = f"{value:.{figures}g}"
    return f"{float(rounded):g} {unit.symbol}"


def stage_place(fastener: Fastener, stage: int) -> Place:
    """Where a stage of the torque is written."""
    places = fastener.stage_places
    return places[stage] if stage < len(places) else fastener.origin.of("torque")
