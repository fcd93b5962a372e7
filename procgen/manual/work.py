"""Which steps of which procedures touch a thing: read off the expanded procedures, so that nothing is missed that a
component brings with it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from procgen.library.library import Library
from procgen.library.origin import Address, Kind
from procgen.manual.paths import safe_name
from procgen.plan.steps import Plan, PlannedStep


class StepMark(NamedTuple):
    """A step as others point at it."""

    number: str
    """As printed."""
    anchor: str


class Touch(NamedTuple):
    """One procedure that touches a thing, and its steps that do."""

    procedure: Address
    steps: tuple[StepMark, ...]
    name: str
    """A text that changes with the steps."""


Work = Mapping[Address, tuple[Touch, ...]]
"""For everything that steps touch: the procedures, in the order of the library."""


def anchor_of(planned: PlannedStep) -> str:
    """The anchor of a step on its procedure's page."""
    return f"step-{safe_name(planned.key)}"


def mark_of(planned: PlannedStep) -> StepMark:
    """How others point at a step."""
    return StepMark(planned.number, anchor_of(planned))


class Touched(NamedTuple):
    """The steps of one procedure that touch a thing."""

    steps: tuple[StepMark, ...]
    name: str
    """A text that changes with them."""


def work(touches: Iterable[tuple[Address, Mapping[Address, Touched]]]) -> Work:
    """Gather what every procedure touches: its address, and for each thing the steps."""
    found: dict[Address, list[Touch]] = {}
    for procedure, own in touches:
        for address, (steps, name) in own.items():
            found.setdefault(address, []).append(Touch(procedure, steps, name))
    return {address: tuple(by_procedure) for address, by_procedure in found.items()}


def touched(planned: PlannedStep, plan: Plan, library: Library) -> Iterator[Address]:
    """The addresses of all that a step names outside its text; some more than once."""
    step, items = planned.step, plan.machine.items
    named = (*(action.item for action in planned.actions), *step.sets, *step.record)
    yield from (items[name].address for name in named if name in items)
    used = (*(amount.part for amount in step.uses), *step.new)
    shelves = ((Kind.TOOL, step.tools), (Kind.PART, used), (Kind.NOTICE, step.notices))
    for kind, ids in shelves:
        yield from (record.address for id_ in ids if (record := library.find(Address(kind, id_))))
