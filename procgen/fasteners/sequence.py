"""In which order to tighten bolts, so that the joint comes down level.

Three rules, all deterministic:
- an odd circle goes round in steps of (n - 1)/2, the star of a five-bolt wheel: every bolt
  follows the one as nearly opposite as the circle allows;
- a ring (an even circle, or free points with an empty middle) goes crosswise: a bolt, then
  the one opposite; the next pair starts farthest from all that are tight;
- everything else goes from the centre outwards, again each bolt with its opposite.
Equal choices are decided clockwise from 12 o'clock. A maker's own order goes before these.
"""

import math
from collections.abc import Sequence

Point = tuple[float, float]
"""x to the right, y down, as on the page."""

_CLOSE = 1e-6  # distances this near are equal: they come from drawings and cosines
# Fractions such as 1/128 lie just where rounding to six places flips; this shifts them off it.
_OFF_THE_EDGE = 1.4142e-7


def star(count: int) -> tuple[int, ...]:
    """Order of an odd circle: bolts numbered clockwise from 0."""
    step = (count - 1) // 2
    return tuple(turn * step % count for turn in range(count))


def crosswise(points: Sequence[Point]) -> tuple[int, ...]:
    """Order of a ring: opposite pairs, each pair started farthest from the bolts already tight."""
    centre = centre_of(points)
    left = clockwise(points, centre)
    room = dict.fromkeys(left, math.inf)  # from each loose bolt to the nearest tight one
    order: list[int] = []

    def tighten(bolt: int) -> None:
        left.remove(bolt)
        order.append(bolt)
        for other in left:
            room[other] = min(room[other], _apart(points[other], points[bolt]))

    while left:
        # max keeps the first of equals: the first one clockwise
        tighten(max(left, key=lambda bolt: (room[bolt], _from_last_pair(points, bolt, order))))
        if left:
            tighten(_opposite(points, left, order[-1], centre))
    return tuple(order)


def centre_out(points: Sequence[Point]) -> tuple[int, ...]:
    """Order of a row, a grid or a cluster: nearest the centre first, each with its opposite."""
    centre = centre_of(points)
    left = sorted(clockwise(points, centre), key=lambda bolt: _apart(points[bolt], centre))
    order: list[int] = []
    while left:
        first = left.pop(0)
        order.append(first)
        radius = math.dist(points[first], centre)
        peers = [i for i in left if math.dist(points[i], centre) <= radius * 1.25 + _CLOSE]
        if radius > _CLOSE and peers:
            opposite = _opposite(points, peers, first, centre)
            left.remove(opposite)
            order.append(opposite)
    return tuple(order)


def is_ring(points: Sequence[Point]) -> bool:
    """Whether the middle is empty: no bolt nearer the centre than half the farthest one."""
    centre = centre_of(points)
    distances = [math.dist(point, centre) for point in points]
    return min(distances) >= max(distances) / 2 - _CLOSE and max(distances) > _CLOSE


def centre_of(points: Sequence[Point]) -> Point:
    """Mean of the points."""
    return (
        math.fsum(x for x, _ in points) / len(points),
        math.fsum(y for _, y in points) / len(points),
    )


def clockwise(points: Sequence[Point], centre: Point) -> list[int]:
    """Indices by clock angle about the centre from 12 o'clock; at one angle the nearer first."""

    def clock(index: int) -> tuple[float, float]:
        across, down = points[index][0] - centre[0], points[index][1] - centre[1]
        angle = math.atan2(across, -down) % math.tau
        # A bolt a hair left of 12 o'clock is at 12 o'clock.
        return (round(angle, 6) % round(math.tau, 6), round(math.hypot(across, down), 6))

    return sorted(range(len(points)), key=clock)


def _apart(one: Point, other: Point) -> float:
    """Distance, with the dust of cosines brushed off so that equal distances are equal."""
    return round(math.dist(one, other) + _OFF_THE_EDGE, 6)


def _from_last_pair(points: Sequence[Point], bolt: int, order: Sequence[int]) -> float:
    """Distance from a loose bolt to the nearer of the two tightened last."""
    return min((_apart(points[bolt], points[tight]) for tight in order[-2:]), default=math.inf)


def _opposite(points: Sequence[Point], left: Sequence[int], first: int, centre: Point) -> int:
    """The loose bolt nearest to the mirror image of one through the centre."""
    mirror = (2 * centre[0] - points[first][0], 2 * centre[1] - points[first][1])
    return min(left, key=lambda bolt: _apart(points[bolt], mirror))
