"""Which parts an entry of a logbook renewed, and whether what it measured was the old part or the new one."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from procgen.library.condition import ALWAYS
from procgen.library.fleet import Entry
from procgen.library.items import Spec
from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.library.origin import ItemId, PartId
from procgen.library.procedure import Step, walk
from procgen.library.state import Verb
from procgen.measure.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """One part, from the day on which it was new until it was renewed."""

    renewed_on: date | None
    """None for the first that the logbook knows of."""
    measured: tuple[Entry, ...]
    """The entries that measured it, the earliest first."""


def lives(spec: Spec, entries: Iterable[Entry], machine: Machine, library: Library) -> tuple[Life, ...]:
    """The parts that `spec` measured, one after the other; the last is the one that is in the machine now.

    entries: the earliest first. An entry that measures and renews counts for the old part or for the new one.
    """
    ended: list[Life] = []
    renewed_on: date | None = None
    measured: list[Entry] = []
    for entry in entries:
        value = entry.readings.get(ItemId(spec.id))
        renewed = any(renews(entry, item, machine, library) for item in spec.of)
        of_the_old = value is not None and (not renewed or measured_before(entry, spec, value, machine, library))
        if of_the_old:
            measured.append(entry)
        if renewed:
            ended.append(Life(renewed_on=renewed_on, measured=tuple(measured)))
            renewed_on, measured = entry.on, [entry] if value is not None and not of_the_old else []
    return (*ended, Life(renewed_on=renewed_on, measured=tuple(measured)))


def renews(entry: Entry, item: ItemId, machine: Machine, library: Library) -> bool:
    """Whether an entry says that `item` was renewed: its part is listed, or a procedure that was done always renews it.

    A procedure that renews it only in some case (after a failed inspection, with an option) proves nothing by itself.
    """
    part = part_of(item, machine)
    if part and lists(entry, part, library):
        return True
    return any(
        step.when == ALWAYS and _renews(step, item, part)
        for procedure in _done(entry, library)
        for step in procedure.steps
    )


def part_of(item: ItemId, machine: Machine) -> PartId | None:
    """What one orders to renew an item; None where it has no part of its own."""
    part: PartId | None = getattr(machine.items.get(item), "part", None)
    return part


def lists(entry: Entry, part: PartId, library: Library) -> bool:
    """Whether the parts of an entry have this one, or one that it has since replaced."""
    name: str = part
    seen: set[str] = set()
    while name and name not in seen:
        if name in entry.parts:
            return True
        seen.add(name)
        name = library.parts[name].replaces if name in library.parts else ""
    return False


def measured_before(entry: Entry, spec: Spec, value: Quantity, machine: Machine, library: Library) -> bool:
    """Whether a reading of an entry that renewed the part was taken of the old one.

    The procedure tells: it measures before it renews, or after. Where it does not tell, the limits do: nobody leaves a
    new part outside them, so what lies outside was the old one, and what lies inside the new.
    """
    for procedure in _done(entry, library):
        measured, renewed = _places(procedure, spec, machine)
        if measured is not None and renewed is not None:
            return measured < renewed
    return is_outside(value, spec)


def is_outside(value: Quantity, spec: Spec) -> bool:
    """Whether a reading lies outside the limits of its spec."""
    limits = spec.limits
    return limits is not None and limits.dimension is value.dimension and not limits.contains(value)


def _places(procedure: Procedure, spec: Spec, machine: Machine) -> tuple[int | None, int | None]:
    """At which step the procedure first measures `spec`, and at which it first renews what that is of."""
    parts: Mapping[ItemId, PartId | None] = {item: part_of(item, machine) for item in spec.of}
    measured = renewed = None
    for place, step in enumerate(walk(procedure.steps)):
        if measured is None and _measures(step, spec):
            measured = place
        if renewed is None and any(_renews(step, item, part) for item, part in parts.items()):
            renewed = place
    return measured, renewed


def _measures(step: Step, spec: Spec) -> bool:
    return spec.id in step.record or any(action.item == spec.id for action in step.actions)


def _renews(step: Step, item: ItemId, part: PartId | None) -> bool:
    if part is not None and part in step.new:
        return True
    return any(action.verb is Verb.RENEW and action.item == item for action in step.actions)


def _done(entry: Entry, library: Library) -> Iterator[Procedure]:
    return (library.procedures[name] for name in entry.did if name in library.procedures)
