"""The ring on which a head or nut turns: its diameters set half of the tightening torque."""

from dataclasses import dataclass
from functools import cache
from typing import assert_never

from procgen.fasteners.head_sizes import METRIC_HEADS, UNIFIED_HEADS, Head, MetricHead, UnifiedHead
from procgen.fasteners.spanners import unified_name
from procgen.fasteners.threads import MM_PER_INCH, System, Thread

# Where no standard lists a size: outer diameter in thread diameters. The means of the sizes
# that are listed (M3-M39 hex 1.42, flange 1.98, small flange 1.88, socket 1.50) and 1.1 d for
# the hole. A fall-back without a source of its own.
_OUTER_IN_DIAMETERS = {
    Head.HEX: 1.42,
    Head.NUT: 1.42,
    Head.FLANGE: 1.98,
    Head.SMALL_FLANGE: 1.88,
    Head.SOCKET: 1.50,
    Head.TORX: 1.50,
    Head.SLOTTED: 1.50,
    Head.OTHER: 1.42,
}
_HOLE_IN_DIAMETERS = 1.1

_WASHER_FACE = 0.95  # washer face of a hexagon in least widths across flats, ISO 4014
_SOCKET_EDGE_MM = 0.4  # socket head to bearing face, dk min - dw min of ISO 4762 M6 to M12


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """The bearing face under a head or nut."""

    outer_mm: float
    """dw, least diameter of the washer face."""
    hole_mm: float
    """dh, clearance hole."""
    is_estimate: bool
    """True where the outer diameter is a rule of thumb, not a listed size."""

    @property
    def friction_diameter_mm(self) -> float:
        """Mean diameter that the friction works at, DK = (dw + dh) / 2, VDI 2230."""
        return (self.outer_mm + self.hole_mm) / 2


@cache
def bearing_under(thread: Thread, head: Head) -> Bearing:
    """The bearing face of that head, from the standards or by rule of thumb."""
    outer_mm = _metric_outer(thread, head) if thread.system is System.METRIC else _unified_outer(thread, head)
    return Bearing(
        outer_mm=_OUTER_IN_DIAMETERS[head] * thread.d_mm if outer_mm is None else outer_mm,
        hole_mm=_hole(thread),
        is_estimate=outer_mm is None,
    )


def _metric_outer(thread: Thread, head: Head) -> float | None:
    row = METRIC_HEADS.get(thread.d_mm, MetricHead(hole=0))
    match head:
        case Head.HEX | Head.NUT:  # a nut of the same flats has the same washer face
            return row.hex_dw
        case Head.FLANGE:
            return row.flange_dw
        case Head.SMALL_FLANGE:
            return row.small_flange_dw
        case Head.SOCKET | Head.TORX:
            return row.socket_dw
        case Head.SLOTTED | Head.OTHER:
            return None
        case _:
            assert_never(head)


def _unified_outer(thread: Thread, head: Head) -> float | None:
    row = UNIFIED_HEADS.get(unified_name(thread), UnifiedHead())
    match head:
        case Head.HEX | Head.NUT if row.hex_min is not None:
            return _WASHER_FACE * row.hex_min * MM_PER_INCH
        case Head.SOCKET | Head.TORX if row.socket_min is not None:
            return row.socket_min * MM_PER_INCH - _SOCKET_EDGE_MM
        case _:
            return None


def _hole(thread: Thread) -> float:
    if thread.system is System.METRIC:
        row = METRIC_HEADS.get(thread.d_mm)
        return _HOLE_IN_DIAMETERS * thread.d_mm if row is None else row.hole
    inches = thread.d_mm / MM_PER_INCH
    if inches < 0.25:
        return _HOLE_IN_DIAMETERS * thread.d_mm
    # ASME B18.2.8 normal holes, from memory: 1/32 in over to 7/16, 1/16 to 7/8, then 3/32.
    over = 1 / 32 if inches <= 7 / 16 else 1 / 16 if inches <= 7 / 8 else 3 / 32
    return (inches + over) * MM_PER_INCH
