"""Walking over everything in a library that has a page or an anchor of its own."""

from collections.abc import Iterator

from procgen.library.items import Record
from procgen.library.library import Head, Library
from procgen.library.machine import Machine, Procedure


def records_of_machine(machine: Machine) -> Iterator[Record]:
    """The machine, its assemblies, its items, its planned work."""
    yield machine
    yield from machine.assemblies
    yield from machine.items.values()
    yield from machine.schedule.values()


def records_of_procedure(procedure: Procedure) -> Iterator[Record]:
    """The procedure, and the items that it declares or its steps imply."""
    yield procedure
    for id_ in (*procedure.local_items, *sorted(procedure.implied_items)):
        yield procedure.machine.items[id_]


def every_record(library: Library) -> Iterator[tuple[Record | Head, Machine | None]]:
    """Every record, with the machine whose names its text may use; None for shop-wide ones. Of procedures the heads."""
    for machine in library.machines.values():
        for record in records_of_machine(machine):
            yield record, machine
    for name, head in library.heads.items():
        yield head, library.machines.get(head.machine)
        if head.declares or head.machine not in library.machines:
            procedure = library.procedures[name]
            for record in records_of_procedure(procedure):
                if record is not procedure:
                    yield record, procedure.machine
    for shelf in (library.tools, library.parts, library.notices, library.sources, library.terms, library.logbooks):
        for record in shelf.values():
            yield record, None
