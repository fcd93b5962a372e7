"""The order of tightening, or of loosening: the bolts where they sit, each with the number of its turn."""

import math
from dataclasses import dataclass

from procgen.library.items import Fastener
from procgen.plan.positions import positions_of

_FIELD = 208.0
_RADIUS = 15.0
_EDGE = 20.0
_LEAST_PITCH = 38.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One bolt."""

    x: str
    y: str
    turn: int
    """When it has its turn, from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderDrawing:
    """The drawing and its text equivalent."""

    width: str
    height: str
    holes: tuple[Hole, ...]
    radius: str
    trail: str
    """The `points` of a line that goes through the bolts in order."""
    title: str
    """"Order of tightening"."""
    words: str
    """The order as positions counted on the part."""
    is_given: bool
    """The author's own order, and not one that the program worked out."""


def order_drawing(fastener: Fastener, *, loosening: bool = False) -> OrderDrawing | None:
    """The drawing for a fastener; None where it has no pattern, or fewer than three.

    loosening: the other way round, from what is tightened last.
    """
    pattern = positions_of(fastener)
    if pattern is None or len(pattern.positions) < 3:
        return None
    places = pattern.positions
    order = pattern.loosening_order if loosening else pattern.order
    scale = max(_FIELD - 2 * _EDGE, _LEAST_PITCH / _least_distance(places))
    left, top = min(x for x, _ in places), min(y for _, y in places)
    spots = [((x - left) * scale + _EDGE, (y - top) * scale + _EDGE) for x, y in places]
    width = max(x for x, _ in spots) + _EDGE
    height = max(y for _, y in spots) + _EDGE
    return OrderDrawing(
        width=_px(width),
        height=_px(height),
        holes=tuple(Hole(x=_px(x), y=_px(y), turn=order.index(bolt) + 1) for bolt, (x, y) in enumerate(spots, start=1)),
        radius=_px(_RADIUS),
        trail=" ".join(f"{_px(spots[bolt - 1][0])},{_px(spots[bolt - 1][1])}" for bolt in order),
        title="Order of loosening" if loosening else "Order of tightening",
        words=_in_words(fastener, order),
        is_given=bool(fastener.pattern and fastener.pattern.order),
    )


def _least_distance(places: tuple[tuple[float, float], ...]) -> float:
    return min(math.dist(one, other) for place, one in enumerate(places) for other in places[place + 1 :])


def _in_words(fastener: Fastener, order: tuple[int, ...]) -> str:
    pattern = fastener.pattern
    counted = {
        "circle": "Counted clockwise from the top",
        "grid": "Counted row by row from the top left",
        "row": "Counted from the left",
        "points": "Counted as they are listed",
    }[pattern.layout.value if pattern else "points"]
    return f"{counted}: {', '.join(map(str, order))}."


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
