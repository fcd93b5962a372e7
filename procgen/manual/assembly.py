"""The page of an assembly: what belongs to it, kind by kind, with its figures."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.items import Component, Fastener, Fluid, Item, Line, Spec
from procgen.library.machine import Assembly, Machine
from procgen.library.origin import ITEM_KINDS, Kind
from procgen.manual.authority import CitationView, citation
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.facts import Fact, facts
from procgen.manual.fastener_view import what_it_is
from procgen.manual.figure_view import FigureView, figure_view
from procgen.manual.page import Page
from procgen.manual.paths import path_of
from procgen.manual.used_by import UseGroup, used_by

_HEADS = {
    Kind.COMPONENT: "Components",
    Kind.FASTENER: "Fasteners",
    Kind.LINE: "Lines",
    Kind.FLUID: "Fluids",
    Kind.ENERGY: "Energies",
    Kind.AID: "Aids",
    Kind.CONDITION: "Conditions",
    Kind.SPEC: "Measurements",
    Kind.CHECK: "Checks",
}


@dataclass(frozen=True, slots=True)
class ItemLine:
    """One item in the list of an assembly."""

    to: Link
    about: str
    """The figure that belongs to it: a torque, limits, a capacity."""
    more: tuple[Link, ...]
    """What it lies behind."""


@dataclass(frozen=True, slots=True)
class KindGroup:
    """All items of one kind."""

    title: str
    about_head: str
    more_head: str
    lines: tuple[ItemLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyView:
    """All that the template shows."""

    title: str
    number: str
    summary: Markup
    note: Markup
    facts: tuple[Fact, ...]
    groups: tuple[KindGroup, ...]
    figures: tuple[FigureView, ...]
    citation: CitationView | None
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """One page for every assembly."""
    for machine in book.library.machines.values():
        for assembly in machine.assemblies:
            yield _page(book, assembly, machine)


def _page(book: Book, assembly: Assembly, machine: Machine) -> Page:
    path, _ = path_of(assembly.address, book.library)
    leaf = book.leaf(path, book.section_of(machine))
    return leaf.page(
        "assembly.html",
        lambda: _view(assembly, machine, leaf),
        title=assembly.title,
        number=book.numbers[assembly.address],
        made_from=book.account.of_record(assembly.address, assembly.origin.file),
    )


def _view(assembly: Assembly, machine: Machine, leaf: Leaf) -> AssemblyView:
    return AssemblyView(
        title=assembly.title,
        number=leaf.book.numbers[assembly.address],
        summary=leaf.block(assembly.summary, machine),
        note=leaf.block(assembly.note, machine),
        facts=facts(Fact(label="Machine", links=(leaf.record(machine),))),
        groups=tuple(_groups(assembly, machine, leaf)),
        figures=tuple(_figures(assembly, machine, leaf)),
        citation=citation(assembly.source, leaf),
        used_by=used_by(assembly.address, leaf),
        deviations=tuple(deviations_of(assembly, leaf)),
    )


def _groups(assembly: Assembly, machine: Machine, leaf: Leaf) -> Iterator[KindGroup]:
    items = [machine.items[id_] for id_ in assembly.items if id_ in machine.items]
    for kind in ITEM_KINDS:
        lines = tuple(_line(item, machine, leaf) for item in items if item.address.kind is kind)
        if lines:
            about = {Kind.FASTENER: "Torque", Kind.SPEC: "Limits", Kind.FLUID: "Capacity"}.get(kind, "")
            more = "Behind" if kind in (Kind.COMPONENT, Kind.LINE) else ""
            yield KindGroup(_HEADS[kind], about, more, lines)


def _line(item: Item, machine: Machine, leaf: Leaf) -> ItemLine:
    measures = leaf.book.measures
    more: tuple[Link, ...] = ()
    about = ""
    match item:
        case Fastener():
            torque = measures.torque_line(item.torque) if item.torque else ""
            about = "; ".join(text for text in (what_it_is(item) if item.thread else "", torque) if text)
        case Spec(limits=limits) if limits:
            about = measures.text(limits)
        case Fluid(capacity=capacity) if capacity:
            about = measures.text(capacity)
        case Component() | Line():
            more = leaf.items(item.behind, machine)
        case _:
            pass
    return ItemLine(leaf.record(item), about, more)


def _figures(assembly: Assembly, machine: Machine, leaf: Leaf) -> Iterator[FigureView]:
    for figure in assembly.figures.values():
        view = figure_view(figure, leaf, machine, {})
        if view:
            yield view
