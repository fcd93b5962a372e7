"""Bolt patterns: where the bolts are, for the drawing, and the order in which they are tightened."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from procgen.fasteners.sequence import Point, centre_out, crosswise, is_ring, star

_CENTRE = 0.5
_MOST_BOLTS = 400  # beyond this it is a slip of the pen


class PatternError(ValueError):
    """A pattern or an order that cannot be drawn or followed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The places of the bolts of one joint, and their order.

    Bolts are numbered from 1 as on the drawing: circles clockwise from 12 o'clock, grids
    row by row from the top left, free points as listed.
    """

    positions: tuple[Point, ...]
    """In the unit square, x to the right and y down; bolt 1 first."""
    order: tuple[int, ...]
    """Bolt numbers, the first to be tightened first: each bolt once."""

    @property
    def loosening_order(self) -> tuple[int, ...]:
        """The other way round: what was tightened last is let go first."""
        return self.order[::-1]

    def turn_of(self, bolt: int) -> int:
        """When a bolt has its turn, counted from 1."""
        return self.order.index(bolt) + 1

    def with_order(self, numbers: Sequence[int]) -> "Pattern":
        """The same bolts in the order of the author or the maker.

        Raises PatternError unless every bolt number occurs exactly once.
        """
        count = len(self.positions)
        if wrong := [n for n in numbers if not 1 <= n <= count]:
            raise PatternError(f"the order names bolt {wrong[0]}, and the bolts are numbered 1 to {count}")
        if twice := [n for n in numbers if list(numbers).count(n) > 1]:
            raise PatternError(f"the order names bolt {twice[0]} more than once")
        if missing := sorted(set(range(1, count + 1)) - set(numbers)):
            raise PatternError(f"the order leaves out bolt {', '.join(map(str, missing))}")
        return replace(self, order=tuple(numbers))


def circle(count: int) -> Pattern:
    """Bolts evenly on a circle, the first at 12 o'clock, numbered clockwise.

    Even counts: every second bolt in the order is exactly opposite the one before it. Odd
    counts: every bolt is (count - 1)/2 places on from the one before it.
    Raises PatternError for fewer than 1 bolt or more than 400.
    """
    _count_checked(count)
    angles = [math.tau * place / count for place in range(count)]
    positions = tuple((_CENTRE + math.sin(a) / 2, _CENTRE - math.cos(a) / 2) for a in angles)
    order = star(count) if count % 2 else crosswise(positions)
    return _pattern(positions, order)


def grid(rows: int, columns: int) -> Pattern:
    """Bolts in rows and columns, as on a cylinder head; a single row is a grid of one row.

    Raises PatternError where a side is below 1, or there are more than 400 bolts.
    """
    if rows < 1 or columns < 1:
        raise PatternError(f"a grid of {rows} by {columns} has no bolts")
    _count_checked(rows * columns)
    pitch = max(rows, columns) - 1 or 1
    left, top = _CENTRE - (columns - 1) / pitch / 2, _CENTRE - (rows - 1) / pitch / 2
    positions = tuple((left + column / pitch, top + row / pitch) for row in range(rows) for column in range(columns))
    return _pattern(positions, centre_out(positions))


def grid_from_text(text: str) -> Pattern:
    """A grid written rows by columns: 2x5, 2 × 5. Raises PatternError."""
    match = re.fullmatch(r"\s*(\d{1,4})\s*[x×]\s*(\d{1,4})\s*", text, re.IGNORECASE)
    if match is None:
        raise PatternError(f'"{text}" is no grid: write rows by columns, such as 2x5')
    return grid(int(match[1]), int(match[2]))


def free_points(points: Sequence[Point]) -> Pattern:
    """Bolts anywhere, in any unit, y down; fitted into the unit square without distortion.

    Crosswise where the middle of the joint is empty, else from the centre outwards.
    Raises PatternError where there are none, two coincide, or a number is not finite.
    """
    _count_checked(len(points))
    if not all(math.isfinite(value) for point in points for value in point):
        raise PatternError("a place of a bolt is not a number")
    positions = _fitted(points)
    seen: dict[Point, int] = {}
    for number, (x, y) in enumerate(positions, start=1):
        if (earlier := seen.setdefault((round(x, 6), round(y, 6)), number)) != number:
            raise PatternError(f"bolts {earlier} and {number} are in the same place")
    return _pattern(positions, crosswise(positions) if is_ring(positions) else centre_out(positions))


def _pattern(positions: tuple[Point, ...], order: Sequence[int]) -> Pattern:
    return Pattern(positions=positions, order=tuple(index + 1 for index in order))


def _count_checked(count: int) -> None:
    if not 1 <= count <= _MOST_BOLTS:
        raise PatternError(f"a pattern has 1 to {_MOST_BOLTS} bolts, not {count}")


def _fitted(points: Sequence[Point]) -> tuple[Point, ...]:
    lows = [min(point[axis] for point in points) for axis in (0, 1)]
    highs = [max(point[axis] for point in points) for axis in (0, 1)]
    size = max(high - low for low, high in zip(lows, highs, strict=True)) or 1.0
    middle = [low / 2 + high / 2 for low, high in zip(lows, highs, strict=True)]
    return tuple((_CENTRE + (x - middle[0]) / size, _CENTRE + (y - middle[1]) / size) for x, y in points)
