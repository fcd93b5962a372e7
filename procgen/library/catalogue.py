"""Shop-wide catalogues: tools, parts, sources, safety notices and terms."""

from dataclasses import dataclass
from enum import StrEnum

from procgen.library.items import Record
from procgen.library.origin import Prose, SourceId
from procgen.measure.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool(Record):
    """Something one needs and keeps."""

    kind: str = "general"
    """torque-wrench, crowfoot, angle-gauge, gauge, spanner, socket, hex-key, locking, support, lifting, general."""
    range: Quantity | None = None
    resolution: Quantity | None = None
    accuracy: Quantity | None = None
    drive: Quantity | None = None
    hex: Quantity | None = None
    """Across flats that it fits."""
    offset: Quantity | None = None
    """Square drive to fastener."""
    length: Quantity | None = None
    """Grip to square drive."""
    capacity: Quantity | None = None
    special: bool = False
    where: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Record):
    """Something one orders: a part, or a consumable."""

    number: str = ""
    consumable: bool = False
    unit: str = ""
    single_use: bool = False
    lead_days: int | None = None
    price: float | None = None
    replaces: str = ""
    where: str = ""


class SourceKind(StrEnum):
    """How far a source is trusted, most trusted first; a later bulletin outranks an older maker's manual."""

    MAKER = "maker"
    BULLETIN = "bulletin"
    STANDARD = "standard"
    CLUB = "club"
    WRITE_UP = "write-up"
    COMMON_PRACTICE = "common-practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source(Record):
    """Who says so."""

    kind: SourceKind = SourceKind.CLUB
    date: str = ""
    """ISO 8601: a year, a month or a day."""
    replaces: SourceId | None = None


class Level(StrEnum):
    """Signal words of ANSI Z535.6, worst first."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice(Record):
    """A safety message that is used in many places."""

    level: Level
    hazard: Prose | None = None
    consequence: Prose | None = None
    avoid: Prose | None = None
    kinds: frozenset[str] = frozenset()
    """The energy kinds that it announces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Term(Record):
    """A word of the trade, explained."""

    meaning: Prose
    see: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Units:
    """Which system of units is shown first, and which after it."""

    first: str = "metric"
    second: str = "imperial"
    """metric, imperial or none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manual(Record):
    """The library as a book."""

    publisher: str = ""
    edition: str = ""
    language: str = "en"
    units: Units = Units()
    paper: str = "A4"
    sign_off: tuple[str, ...] = ("fitter",)
    caution: Prose | None = None
    safety: Prose | None = None
    """Added to the safety footer of every page."""
    one_person_lift_kg: float = 20.0
    labour_rate: float | None = None
    currency: str = ""
