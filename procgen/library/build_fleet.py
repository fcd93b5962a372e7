"""Builds individual machines' logbooks, and jobs."""

from collections.abc import Iterator, Mapping

from procgen.finding import Place
from procgen.library.build_items import record
from procgen.library.build_steps import chosen
from procgen.library.fields import Fields
from procgen.library.fleet import Entry, Job, Logbook, MeterReading, Task
from procgen.library.machine import Machine
from procgen.library.near import offer
from procgen.library.origin import Address, ItemId, Kind, MachineId, Origin, PartId, ProcedureId
from procgen.library.outline import Choices
from procgen.library.yaml_tree import Map
from procgen.measure.quantity import Quantity

METERS = ("hours", "km", "mi", "cycles")


def logbook(fields: Fields, address: Address, machine: Machine) -> Logbook:
    """One individual machine and its history."""
    return Logbook(
        machine=MachineId(machine.address.id),
        name=fields.text("name") or fields.text("title") or address.id,
        serial=fields.text("serial"),
        in_service=fields.day("in-service"),
        where=fields.text("where"),
        variants=_variants(fields, machine),
        meter=tuple(_readings_of_meter(fields, machine)),
        entries=tuple(_entries(fields, machine)),
        **record(fields, address),
    )


def _variants(fields: Fields, machine: Machine) -> Mapping[str, str]:
    inside = fields.inside("variants")
    found: dict[str, str] = {}
    for name, value in inside.data.items() if inside else ():
        values = machine.variants.get(name, ())
        if str(value) in values:
            found[name] = str(value)
        elif inside:
            known = values or machine.variants.keys()
            unknown = str(value) if values else name
            inside.fail(
                "unknown-name",
                name,
                inside.at(name),
                f'"{unknown}" is no variant of {machine.address.id}.',
                offer(unknown, known, "use one of " + ", ".join(known) if known else "leave it out"),
            )
    return found


def _meter(fields: Fields, machine: Machine) -> float | None:
    """The meter's figure in the machine's own unit; one in another unit is reported."""
    for unit in METERS:
        if unit not in fields.data:
            continue
        if unit != machine.meter and machine.address.id:
            fields.fail(
                "log-inconsistent",
                unit,
                fields.at(unit),
                f"The meter of {machine.address.id} counts {machine.meter}, and here are {unit}.",
                f"write {machine.meter}: …" if machine.meter != "none" else f"leave {unit} out",
            )
            return None
        return fields.number(unit)
    return None


def _readings_of_meter(fields: Fields, machine: Machine) -> Iterator[MeterReading]:
    for each in fields.listed("meter"):
        day, value = each.day("on"), _meter(each, machine)
        if day is not None and value is not None:
            yield MeterReading(on=day, value=value, note=each.prose("note"), origin=each.origin)


def _entries(fields: Fields, machine: Machine) -> Iterator[Entry]:
    for each in fields.listed("entries"):
        day = each.day("on")
        if day is None:
            continue
        yield Entry(
            on=day,
            meter=_meter(each, machine),
            did=tuple(ProcedureId(name) for name in each.shop("did", Kind.PROCEDURE)),
            by=each.text("by"),
            checked_by=each.text("checked-by"),
            parts=tuple(PartId(part) for part in each.shop("parts", Kind.PART)),
            readings=_readings(each),
            note=each.prose("note"),
            record=each.text("record"),
            origin=each.origin,
        )


def _readings(fields: Fields) -> Mapping[ItemId, Quantity]:
    inside = fields.inside("readings")
    found: dict[ItemId, Quantity] = {}
    for name, value in inside.data.items() if inside else ():
        if inside is None:
            continue
        place = Place(inside.reader.file, *inside.data.spots[name][0])
        spec = inside.item(name, "readings", place, Kind.SPEC)
        quantity = inside.as_quantity(name, value, inside.at(name), None)
        if spec and quantity:
            found[spec] = quantity
    return found


def job(fields: Fields, address: Address, logbook_id: str, choices_of: Mapping[str, Choices]) -> Job:
    """Work planned on one individual machine."""
    return Job(
        logbook=logbook_id,
        planned=fields.day("date"),
        do=tuple(_tasks(fields, choices_of)),
        on_hand=tuple(PartId(part) for part in fields.shop("on-hand", Kind.PART)),
        **record(fields, address),
    )


def _tasks(fields: Fields, choices_of: Mapping[str, Choices]) -> Iterator[Task]:
    """The procedures in the author's order, which the plan keeps where it is free to."""
    for value, place in fields.each("do"):
        if isinstance(value, Map):
            each = Fields(fields.reader, value, (place.line, place.column))
            name = each.shop_one("procedure", Kind.PROCEDURE)
            if name:
                options = chosen(each, choices_of.get(name, {}), name)
                yield Task(procedure=ProcedureId(name), options=options, origin=each.origin)
        elif isinstance(value, str):
            name = fields.shop_name(value, Kind.PROCEDURE, "do", place)
            if name:
                origin = Origin(place.file, (place.line, place.column), {})
                yield Task(procedure=ProcedureId(name), options={}, origin=origin)
