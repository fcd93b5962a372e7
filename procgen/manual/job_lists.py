"""What a procedure needs before it begins: tools, parts, torques, time, and under which condition each is needed."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from procgen.fasteners.spanners import Grip
from procgen.library.catalogue import Part, Tool
from procgen.library.condition import ALWAYS, Any, Condition
from procgen.library.items import Fastener, Fluid
from procgen.library.origin import Address, Kind
from procgen.library.procedure import Amount
from procgen.library.state import Verb
from procgen.manual.book import Leaf, Link
from procgen.manual.fastener_view import TorquePlate, torque_plate
from procgen.manual.step_writer import StepWriter
from procgen.manual.work import mark_of
from procgen.measure.quantity import Quantity, exactly
from procgen.measure.typeset import show
from procgen.plan.naming import in_sentence
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.tooling import head_needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One line of a list: what is needed, how much, and in which steps."""

    what: Link
    about: str
    """What helps to find it: a range, a part number."""
    amount: str
    steps: tuple[Link, ...]
    only_if: str
    when_data: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueLine:
    """One line of the torque summary."""

    plate: TorquePlate
    steps: tuple[Link, ...]
    when_data: str


def _any_of(steps: list[PlannedStep]) -> Condition:
    """The condition under which at least one of the steps is done."""
    found: dict[Condition, None] = {}
    for planned in steps:
        found[planned.when] = None
    if ALWAYS in found:
        return ALWAYS
    return next(iter(found)) if len(found) == 1 else Any(tuple(found))


def _links(steps: list[PlannedStep], plan: Plan) -> tuple[Link, ...]:
    """The steps by their numbers; three or more in a row as one range, which leads to its first."""
    wanted = {planned.key for planned in steps}
    links: list[Link] = []
    for is_wanted, row in groupby(plan.steps, key=lambda planned: planned.key in wanted):
        marks = list(dict.fromkeys(mark_of(planned) for planned in row)) if is_wanted else []
        if len(marks) > 2:
            links.append(Link(f"{marks[0].number}–{marks[-1].number}", f"#{marks[0].anchor}"))
        else:
            links += (Link(mark.number, f"#{mark.anchor}") for mark in marks)
    return tuple(links)


def tools(writer: StepWriter) -> tuple[Need, ...]:
    """Every tool, those of locking pins and slings included, in the order in which it is first needed."""
    steps: dict[str, list[PlannedStep]] = {}
    for planned in writer.plan.steps:
        # A plan gives every step its tools, those of its aids and measurements too.
        for tool in dict.fromkeys(planned.step.tools):
            steps.setdefault(tool, []).append(planned)
    named = tuple(_need(Kind.TOOL, id_, found, "", writer) for id_, found in steps.items())
    return (*named, *_sizes(writer))


def _sizes(writer: StepWriter) -> Iterator[Need]:
    """The size of spanner, socket or key that each head asks for, and on what."""
    by_key = {planned.key: planned for planned in writer.plan.steps}
    items = writer.plan.machine.items
    for need in head_needs(writer.plan):
        steps = [by_key[key] for key in need.steps]
        kind = "Hexagon key" if need.spanner.grip is Grip.HEXAGON_KEY else "Spanner or socket"
        condition = _any_of(steps)
        yield Need(
            what=Link(f"{kind}, {need.spanner.size}", ""),
            about=", ".join(in_sentence(items[id_].title) for id_ in need.fasteners),
            amount="",
            steps=_links(steps, writer.plan),
            only_if=writer.when_words(condition) if len(steps) == 1 else "",
            when_data=writer.when_data(condition),
        )


def parts(writer: StepWriter) -> tuple[Need, ...]:
    """Every part and consumable, with its amounts added up where one unit holds them all."""
    steps: dict[str, list[PlannedStep]] = {}
    amounts: dict[str, list[Amount]] = {}
    for planned in writer.plan.steps:
        for amount in (*planned.step.uses, *_filled(planned, writer)):
            steps.setdefault(amount.part, []).append(planned)
            amounts.setdefault(amount.part, []).append(amount)
        for part in planned.step.new:
            steps.setdefault(part, []).append(planned)
    return tuple(
        _need(Kind.PART, id_, found, _sum(amounts.get(id_, []), writer.leaf), writer) for id_, found in steps.items()
    )


def _filled(planned: PlannedStep, writer: StepWriter) -> Iterator[Amount]:
    """What a step that fills a fluid pours in, where the step does not say so itself."""
    for action in planned.actions:
        item = writer.plan.machine.items.get(action.item)
        named = {amount.part for amount in planned.step.uses}
        if action.verb is Verb.FILL and isinstance(item, Fluid) and item.part and item.part not in named:
            yield Amount(item.part, item.capacity, action.place)


def _sum(amounts: list[Amount], leaf: Leaf) -> str:
    """The amounts in one text: added up where they share a unit, else one after the other."""
    quantities = [amount.quantity for amount in amounts if amount.quantity]
    by_unit: dict[str, list[Quantity]] = {}
    for quantity in quantities:
        by_unit.setdefault(quantity.unit.symbol, []).append(quantity)
    return " + ".join(leaf.book.measures.text(_total(same)) for same in by_unit.values())


def _total(quantities: list[Quantity]) -> Quantity:
    if len(quantities) == 1:
        return quantities[0]
    total = sum((quantity.middle for quantity in quantities), Fraction(0))
    return exactly(total, quantities[0].unit, min(quantity.resolution for quantity in quantities))


def _need(kind: Kind, id_: str, steps: list[PlannedStep], amount: str, writer: StepWriter) -> Need:
    condition = _any_of(steps)
    record = writer.leaf.library.find(Address(kind, id_))
    return Need(
        what=writer.leaf.record(record) if record else Link(id_.replace("-", " "), ""),
        about=about(record) if isinstance(record, Tool | Part) else "",
        amount=amount,
        steps=_links(steps, writer.plan),
        only_if=writer.when_words(condition) if len(steps) == 1 else "",
        when_data=writer.when_data(condition),
    )


def about(record: Tool | Part) -> str:
    """What helps to find a tool or a part on its shelf, in one line."""
    match record:
        case Tool():
            # What is marked on the tool is shown as it is marked, and what its title says is not said twice.
            marked = (record.range, record.hex, record.drive, record.capacity)
            words = [text for text in (show(figure) for figure in marked if figure) if text not in record.title]
            return ", ".join((*words, *(text for text in (record.number, record.where) if text)))
        case Part():
            return ", ".join(text for text in (record.number, record.where) if text)


def torques(writer: StepWriter) -> tuple[TorqueLine, ...]:
    """Every fastener that is tightened to a figure, in the order of the work."""
    found: dict[str, tuple[Fastener, list[PlannedStep]]] = {}
    for planned in writer.plan.steps:
        for action in planned.actions:
            item = writer.plan.machine.items.get(action.item)
            if action.verb is Verb.TIGHTEN and isinstance(item, Fastener):
                found.setdefault(action.item, (item, []))[1].append(planned)
    return tuple(_torque_line(fastener, steps, writer) for fastener, steps in found.values())


def _torque_line(fastener: Fastener, steps: list[PlannedStep], writer: StepWriter) -> TorqueLine:
    data = writer.when_data(_any_of(steps))
    return TorqueLine(plate=torque_plate(fastener, writer.leaf), steps=_links(steps, writer.plan), when_data=data)
