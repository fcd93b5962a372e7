"""What a machine's meter said, says about now, and will say: the readings of its logbook, and the use that they tell.

The rate of use is Theil and Sen's: the median of the slopes between every two readings (P. K. Sen, Journal of the
American Statistical Association 63 (1968) 1379), each weighted by the time between the two (the weighted median of
Jaeckel (1972) and Scholz (1978); all three from memory). One misread figure does not move it, a quiet winter and a busy
summer average out, and readings that never fall never give a negative rate. Only the last three years of readings
count, so that it follows the use that the machine has now; where they span less than a year, older ones join.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import combinations

from procgen.library.fleet import Entry, Logbook

RECENT = timedelta(days=3 * 365)
"""How far back of the latest reading the rate looks."""
SEASONS = timedelta(days=365)
"""What its readings span at least, where the logbook reaches back so far: one of each season."""
SHORTEST = timedelta(days=90)
"""Readings that span less tell no rate."""

MOST = 10**12
"""More than any meter or gauge shows: figures beyond are slips of the pen, and not reckoned with."""

DAYS_IN_A_YEAR = Fraction(1461, 4)


@dataclass(frozen=True, slots=True, order=True)
class Noted:
    """What the meter said on a day."""

    on: date
    value: Fraction
    """In the machine's own meter unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """The meter of one machine over time. It never falls: figures that contradict the others are passed over."""

    noted: tuple[Noted, ...]
    """Rising, at most one a day; the first may be the meter's 0 on the day on which the machine came into service."""
    latest: Noted | None
    """The latest figure that somebody read; None where nobody did."""
    rate: Fraction | None
    """Use a day, 0 or more, in the meter's unit; None where the readings are too few or too close together."""

    @property
    def yearly(self) -> Fraction | None:
        """Use a year."""
        return None if self.rate is None else self.rate * DAYS_IN_A_YEAR

    def at(self, day: date) -> Fraction | None:
        """What the meter says on a day: between readings in proportion, after them by the rate.

        Without a rate it stays at the latest reading: the least that it can be. None before the first figure.
        """
        if not self.noted or day < self.noted[0].on:
            return None
        last = self.noted[-1]
        if day >= last.on:
            return last.value + (self.rate or 0) * _days(last.on, day)
        place = bisect_right(self.noted, day, key=lambda noted: noted.on)
        before, after = self.noted[place - 1], self.noted[place]
        return before.value + (after.value - before.value) * _days(before.on, day) / _days(before.on, after.on)

    def day_of(self, value: Fraction) -> date | None:
        """The first day on which the meter says at least that; None where it never will, or nobody knows when."""
        if not self.noted:
            return None
        if value <= self.noted[0].value:
            return self.noted[0].on
        last = self.noted[-1]
        if value > last.value:
            return days_later(last.on, (value - last.value) / self.rate) if self.rate else None
        place = bisect_left(self.noted, value, key=lambda noted: noted.value)
        before, after = self.noted[place - 1], self.noted[place]
        share = (value - before.value) / (after.value - before.value)
        return before.on + timedelta(days=math.ceil(share * _days(before.on, after.on)))


def track(logbook: Logbook, on: date) -> Track:
    """The meter of a machine, as the logbook tells it up to the day `on`; the order of its entries does not matter."""
    read = _rising(sorted(noted for noted in _read(logbook) if noted.on <= on))
    known = list(read)
    start = logbook.in_service
    if start is not None and start <= on and (not read or start < read[0].on):
        known.insert(0, Noted(start, Fraction(0)))
    return Track(noted=tuple(known), latest=read[-1] if read else None, rate=_rate(read))


def figure(entry: Entry, meter: Track) -> Fraction | None:
    """What the meter said at an entry: as noted there, else as the readings around it tell; None where they do not."""
    noted = None if entry.meter is None else _exact(entry.meter)
    return noted if noted is not None and noted <= MOST else meter.at(entry.on)


def _read(logbook: Logbook) -> Iterator[Noted]:
    readings = [(reading.on, reading.value) for reading in logbook.meter]
    readings += [(entry.on, entry.meter) for entry in logbook.entries if entry.meter is not None]
    return (Noted(on, exact) for on, value in readings if (exact := _exact(value)) <= MOST)


def _exact(value: float) -> Fraction:
    return Fraction(str(value))  # 0.1 is a tenth, as it was typed


def _rising(noted: list[Noted]) -> list[Noted]:
    """As many of the figures as never fall, at most one a day; of two that contradict each other, the higher.

    The longest non-decreasing subsequence, by the method of patience sorting, from the latest figure back: what it
    keeps at each length is then the highest figure.
    """
    heads: list[Fraction] = []
    at: list[int] = []
    following: dict[int, int | None] = {}
    for place in range(len(noted) - 1, -1, -1):
        fallen = -noted[place].value
        length = bisect_right(heads, fallen)
        heads[length : length + 1] = [fallen]
        at[length : length + 1] = [place]
        following[place] = at[length - 1] if length else None
    kept: dict[date, Noted] = {}
    place_kept = at[-1] if at else None
    while place_kept is not None:
        kept[noted[place_kept].on] = noted[place_kept]
        place_kept = following[place_kept]
    return list(kept.values())


def _rate(read: list[Noted]) -> Fraction | None:
    chosen = _recent(_one_a_month(read))
    if not chosen or chosen[-1].on - chosen[0].on < SHORTEST:
        return None
    slopes = [
        ((last.value - first.value) / _days(first.on, last.on), _days(first.on, last.on))
        for first, last in combinations(chosen, 2)
    ]
    return max(_weighted_median(slopes), Fraction(0))


def _one_a_month(read: list[Noted]) -> list[Noted]:
    """The last of each month: a figure after every trip says no more about the years, and pairs grow as the square."""
    months = {(each.on.year, each.on.month): each for each in read}
    return list(months.values())


def _recent(read: list[Noted]) -> list[Noted]:
    if not read:
        return []
    end = read[-1].on
    oldest = next(
        (place for place in range(len(read) - 1, -1, -1) if end - read[place].on >= SEASONS),
        0,
    )
    return [each for place, each in enumerate(read) if place >= oldest or end - each.on <= RECENT]


def _weighted_median(weighted: list[tuple[Fraction, int]]) -> Fraction:
    """The value with half of the weight on either side; half-way between two where they part it evenly."""
    ordered = sorted(weighted)
    half = Fraction(sum(weight for _, weight in ordered), 2)
    passed = 0
    for place, (value, weight) in enumerate(ordered):
        passed += weight
        if passed > half:
            return value
        if passed == half:
            return (value + ordered[place + 1][0]) / 2
    raise AssertionError("the weights never came to half of their sum")


def _days(first: date, last: date) -> int:
    return (last - first).days


def days_later(start: date, days: Fraction) -> date | None:
    """The first day that is at least so many days after `start`; None past the end of the calendar, the year 9999."""
    whole = math.ceil(days)
    return start + timedelta(days=whole) if whole <= (date.max - start).days else None
