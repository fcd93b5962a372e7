"""Which steps of which procedures touch a thing: read off the expanded procedures, so that nothing is missed that a
component brings with it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.library.library import Library
from procgen.library.origin import Address, Kind
from procgen.manual.paths import safe_name
from procgen.plan.steps import Plan, PlannedStep


@dataclass(frozen=True, slots=True)
class StepMark:
    """A step as others point at it."""

    number: str
    """As printed."""
    anchor: str


@dataclass(frozen=True, slots=True)
class Touch:
    """One procedure that touches a thing, and its steps that do."""

    procedure: Address
    steps: tuple[StepMark, ...]


Work = Mapping[Address, tuple[Touch, ...]]
"""For everything that steps touch: the procedures, in the order of the library."""


def anchor_of(planned: PlannedStep) -> str:
    """The anchor of a step on its procedure's page."""
    return f"step-{safe_name(planned.key)}"


def mark_of(planned: PlannedStep) -> StepMark:
    """How others point at a step."""
    return StepMark(planned.number, anchor_of(planned))


def work(plans: Mapping[str, Plan], library: Library) -> Work:
    """Gather what every step touches."""
    touches: dict[Address, dict[Address, dict[StepMark, None]]] = {}
    for plan in plans.values():
        for planned in plan.steps:
            for address in touched(planned, plan, library):
                by_procedure = touches.setdefault(address, {})
                by_procedure.setdefault(plan.procedure.address, {})[mark_of(planned)] = None
    return {
        address: tuple(Touch(procedure, tuple(steps)) for procedure, steps in by_procedure.items())
        for address, by_procedure in touches.items()
    }


def touched(planned: PlannedStep, plan: Plan, library: Library) -> Iterator[Address]:
    """The addresses of all that a step names outside its text; some more than once."""
    step, items = planned.step, plan.machine.items
    named = (*(action.item for action in planned.actions), *step.sets, *step.record)
    yield from (items[name].address for name in named if name in items)
    used = (*(amount.part for amount in step.uses), *step.new)
    shelves = ((Kind.TOOL, step.tools), (Kind.PART, used), (Kind.NOTICE, step.notices))
    for kind, ids in shelves:
        yield from (record.address for id_ in ids if (record := library.find(Address(kind, id_))))
