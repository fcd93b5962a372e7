"""Which spanner or key fits, so that nobody has to type "13 mm"."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import assert_never

from procgen.fasteners.head_sizes import METRIC_HEADS, UNIFIED_HEADS, Head, MetricHead, UnifiedHead
from procgen.fasteners.threads import MM_PER_INCH, System, Thread


class Grip(StrEnum):
    """What the size is measured on."""

    ACROSS_FLATS = "across flats"
    """An outside hexagon: spanner or socket."""
    HEXAGON_KEY = "hexagon key"
    """An inside hexagon: key or hexagon bit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spanner:
    """The tool size for one fastener."""

    grip: Grip
    size: str
    """As marked on the tool: 13 mm, 9/16 in."""
    size_mm: float
    note: str | None = None
    """What else may be found on the machine."""


def spanner_for(thread: Thread, head: Head) -> Spanner | None:
    """The standard size for that thread and head; None where the standards have none.

    The size goes by the diameter, whatever the pitch.
    """
    grip = Grip.HEXAGON_KEY if head is Head.SOCKET else Grip.ACROSS_FLATS
    if thread.system is System.METRIC:
        row = METRIC_HEADS.get(thread.d_mm)
        size_mm = None if row is None else _metric_size(row, head)
        if row is None or size_mm is None:
            return None
        return Spanner(grip=grip, size=f"{size_mm:g} mm", size_mm=float(size_mm), note=_metric_note(row, head))
    inches = _unified_size(UNIFIED_HEADS.get(unified_name(thread), UnifiedHead()), head)
    if inches is None:
        return None
    return Spanner(grip=grip, size=f"{inches} in", size_mm=_inches(inches) * MM_PER_INCH)


def unified_name(thread: Thread) -> str:
    """The diameter part of a Unified designation: 3/8 of 3/8-16 UNC, 1-1/8 of 1-1/8-12 UNF."""
    return thread.designation.partition(" ")[0].rpartition("-")[0]


def _metric_size(row: MetricHead, head: Head) -> float | None:
    match head:
        case Head.HEX:
            return row.hex
        case Head.NUT:
            return row.nut
        case Head.FLANGE:
            return row.flange
        case Head.SMALL_FLANGE:
            return row.small_flange
        case Head.SOCKET:
            return row.key
        case Head.TORX | Head.SLOTTED | Head.OTHER:
            return None
        case _:
            assert_never(head)


def _unified_size(row: UnifiedHead, head: Head) -> str | None:
    match head:
        case Head.HEX:
            return row.hex
        case Head.NUT:
            return row.nut
        case Head.FLANGE:
            return row.flange
        case Head.SOCKET:
            return row.key
        case Head.SMALL_FLANGE | Head.TORX | Head.SLOTTED | Head.OTHER:
            return None
        case _:
            assert_never(head)


def _metric_note(row: MetricHead, head: Head) -> str | None:
    if head in {Head.HEX, Head.NUT} and row.din_hex is not None and row.din_hex != row.hex:
        return f"{row.din_hex:g} mm on fasteners to the older DIN standards"
    if head is Head.FLANGE and row.flange == 16:
        # EN 1665 itself says so in its national foreword; ISO 4161 and 4162 have 15 mm.
        return "15 mm on flange bolts and nuts to ISO 4162 and ISO 4161"
    return None


def _inches(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split("-")))
