"""What belongs to a machine and can be named in a step: components, fasteners, lines, fluids and the rest.

Records are values with every name resolved: an id in a field always leads to something in the library. A name that
leads nowhere was reported by the linker and is not here; `faulty` says which keys of a record could not be read, so
that nothing reports as missing what is only broken.
"""

from dataclasses import dataclass
from enum import StrEnum

from procgen.finding import Place
from procgen.library.origin import (
    Accepted,
    Address,
    Citation,
    ItemId,
    NoticeId,
    Origin,
    PartId,
    Prose,
    ToolId,
)
from procgen.library.procedure import Step
from procgen.library.state import STORED, SUPPLIED, Act, State
from procgen.measure.quantity import Quantity
from procgen.measure.torque import Torque


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherValue:
    """What another source says, and why it is not followed."""

    key: str
    """The value that it is about: "torque", "limits", "every", "capacity"."""
    text: str
    """The value as the author wrote it."""
    torque: Torque | None = None
    quantity: Quantity | None = None
    source: Citation | None
    why_not: Prose | None
    note: Prose | None = None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What every record has."""

    address: Address
    title: str
    note: Prose | None = None
    source: Citation | None = None
    other_values: tuple[OtherValue, ...] = ()
    accepting: tuple[Accepted, ...] = ()
    origin: Origin
    faulty: frozenset[str] = frozenset()
    """Keys whose values could not be read."""

    @property
    def id(self) -> ItemId:
        """The record's id."""
        return ItemId(self.address.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How a component comes off, or goes back, in its own steps."""

    needs: tuple[State, ...] = ()
    steps: tuple[Step, ...] = ()
    tools: tuple[ToolId, ...] = ()
    notices: tuple[NoticeId, ...] = ()
    minutes: float | None = None
    note: Prose | None = None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Component(Record):
    """Something that comes off and goes back."""

    part: PartId | None = None
    """What one orders to renew it."""
    behind: tuple[ItemId, ...] = ()
    held_by: tuple[ItemId, ...] = ()
    lines: tuple[ItemId, ...] = ()
    wet_with: tuple[ItemId, ...] = ()
    exposed_to: tuple[ItemId, ...] = ()
    rides_with: tuple[ItemId, ...] = ()
    """What comes off and goes back together with it carries it: a component that comes off takes these along."""
    renew: tuple[PartId, ...] = ()
    """Single-use parts, new every time it is disturbed."""
    mass: Quantity | None = None
    vital: bool = False
    loosen_in_reverse: bool = False
    where: str = ""
    remove: Change | None = None
    fit: Change | None = None


class Threads(StrEnum):
    """The condition of the threads for which a torque is given."""

    DRY = "dry"
    OILED = "oiled"
    GREASED = "greased"
    LOCKING = "locking compound"
    SEALANT = "sealant"


class Head(StrEnum):
    """What the spanner goes on."""

    HEX = "hex"
    NUT = "nut"
    FLANGE = "flange"
    SOCKET = "socket"
    TORX = "torx"
    SLOTTED = "slotted"
    BANJO = "banjo"
    CLIP = "clip"
    OTHER = "other"


class Layout(StrEnum):
    """How the positions of a pattern lie."""

    CIRCLE = "circle"
    GRID = "grid"
    ROW = "row"
    POINTS = "points"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Where the fasteners of a joint sit, for the order of tightening."""

    layout: Layout
    rows: int
    """Rows of a grid; 1 for a circle, a row, and points."""
    columns: int
    """Positions in a row, on the circle, or points in all."""
    points: tuple[tuple[float, float], ...] = ()
    """The author's coordinates, only for points; y grows downwards."""
    order: tuple[int, ...] = ()
    """The author's own order, positions from 1; empty where the program computes it."""
    origin: Origin

    @property
    def size(self) -> int:
        """How many positions there are."""
        return self.rows * self.columns


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener(Record):
    """A group of like fasteners of one joint, tightened to one figure."""

    thread: str = ""
    """Designation as written: "M8x1.25"; empty where none is given."""
    strength_class: str = ""
    """Property class or grade as written: "8.8", "grade 8", "A2-70"."""
    count: int = 1
    head: Head | None = None
    across_flats: Quantity | None = None
    torque: Torque | None = None
    stage_places: tuple[Place, ...] = ()
    """Where each stage of the torque is written."""
    threads: Threads | None = None
    prevailing: bool = False
    """A self-locking nut's measured run-down torque is added."""
    into: str = ""
    engagement: Quantity | None = None
    length: Quantity | None = None
    pattern: Pattern | None = None
    reusable: bool = True
    part: PartId | None = None
    specs: tuple[ItemId, ...] = ()
    """Measured before it is used again."""
    behind: tuple[ItemId, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line(Record):
    """A hose, pipe, cable or connector that is parted and joined."""

    kind: str = "hose"
    carries: tuple[ItemId, ...] = ()
    behind: tuple[ItemId, ...] = ()
    held_by: tuple[ItemId, ...] = ()
    exposed_to: tuple[ItemId, ...] = ()
    renew: tuple[PartId, ...] = ()
    part: PartId | None = None
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fluid(Record):
    """What is drained and filled."""

    capacity: Quantity | None = None
    part: PartId | None = None
    """The consumable that fills it."""
    behind: tuple[ItemId, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy(Record):
    """What can hurt: supplied (isolated and restored) or stored (released, and back by what `back_by` says)."""

    kind: str
    back_by: tuple[Act, ...] = ()
    isolated_by: Prose | None = None
    where: str = ""

    @property
    def is_supplied(self) -> bool:
        """Whether it comes from a supply that is isolated and restored."""
        return self.kind in SUPPLIED

    @property
    def is_stored(self) -> bool:
        """Whether it is stored in the machine and released."""
        return self.kind in STORED


@dataclass(frozen=True, slots=True, kw_only=True)
class Aid(Record):
    """What is put in for the work and taken out after it: a locking pin, a stand, a sling, a plug."""

    tool: ToolId | None = None
    supports: tuple[ItemId, ...] = ()
    behind: tuple[ItemId, ...] = ()
    needs: tuple[State, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineCondition(Record):
    """A state of the whole machine that steps set and acts lose: No. 1 at top dead centre."""

    lost_by: tuple[Act, ...] = ()
    meaning: Prose | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec(Record):
    """Something measured, with its limits."""

    of: tuple[ItemId, ...] = ()
    limits: Quantity | None = None
    tools: tuple[ToolId, ...] = ()
    """The author's `with`."""
    unit: str = ""
    """In which it is read, where that is not the limits' own."""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Record):
    """A named check that a person signs: two full turns by hand."""

    of: tuple[ItemId, ...] = ()
    do: Prose | None = None
    sign: tuple[str, ...] = ()
    needs: tuple[State, ...] = ()


Item = Component | Fastener | Line | Fluid | Energy | Aid | MachineCondition | Spec | Check
