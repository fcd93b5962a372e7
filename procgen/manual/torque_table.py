"""Every torque of a machine on one page, to hang beside the bench."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.items import Fastener
from procgen.library.machine import Machine
from procgen.manual.authority import CitationView, OtherValueView, citation, other_values
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.fastener_view import TorquePlate, torque_plate
from procgen.manual.page import Page
from procgen.manual.paths import torque_table_path


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueRow:
    """One fastener."""

    plate: TorquePlate
    holds: tuple[Link, ...]
    citation: CitationView | None
    others: tuple[OtherValueView, ...]


@dataclass(frozen=True, slots=True)
class TorqueGroup:
    """The fasteners of one assembly."""

    to: Link
    rows: tuple[TorqueRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueTableView:
    """All that the template shows."""

    title: str
    number: str
    machine: Link
    groups: tuple[TorqueGroup, ...]


def pages(book: Book) -> Iterator[Page]:
    """One table for every machine model."""
    for machine in book.library.machines.values():
        yield _page(machine, book)


def _page(machine: Machine, book: Book) -> Page:
    leaf = book.leaf(torque_table_path(machine.address.id), book.section_of(machine))
    number = f"{book.numbers[machine.address]}T"
    title = f"Torques: {machine.title}"

    def view() -> TorqueTableView:
        return TorqueTableView(
            title=title, number=number, machine=leaf.record(machine), groups=tuple(_groups(machine, leaf))
        )

    made_from = book.account.of_ground()
    return leaf.page("torque-table.html", view, title=title, number=number, made_from=made_from)


def _groups(machine: Machine, leaf: Leaf) -> Iterator[TorqueGroup]:
    by_assembly: dict[str, list[Fastener]] = {}
    for item in machine.items.values():
        if isinstance(item, Fastener):
            assembly = machine.assembly_of.get(item.id)
            by_assembly.setdefault(assembly.address.id if assembly else "", []).append(item)
    titles = {assembly.address.id: leaf.record(assembly) for assembly in machine.assemblies}
    for id_, fasteners in by_assembly.items():
        to = titles.get(id_, leaf.record(machine))
        yield TorqueGroup(to, tuple(_row(fastener, machine, leaf) for fastener in fasteners))


def _row(fastener: Fastener, machine: Machine, leaf: Leaf) -> TorqueRow:
    return TorqueRow(
        plate=torque_plate(fastener, leaf),
        holds=leaf.items(machine.held.get(fastener.id, ()), machine),
        citation=citation(fastener.source, leaf),
        others=other_values(fastener, leaf, machine),
    )
