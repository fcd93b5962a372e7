"""Readings of one kind over a machine's life: in series from renewal to renewal, each with its line and where it leads.

A renewal of what is measured starts a new series: a new part owes nothing to the old one's wear. The reading that was
taken on the day of the renewal belongs to the old part or to the new one, as `renewal.py` tells.

Readings are set against the meter where the work that measures them has a limit on the meter and every reading has a
figure of it, since wear comes with use; else against the calendar, where what wears it is time.
"""

import math
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction

from procgen.library.fleet import Entry, Logbook
from procgen.library.items import Spec
from procgen.library.library import Library
from procgen.library.machine import Machine, ScheduleItem
from procgen.library.origin import ItemId
from procgen.measure.quantity import Quantity
from procgen.measure.unit_table import Unit
from procgen.upkeep.line import Crossing, Line, fit
from procgen.upkeep.meter import MOST, Track, figure, track
from procgen.upkeep.renewal import Life, is_outside, lives

FAR_YEARS = 50
"""A day further away than this is no projection any more."""


class Axis(StrEnum):
    """What readings are set against."""

    METER = "meter"
    CALENDAR = "calendar"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading."""

    on: date
    x: Fraction
    """On the axis: the meter's figure, or the day as its ordinal."""
    value: Quantity
    """As it was logged."""
    y: Fraction
    """In the trend's unit."""
    is_outside: bool
    """Outside the limits of its spec."""
    entry: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Projection:
    """Where a line meets the limit that it is heading for."""

    limit: Fraction
    is_upper: bool
    crossing: Crossing
    due_on: date | None
    """The day of the best guess; None where it is too far off, or nobody knows how fast the meter runs."""
    earliest: date | None
    """The day before which one reading in twenty would be out of limits; None as above."""
    latest: date | None
    """The day after which one reading in twenty would still be inside; None as above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """The readings of one part, from its renewal to the next."""

    readings: tuple[Reading, ...]
    """The earliest first; empty where the part was renewed and not measured since."""
    renewed_on: date | None
    """The day on which the part was new; None for the first series of a logbook."""
    line: Line | None
    """None where there are fewer than three readings, or all at one place of the axis."""
    projection: Projection | None = None
    """None where there is no line, or it cannot be told from level, or leads to no limit; and for earlier parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """All readings of one spec on one machine."""

    spec: Spec
    axis: Axis
    unit: Unit
    low: Fraction | None
    """The lower limit, in the unit."""
    high: Fraction | None
    series: tuple[Series, ...]
    """At least one; the last is that of the part which is in the machine now."""

    @property
    def readings(self) -> tuple[Reading, ...]:
        """All of them, the earliest first."""
        return tuple(reading for each in self.series for reading in each.readings)

    @property
    def current(self) -> Series:
        """The series of the part which is in the machine now."""
        return self.series[-1]


def trends(library: Library, logbook: Logbook, on: date) -> tuple[Trend, ...]:
    """The trend of all that a logbook has readings of up to the day `on`, in the order of the machine's items."""
    machine = library.machines[logbook.machine]
    entries = sorted((e for e in logbook.entries if e.on <= on), key=lambda e: (e.on, e.did, e.parts, e.by))
    measured = {name for entry in entries for name in entry.readings}
    meter = track(logbook, on)
    found = (
        _trend(spec, entries, meter, machine, library)
        for spec in machine.items.values()
        if isinstance(spec, Spec) and spec.id in measured
    )
    return tuple(each for each in found if each)


def _trend(spec: Spec, entries: list[Entry], meter: Track, machine: Machine, library: Library) -> Trend | None:
    unit = _unit(spec, entries)
    mine = [entry for entry in entries if spec.id in entry.readings and _fits(entry.readings[spec.id], unit)]
    if not mine:
        return None
    axis = _axis(spec, mine, meter, machine)
    limits = spec.limits.to(unit) if spec.limits and spec.limits.dimension is unit.dimension else None
    low, high = (limits.low, limits.high) if limits else (None, None)
    *earlier, current = (_series(life, spec, unit, axis, meter) for life in lives(spec, entries, machine, library))
    if current.line:
        days = _Days(axis, meter, current.readings[-1].on.year)
        current = replace(current, projection=_projection(current.line, (low, high), days))
    # A part that nobody measured has no series, unless it is the one of today.
    series = (*(each for each in earlier if each.readings), current)
    return Trend(spec=spec, axis=axis, unit=unit, low=low, high=high, series=series)


def _unit(spec: Spec, entries: list[Entry]) -> Unit:
    """The unit of the limits; that of the latest reading where there are none."""
    if spec.limits:
        return spec.limits.unit
    *_, last = (entry.readings[spec.id] for entry in entries if spec.id in entry.readings)
    return last.unit


def _fits(value: Quantity, unit: Unit) -> bool:
    return value.dimension is unit.dimension and abs(value.to(unit).middle) <= MOST


def _axis(spec: Spec, entries: list[Entry], meter: Track, machine: Machine) -> Axis:
    work = [item for item in machine.schedule.values() if set(item.of) & set(spec.of)]
    wears_with_use = any(_has_meter_limit(item, machine) for item in work) if work else machine.meter != "none"
    known = all(figure(entry, meter) is not None for entry in entries)
    return Axis.METER if wears_with_use and known else Axis.CALENDAR


def _has_meter_limit(item: ScheduleItem, machine: Machine) -> bool:
    other = machine.schedule.get(item.nth_of)
    intervals = [each.every for each in (item, other) if each and each.every]
    return any(interval.meter_limits for interval in intervals)


def _reading(entry: Entry, spec: Spec, unit: Unit, axis: Axis, meter: Track) -> Reading:
    value = entry.readings[ItemId(spec.id)]
    noted = figure(entry, meter)
    return Reading(
        on=entry.on,
        x=Fraction(entry.on.toordinal()) if axis is Axis.CALENDAR or noted is None else noted,
        value=value,
        y=value.to(unit).middle,
        is_outside=is_outside(value, spec),
        entry=entry,
    )


def _series(life: Life, spec: Spec, unit: Unit, axis: Axis, meter: Track) -> Series:
    measured = (entry for entry in life.measured if _fits(entry.readings[spec.id], unit))
    readings = tuple(_reading(entry, spec, unit, axis, meter) for entry in measured)
    line = fit([(reading.x, reading.y) for reading in readings])
    return Series(readings=readings, renewed_on=life.renewed_on, line=line)


@dataclass(frozen=True, slots=True)
class _Days:
    """From places of the axis to days."""

    axis: Axis
    meter: Track
    year: int
    """That of the last reading."""

    def at(self, x: Fraction) -> date | None:
        """The day at a place; None where that is too far off, or nobody knows when the meter will say so."""
        day = self.meter.day_of(x) if self.axis is Axis.METER else _day_of(math.ceil(x))
        return day if day is not None and abs(day.year - self.year) <= FAR_YEARS else None


def _day_of(ordinal: int) -> date | None:
    return date.fromordinal(ordinal) if 1 <= ordinal <= date.max.toordinal() else None


def _projection(line: Line, limits: tuple[Fraction | None, Fraction | None], days: _Days) -> Projection | None:
    is_upper = line.slope > 0
    limit = limits[1] if is_upper else limits[0]
    crossing = line.crossing(limit) if limit is not None and line.slope else None
    if limit is None or crossing is None:
        return None
    return Projection(
        limit=limit,
        is_upper=is_upper,
        crossing=crossing,
        due_on=days.at(crossing.x),
        earliest=days.at(crossing.earliest),
        latest=days.at(crossing.latest),
    )
