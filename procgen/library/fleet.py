"""Individual machines with their histories, and jobs planned on them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from procgen.library.items import Record
from procgen.library.origin import ItemId, MachineId, Origin, PartId, ProcedureId, Prose
from procgen.measure.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterReading:
    """What the meter said on a day."""

    on: date
    value: float
    """In the machine's own meter unit."""
    note: Prose | None = None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Something that was done."""

    on: date
    meter: float | None
    """In the machine's own meter unit; None where not noted."""
    did: tuple[ProcedureId, ...]
    by: str = ""
    checked_by: str = ""
    parts: tuple[PartId, ...] = ()
    readings: Mapping[ItemId, Quantity] = field(default_factory=dict)
    note: Prose | None = None
    record: str = ""
    """The filled-in sheet that it was written from; empty where somebody wrote it by hand."""
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Logbook(Record):
    """One individual machine and its history."""

    machine: MachineId
    name: str
    serial: str = ""
    in_service: date | None = None
    where: str = ""
    variants: Mapping[str, str] = field(default_factory=dict)
    meter: tuple[MeterReading, ...] = ()
    entries: tuple[Entry, ...] = ()
    """In the author's order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One procedure of a job, with its choices."""

    procedure: ProcedureId
    options: Mapping[str, bool | str]
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Record):
    """Work planned on one individual machine."""

    logbook: str
    planned: date | None = None
    do: tuple[Task, ...] = ()
    on_hand: tuple[PartId, ...] = ()
