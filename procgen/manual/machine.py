"""The page of a machine model: how to get at things, what is in it, what can hurt, what falls due, what can be done."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

from markupsafe import Markup

from procgen.library.items import Check, Energy, Fluid, Item
from procgen.library.machine import After, Before, Machine, Never, Rule, ScheduleItem
from procgen.library.origin import Address, Kind
from procgen.library.state import Act, State
from procgen.manual.authority import CitationView, OtherValueView, citation, other_values
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.drawings.access_map import AccessMap, access_map
from procgen.manual.facts import ContentsLine, Fact, duration, facts
from procgen.manual.figure_view import FigureView, figure_view
from procgen.manual.page import Page
from procgen.manual.paths import path_of, safe_name, torque_table_path
from procgen.manual.records import records_of_machine
from procgen.manual.used_by import UseGroup, used_by
from procgen.plan.naming import still, the


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyLine:
    """An assembly, and what belongs to it."""

    to: Link
    summary: Markup
    items: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class FluidLine:
    """A fluid with its capacity."""

    fluid: Link
    capacity: str
    filled_with: tuple[Link, ...]
    where: str


@dataclass(frozen=True, slots=True)
class EnergyLine:
    """Something that can hurt, and how it is made safe."""

    energy: Link
    kind: str
    made_safe: Markup
    threatens: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class RuleLine:
    """A rule of the machine, in words."""

    words: Markup
    because: Markup
    note: Markup
    level: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """Work that falls due."""

    anchor: str
    title: str
    of: tuple[Link, ...]
    every: str
    kind: str
    do: tuple[Link, ...]
    citation: CitationView | None
    note: Markup
    others: tuple[OtherValueView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineView:
    """All that the template shows."""

    title: str
    number: str
    summary: Markup
    note: Markup
    facts: tuple[Fact, ...]
    procedures: tuple[ContentsLine, ...]
    access: AccessMap | None
    assemblies: tuple[AssemblyLine, ...]
    loose_items: tuple[Link, ...]
    fluids: tuple[FluidLine, ...]
    energies: tuple[EnergyLine, ...]
    rules: tuple[RuleLine, ...]
    due: tuple[DueLine, ...]
    torque_table: Link
    figures: tuple[FigureView, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """One page for every machine model."""
    for machine in book.library.machines.values():
        yield page(book, machine)


def page(book: Book, machine: Machine) -> Page:
    """The page of one machine model."""
    path, _ = path_of(machine.address, book.library)
    leaf = book.leaf(path, book.section_of(machine))
    files = {record.origin.file for record in (machine, *machine.assemblies)}
    heads = (head for head in book.library.heads.values() if head.machine == machine.address.id)
    return leaf.page(
        "machine.html",
        lambda: _view(machine, leaf),
        title=machine.title,
        number=book.numbers[machine.address],
        made_from=book.account.of_record(
            machine.address,
            *sorted(files),
            more=(working_time(leaf, head.address.id) for head in heads),
        ),
    )


def _view(machine: Machine, leaf: Leaf) -> MachineView:
    number = leaf.book.numbers[machine.address]
    individuals = tuple(
        leaf.record(logbook) for logbook in leaf.library.logbooks.values() if logbook.machine == machine.address.id
    )
    variants = "; ".join(
        f"{name.replace('-', ' ')}: {' or '.join(value.replace('-', ' ') for value in values)}"
        for name, values in machine.variants.items()
    )
    return MachineView(
        title=machine.title,
        number=number,
        summary=leaf.block(machine.summary, machine),
        note=leaf.block(machine.note, machine),
        facts=facts(
            Fact(label="Meter", text="" if machine.meter == "none" else machine.meter),
            Fact(label="Variants", text=variants),
            Fact(label="In the fleet", links=individuals),
        ),
        procedures=procedure_lines(machine, leaf),
        access=access_map(machine, leaf),
        assemblies=tuple(_assemblies(machine, leaf)),
        loose_items=tuple(leaf.record(item) for item in machine.items.values() if item.id not in machine.assembly_of),
        fluids=tuple(_fluids(machine, leaf)),
        energies=tuple(_energies(machine, leaf)),
        rules=tuple(_rule(rule, machine, leaf) for rule in machine.rules),
        due=tuple(_due(item, machine, leaf) for item in machine.schedule.values()),
        torque_table=Link("Torque table", leaf.href(torque_table_path(machine.address.id)), f"{number}T"),
        figures=tuple(_figures(machine, leaf)),
        used_by=used_by(machine.address, leaf),
        deviations=tuple(_deviations(machine, leaf)),
    )


def procedure_lines(machine: Machine | None, leaf: Leaf) -> tuple[ContentsLine, ...]:
    """The procedures of a machine as contents lines with their working times; None: those without a machine."""
    machines = leaf.library.machines
    return tuple(
        ContentsLine(leaf.to(head.address), working_time(leaf, name))
        for name, head in leaf.library.heads.items()
        if machines.get(head.machine) is machine
    )


def working_time(leaf: Leaf, procedure_id: str) -> str:
    """How long a procedure usually takes; empty where nobody says."""
    minutes = leaf.book.extracts[procedure_id].minutes
    return duration(minutes) if minutes else ""


def _assemblies(machine: Machine, leaf: Leaf) -> Iterator[AssemblyLine]:
    for assembly in machine.assemblies:
        yield AssemblyLine(
            to=leaf.record(assembly),
            summary=leaf.block(assembly.summary, machine),
            items=leaf.items(assembly.items, machine),
        )


def _fluids(machine: Machine, leaf: Leaf) -> Iterator[FluidLine]:
    for item in machine.items.values():
        if isinstance(item, Fluid):
            capacity = leaf.book.measures.text(item.capacity) if item.capacity else ""
            part = leaf.shelf(Kind.PART, (item.part,)) if item.part else ()
            yield FluidLine(leaf.record(item), capacity, part, item.where)


def _energies(machine: Machine, leaf: Leaf) -> Iterator[EnergyLine]:
    for item in machine.items.values():
        if isinstance(item, Energy):
            exposed = tuple(other.id for other in machine.items.values() if _is_exposed(other, item))
            made_safe = leaf.block(item.isolated_by, machine)
            kind = item.kind.replace("-", " ")
            yield EnergyLine(leaf.record(item), kind, made_safe, leaf.items(exposed, machine))


def _is_exposed(other: Item, energy: Energy) -> bool:
    return energy.id in getattr(other, "exposed_to", ())


def _rule(rule: Rule, machine: Machine, leaf: Leaf) -> RuleLine:
    items = machine.items

    def act(act: Act) -> Markup:
        if act.item not in items:
            return Markup("{} {}").format(act.verb.value, act.item)
        item = items[act.item]
        name = f"“{item.title}”" if isinstance(item, Check) else the(items, act.item)
        return Markup('{} <a href="{}">{}</a>').format(act.verb.value, leaf.record(item).href, name)

    def states(states: tuple[State, ...], joint: str) -> str:
        *most, last = (still(items, state.item, disturbed=state.disturbed) for state in states)
        return f"{', '.join(most)} {joint} {last}" if most else last

    match rule:
        case Never():
            words = Markup("Never {}").format(act(rule.act))
            if rule.while_:
                words += Markup(" while {}").format(states(rule.while_, "and"))
            if rule.unless:
                words += Markup(", unless {}").format(states(rule.unless, "or"))
        case Before():
            words = Markup("Before you {}, make sure that {}").format(act(rule.act), states(rule.need, "and"))
        case After():
            then = Markup("before you {}").format(act(rule.before)) if rule.before else Markup("before the end")
            words = Markup("After you {}, {} {}").format(act(rule.act), act(rule.must), then)
        case _:
            assert_never(rule)
    because, note = leaf.block(rule.because, machine), leaf.block(rule.note, machine)
    return RuleLine(words + Markup("."), because, note, rule.level.value)


def _due(item: ScheduleItem, machine: Machine, leaf: Leaf) -> DueLine:
    every = str(item.every) if item.every else ""
    if item.nth_of:
        of = machine.schedule.get(item.nth_of)
        every = f"every {_ordinal(item.nth)} time of “{of.title if of else item.nth_of}”"
    return DueLine(
        anchor=f"due-{safe_name(item.address.id)}",
        title=item.title,
        of=leaf.items(item.of, machine),
        every=every,
        kind=item.kind,
        do=tuple(leaf.to(Address(Kind.PROCEDURE, id_)) for id_ in item.do),
        citation=citation(item.source, leaf),
        note=leaf.block(item.note, machine),
        others=other_values(item, leaf, machine),
    )


def _ordinal(number: int) -> str:
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def _figures(machine: Machine, leaf: Leaf) -> Iterator[FigureView]:
    of_assemblies = {id_ for assembly in machine.assemblies for id_ in assembly.figures}
    for id_, figure in machine.figures.items():
        view = figure_view(figure, leaf, machine, {}) if id_ not in of_assemblies else None
        if view:
            yield view


def _deviations(machine: Machine, leaf: Leaf) -> Iterator[Deviation]:
    for record in records_of_machine(machine):
        yield from deviations_of(record, leaf)
