"""Whether a job can begin: the parts, consumables, fluids and tools of its plan, against what is on hand.

A part that is not on hand has to be ordered; the job may start when the last of those comes that it needs for certain.
What only may be needed is told, with its day for ordering, and delays nothing. Consumables without a lead time are
taken from the shelf: their amounts are told. A part without a lead time that is not on hand leaves the day open.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from io import StringIO

from procgen.library.condition import Condition
from procgen.library.items import Fluid
from procgen.library.library import Library
from procgen.library.origin import ItemId, PartId, ToolId
from procgen.library.state import Verb
from procgen.measure.quantity import Quantity
from procgen.measure.typeset import show
from procgen.plan.job_plan import JobPlan
from procgen.plan.needs import PartNeed, any_of, part_needs
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.tooling import tools_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One part or consumable of a job."""

    need: PartNeed
    title: str
    number: str
    where: str
    """Where it lies; empty where nobody says."""
    is_consumable: bool
    on_hand: bool
    """It is on the job's list, or a consumable that is taken from the shelf."""
    lead_days: int | None
    order_by: date | None
    """The last day for ordering it in time for the planned day; None where it is there, or either is not known."""
    price: float | None
    """Of one piece, or of one unit."""

    @property
    def is_missing(self) -> bool:
        """Whether it is needed for certain and not there."""
        return self.need.is_certain and not self.on_hand

    @property
    def cost(self) -> float | None:
        """What all that is needed for certain costs; None where no price is known."""
        if self.price is None:
            return None
        amount = self.need.amount
        return self.price * (float(amount.middle) if amount else self.need.count)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLine:
    """One tool of a job."""

    tool: ToolId
    title: str
    is_special: bool
    where: str
    steps: tuple[str, ...]
    """Keys of the steps that use it."""
    when: Condition
    """In which ways through it is needed at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FluidLine:
    """One fluid that is drained or filled in."""

    fluid: ItemId
    title: str
    capacity: Quantity | None
    part: PartId | None
    is_drained: bool
    is_filled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """What a job needs, and when it may start."""

    planned: date | None
    today: date
    """The day for which it was worked out."""
    parts: tuple[PartLine, ...]
    """In the order of first use, consumables too."""
    tools: tuple[ToolLine, ...]
    fluids: tuple[FluidLine, ...]

    @property
    def missing(self) -> tuple[PartLine, ...]:
        """What is needed for certain and not there, what has to be ordered first first."""
        return _first_ordered(line for line in self.parts if line.is_missing)

    @property
    def may_be_missing(self) -> tuple[PartLine, ...]:
        """What is not there and needed only if an inspection fails."""
        return _first_ordered(line for line in self.parts if not line.on_hand and not line.need.is_certain)

    @property
    def unknown(self) -> tuple[PartLine, ...]:
        """What is missing and nobody knows how long it takes."""
        return tuple(line for line in self.missing if line.lead_days is None)

    @property
    def earliest(self) -> date:
        """The first day on which all is there that is needed for certain, if it is ordered today.

        What has no lead time is left out of it; see `unknown`.
        """
        return self.today + timedelta(days=max((line.lead_days or 0 for line in self.missing), default=0))

    @property
    def is_late(self) -> bool:
        """Whether the planned day cannot be kept any more."""
        return self.planned is not None and self.earliest > self.planned

    @property
    def special_tools(self) -> tuple[ToolLine, ...]:
        """The tools that only this work needs."""
        return tuple(tool for tool in self.tools if tool.is_special)


def readiness(job: JobPlan, library: Library, today: date) -> Readiness:
    """What a job needs, and when it may start, as seen on the day `today`."""
    plan = job.plan
    on_hand = frozenset(job.job.on_hand)
    planned = job.job.planned
    return Readiness(
        planned=planned,
        today=today,
        parts=tuple(_part(need, on_hand, planned, library) for need in part_needs(plan, library)),
        tools=tuple(_tools(plan, library)),
        fluids=tuple(_fluids(plan)),
    )


def _part(need: PartNeed, on_hand: frozenset[PartId], planned: date | None, library: Library) -> PartLine:
    part = library.parts.get(need.part)
    lead_days = part.lead_days if part else None
    is_consumable = bool(part and part.consumable)
    there = need.part in on_hand or (is_consumable and lead_days is None)
    return PartLine(
        need=need,
        title=part.title if part else need.part.replace("-", " "),
        number=part.number if part else "",
        where=part.where if part else "",
        is_consumable=is_consumable,
        on_hand=there,
        lead_days=lead_days,
        order_by=planned - timedelta(days=lead_days) if planned and lead_days is not None and not there else None,
        price=part.price if part else None,
    )


def _first_ordered(lines: Iterator[PartLine]) -> tuple[PartLine, ...]:
    return tuple(sorted(lines, key=lambda line: -1 if line.lead_days is None else line.lead_days, reverse=True))


def _tools(plan: Plan, library: Library) -> Iterator[ToolLine]:
    using: dict[str, list[PlannedStep]] = {}
    for planned in plan.steps:
        for name in planned.step.tools:
            using.setdefault(name, []).append(planned)
    for tool in tools_of(plan, library):
        steps = using.get(tool.address.id, [])
        yield ToolLine(
            tool=ToolId(tool.address.id),
            title=tool.title,
            is_special=tool.special,
            where=tool.where,
            steps=tuple(step.key for step in steps),
            when=any_of(step.when for step in steps),
        )


def _fluids(plan: Plan) -> Iterator[FluidLine]:
    verbs: dict[str, set[Verb]] = {}
    for planned in plan.steps:
        for action in planned.actions:
            if isinstance(plan.machine.items.get(action.item), Fluid):
                verbs.setdefault(action.item, set()).add(action.verb)
    for name, done in verbs.items():
        fluid = plan.machine.items[name]
        if isinstance(fluid, Fluid):
            yield FluidLine(
                fluid=fluid.id,
                title=fluid.title,
                capacity=fluid.capacity,
                part=fluid.part,
                is_drained=Verb.DRAIN in done,
                is_filled=Verb.FILL in done,
            )


COLUMNS = ("part", "number", "title", "amount", "needed", "on hand", "lead time, days", "order by", "price", "where")


def shopping_list(ready: Readiness) -> str:
    """The parts and consumables as CSV (RFC 4180), what has to be ordered first first, what is there last."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    there = tuple(line for line in ready.parts if line.on_hand)
    for line in (*ready.missing, *ready.may_be_missing, *there):
        writer.writerow(_row(line))
    return text.getvalue()


def _row(line: PartLine) -> tuple[str, ...]:
    return (
        str(line.need.part),
        line.number,
        line.title,
        amount_of(line),
        "yes" if line.need.is_certain else "perhaps",
        "yes" if line.on_hand and not line.is_consumable else "shelf" if line.on_hand else "no",
        "" if line.lead_days is None else str(line.lead_days),
        line.order_by.isoformat() if line.order_by else "",
        "" if line.price is None else f"{line.price:g}",
        line.where,
    )


def amount_of(line: PartLine) -> str:
    """How much of a part: "6", "7.5 L"; what only may be needed with all that may be."""
    need = line.need
    if need.amount_at_most is not None:
        return show(need.amount if need.is_certain and need.amount else need.amount_at_most)
    count = need.count if need.is_certain else need.count_at_most
    return str(count) if count else ""
