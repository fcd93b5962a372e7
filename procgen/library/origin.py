"""Where records and their values are written, and the names under which the rest of the program knows them.

Everything that has an id is known by its `Address`; a place is kept for every value, so that any later stage can
point at the figure and not only at the thing that has it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, NewType

from procgen.finding import Place

MachineId = NewType("MachineId", str)
ItemId = NewType("ItemId", str)
ProcedureId = NewType("ProcedureId", str)
ToolId = NewType("ToolId", str)
PartId = NewType("PartId", str)
SourceId = NewType("SourceId", str)
NoticeId = NewType("NoticeId", str)

Spot = tuple[int, int]
"""Line and column, both from 1."""


class Kind(StrEnum):
    """What a name can stand for; the values are the words used in messages."""

    # A word like any other: everything is looked up by addresses, and an enumeration's own hash is slow.
    __hash__ = str.__hash__

    MANUAL = "manual"
    MACHINE = "machine"
    ASSEMBLY = "assembly"
    COMPONENT = "component"
    FASTENER = "fastener"
    LINE = "line"
    FLUID = "fluid"
    ENERGY = "energy"
    AID = "aid"
    CONDITION = "condition"
    SPEC = "spec"
    CHECK = "check"
    PROCEDURE = "procedure"
    SCHEDULE = "schedule item"
    FIGURE = "figure"
    TOOL = "tool"
    PART = "part"
    SOURCE = "source"
    NOTICE = "notice"
    TERM = "term"
    LOGBOOK = "logbook"
    JOB = "job"


ITEM_KINDS = (
    Kind.COMPONENT,
    Kind.FASTENER,
    Kind.LINE,
    Kind.FLUID,
    Kind.ENERGY,
    Kind.AID,
    Kind.CONDITION,
    Kind.SPEC,
    Kind.CHECK,
)
"""What shares one namespace per machine."""


class Address(NamedTuple):
    """The one identity of anything that has an id. A tuple, since everything is looked up by it."""

    kind: Kind
    id: str
    scope: str = ""
    """The machine that an item belongs to; the procedure for what it declares itself; empty for shop-wide names."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a record is written, and each of its values."""

    file: str
    """Path relative to the library, with forward slashes."""
    own: Spot
    """Of the record itself: its id where it has one, else where its map begins."""
    keys: Mapping[str, tuple[Spot, Spot]]
    """For each key that is written: the key's spot and its value's."""

    @property
    def place(self) -> Place:
        """The record's own place."""
        return Place(self.file, *self.own)

    def of(self, key: str) -> Place:
        """The place of the value of `key`, or the record's own where that is not written."""
        spots = self.keys.get(key)
        return Place(self.file, *spots[1]) if spots else self.place

    def key(self, key: str) -> Place:
        """The place of the word `key` itself, or the record's own where that is not written."""
        spots = self.keys.get(key)
        return Place(self.file, *spots[0]) if spots else self.place


@dataclass(frozen=True, slots=True)
class Prose:
    """Markdown text as the author wrote it, with names in braces still in it."""

    text: str
    place: Place

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Citation:
    """Who says so: `maker-3 p. 6-14` is a source and a place in it."""

    source: SourceId
    locator: str
    place: Place


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding that the author accepts, with the reason that the manual lists."""

    check: str
    reason: str
    place: Place
    begins: Place
    """First place of the record that accepts it."""
    ends: Place
    """Last place at which something is written in that record."""

    def covers(self, place: Place) -> bool:
        """Whether `place` lies in the record that accepts."""
        return self.begins.file == place.file and self.begins <= place <= self.ends


class Use(NamedTuple):
    """One thing naming another."""

    by: Address
    """Who names it: a procedure, an item, an assembly, a catalogue entry."""
    how: str
    """The author's key or verb: "tighten", "behind", "tools", "text"."""
