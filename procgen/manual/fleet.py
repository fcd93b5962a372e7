"""Individual machines: who they are, what their meters say, what was done to them."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.fleet import Entry, Logbook
from procgen.library.items import Spec
from procgen.library.machine import Machine
from procgen.library.origin import Address, Kind
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.due_view import SCRIPTS, UpkeepView, upkeep_view
from procgen.manual.facts import Fact, facts
from procgen.manual.in_there import InThere, all_in_there
from procgen.manual.measures import Measured
from procgen.manual.page import Page
from procgen.manual.used_by import UseGroup, used_by
from procgen.manual.visits import VisitsSummary, summary
from procgen.upkeep.renewal import is_outside


@dataclass(frozen=True, slots=True)
class ReadingView:
    """What was measured."""

    spec: Link
    value: Measured
    is_outside: bool
    """Outside the limits of its spec."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryView:
    """One entry of the history."""

    on: str
    meter: str
    did: tuple[Link, ...]
    by: str
    checked_by: str
    parts: tuple[Link, ...]
    readings: tuple[ReadingView, ...]
    note: Markup
    record: str
    """The filled-in sheet that it comes from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetLine:
    """One machine in the list."""

    to: Link
    machine: Link
    serial: str
    meter: str
    last: str
    """Date of the last entry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetView:
    """All individual machines."""

    title: str
    number: str
    lines: tuple[FleetLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class IndividualView:
    """One machine and its history."""

    title: str
    number: str
    facts: tuple[Fact, ...]
    note: Markup
    meter_head: str
    upkeep: UpkeepView | None
    """What is due, and where readings lead; None where the manual does not know its day."""
    in_there: tuple[InThere, ...]
    """What could be done with what is due."""
    visits: VisitsSummary | None
    entries: tuple[EntryView, ...]
    """The latest first."""
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """The list, then each machine."""
    logbooks = book.library.logbooks
    if not logbooks:
        return
    leaf = book.leaf(paths.FLEET, numbering.FLEET)
    title = "Fleet"

    def view() -> FleetView:
        lines = tuple(_line(each, leaf) for each in logbooks.values())
        return FleetView(title=title, number=numbering.FLEET, lines=lines)

    yield leaf.page("fleet.html", view, title=title, number=numbering.FLEET)
    for logbook in logbooks.values():
        yield _page(logbook, book)


def _line(logbook: Logbook, leaf: Leaf) -> FleetLine:
    machine = leaf.library.machines.get(logbook.machine)
    dates = [entry.on.isoformat() for entry in logbook.entries]
    return FleetLine(
        to=leaf.record(logbook),
        machine=leaf.record(machine) if machine else Link(logbook.machine, ""),
        serial=logbook.serial,
        meter=latest_meter(logbook, machine),
        last=max(dates, default=""),
    )


def latest_meter(logbook: Logbook, machine: Machine | None) -> str:
    """The latest reading of the meter, with its day; empty where there is none."""
    known = [(reading.on, reading.value) for reading in logbook.meter]
    known += [(entry.on, entry.meter) for entry in logbook.entries if entry.meter is not None]
    if not known or machine is None:
        return ""
    on, value = max(known)
    return f"{meter_text(value, machine)} on {on.isoformat()}"


def meter_text(value: float, machine: Machine) -> str:
    """A meter reading with its unit: "1 312 h"."""
    unit = {"hours": "h", "none": ""}.get(machine.meter, machine.meter)
    return f"{value:,.10g} {unit}".replace(",", "\u202f").strip()


def _page(logbook: Logbook, book: Book) -> Page:
    leaf = book.leaf(paths.path_of(logbook.address, book.library)[0], numbering.FLEET)
    number = book.numbers[logbook.address]
    return leaf.page(
        "individual.html",
        lambda: _view(logbook, leaf),
        title=logbook.name,
        number=number,
        scripts=SCRIPTS,
        made_from=book.account.of_upkeep(logbook),
    )


def _view(logbook: Logbook, leaf: Leaf) -> IndividualView:
    book = leaf.book
    machine = book.library.machines.get(logbook.machine)
    due = next((each for each in book.due if each.logbook is logbook), None)
    variants = ", ".join(f"{name}: {value}".replace("-", " ") for name, value in logbook.variants.items())
    return IndividualView(
        title=logbook.name,
        number=book.numbers[logbook.address],
        facts=facts(
            Fact(label="Machine", links=(leaf.record(machine),) if machine else ()),
            Fact(label="Title", text=logbook.title if "title" in logbook.origin.keys else ""),
            Fact(label="Serial number", text=logbook.serial),
            Fact(label="In service since", text=logbook.in_service.isoformat() if logbook.in_service else ""),
            Fact(label="Meter", text=latest_meter(logbook, machine)),
            Fact(label="Variants", text=variants),
            Fact(label="Where", text=logbook.where),
        ),
        note=leaf.block(logbook.note, machine),
        meter_head=machine.meter.capitalize() if machine and machine.meter != "none" else "",
        upkeep=upkeep_view(logbook.address.id, leaf),
        in_there=tuple(all_in_there(due, leaf)) if due else (),
        visits=summary(logbook, leaf),
        entries=tuple(_entry(entry, leaf, machine) for entry in _latest_first(logbook)),
        used_by=used_by(logbook.address, leaf),
        deviations=tuple(deviations_of(logbook, leaf)),
    )


def _latest_first(logbook: Logbook) -> list[Entry]:
    """What was done, and where the meter was read with something to say about it."""
    noted = (
        Entry(on=each.on, meter=each.value, did=(), note=each.note, origin=each.origin)
        for each in logbook.meter
        if each.note
    )
    return sorted((*logbook.entries, *noted), key=lambda entry: entry.on, reverse=True)


def _entry(entry: Entry, leaf: Leaf, machine: Machine | None) -> EntryView:
    return EntryView(
        on=entry.on.isoformat(),
        meter=meter_text(entry.meter, machine) if machine and entry.meter is not None else "",
        did=tuple(leaf.to(Address(Kind.PROCEDURE, id_)) for id_ in entry.did),
        by=entry.by,
        checked_by=entry.checked_by,
        parts=leaf.shelf(Kind.PART, entry.parts),
        readings=tuple(_readings(entry, leaf, machine)),
        note=leaf.block(entry.note, machine),
        record=entry.record,
    )


def _readings(entry: Entry, leaf: Leaf, machine: Machine | None) -> Iterator[ReadingView]:
    for id_, quantity in entry.readings.items():
        spec = machine.items.get(id_) if machine else None
        if spec:
            outside = isinstance(spec, Spec) and is_outside(quantity, spec)
            yield ReadingView(leaf.record(spec), leaf.book.measures.view(quantity), outside)
