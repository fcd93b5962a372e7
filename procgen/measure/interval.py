"""How often work falls due: by the machine's meter, by the calendar, or by whichever comes first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction
from typing import assert_never

from procgen.measure.error import MeasureError, excerpt
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.measure.typeset import show


class Meter(StrEnum):
    """What a machine counts."""

    HOURS = "h"
    KILOMETRES = "km"
    MILES = "mi"
    CYCLES = "cycle"


class CalendarUnit(StrEnum):
    """What the calendar counts."""

    DAYS = "day"
    WEEKS = "week"
    MONTHS = "month"
    YEARS = "year"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterLimit:
    """So much on a meter."""

    amount: Fraction
    """In the meter's own unit; more than 0."""
    meter: Meter
    text: str
    """For print: "1 500 h"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarLimit:
    """So long by the calendar."""

    amount: int
    """Of the unit; more than 0."""
    unit: CalendarUnit
    text: str
    """For print: "5 years"."""


_METERS = frozenset(meter.value for meter in Meter)
_CALENDAR = frozenset(unit.value for unit in CalendarUnit)
_KINDS = {Meter.HOURS: "hours", Meter.KILOMETRES: "distances", Meter.MILES: "distances", Meter.CYCLES: "cycles"}

Limit = MeterLimit | CalendarLimit


@dataclass(frozen=True, slots=True)
class Interval:
    """One or more limits; the work is due when the first of them is reached."""

    limits: tuple[Limit, ...]

    @property
    def meter_limits(self) -> tuple[MeterLimit, ...]:
        """The limits that a meter tells."""
        return tuple(limit for limit in self.limits if isinstance(limit, MeterLimit))

    @property
    def calendar_limits(self) -> tuple[CalendarLimit, ...]:
        """The limits that a calendar tells."""
        return tuple(limit for limit in self.limits if isinstance(limit, CalendarLimit))

    def __str__(self) -> str:
        *most, last = (limit.text for limit in self.limits)
        if not most:
            return f"every {last}"
        return f"every {', '.join(most)} or {last}, whichever comes first"


_EXAMPLES = '"1500 h", "10 000 km", "500 cycles" or "5 years"'


def parse_interval(value: object) -> Interval:
    """Read an interval as it stands in YAML: one limit as text, or a list of them.

    Raises MeasureError, whose `path` says which limit of the list is at fault.
    """
    if isinstance(value, Sequence) and not isinstance(value, str):
        if not value:
            raise MeasureError(f"the list has no limit; write at least one, as in {_EXAMPLES}.")
        limits = tuple(_limit(part, (index,)) for index, part in enumerate(value))
        _one_of_each(limits)
        return Interval(limits)
    return Interval((_limit(value, ()),))


def _limit(value: object, path: tuple[int, ...]) -> Limit:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise MeasureError(f"an interval is written as {_EXAMPLES}.", path)
    text = str(value)
    if not text.strip("0123456789., "):
        raise MeasureError(f"{excerpt(text)} has no unit; an interval is written as {_EXAMPLES}.", path)
    try:
        quantity = parse_quantity(text)
    except MeasureError as error:
        raise MeasureError(f"{error} An interval is written as {_EXAMPLES}.", path) from None
    if not quantity.is_single or quantity.middle <= 0:
        raise MeasureError(f'"{quantity.text}" is no interval; it needs one figure above 0, as in {_EXAMPLES}.', path)
    symbol = quantity.unit.symbol
    if symbol in _METERS:
        return MeterLimit(amount=quantity.middle, meter=Meter(symbol), text=show(quantity))
    if symbol in _CALENDAR:
        return _calendar_limit(quantity, CalendarUnit(symbol), path)
    raise MeasureError(
        f'"{quantity.text}" is {quantity.dimension.phrase}; an interval is written as {_EXAMPLES}.', path
    )


def _calendar_limit(quantity: Quantity, unit: CalendarUnit, path: tuple[int, ...]) -> CalendarLimit:
    amount = quantity.middle
    if amount.denominator != 1:
        raise MeasureError(f'"{quantity.text}" is not whole; write it in a smaller unit, as in "18 months".', path)
    if amount > _MOST[unit]:
        raise MeasureError(f'"{quantity.text}" is longer than a machine lives.', path)
    return CalendarLimit(amount=int(amount), unit=unit, text=show(quantity))


_MOST = {CalendarUnit.DAYS: 36_500, CalendarUnit.WEEKS: 5200, CalendarUnit.MONTHS: 1200, CalendarUnit.YEARS: 100}
"""A hundred years: further than any plan, and near enough that dates do not run out."""


def _one_of_each(limits: tuple[Limit, ...]) -> None:
    """Two limits of one kind say the same thing twice: only the shorter could ever be reached."""
    seen: dict[str, Limit] = {}
    for index, limit in enumerate(limits):
        kind = _kind(limit)
        if kind in seen:
            raise MeasureError(f'"{seen[kind].text}" and "{limit.text}" are both {kind}; keep one.', (index,))
        seen[kind] = limit


def _kind(limit: Limit) -> str:
    match limit:
        case CalendarLimit():
            return "times by the calendar"
        case MeterLimit():
            return _KINDS[limit.meter]
        case _:
            assert_never(limit)


def add_calendar(start: date, limit: CalendarLimit) -> date:
    """The day on which work done on `start` is due again.

    Months and years keep the day of the month, or take the last day of a shorter month: 31 January + 1 month is
    28 or 29 February. Dates end with the year 9999, and so does the answer.
    """
    match limit.unit:
        case CalendarUnit.DAYS | CalendarUnit.WEEKS:
            days = limit.amount * (7 if limit.unit is CalendarUnit.WEEKS else 1)
            return start + timedelta(days=min(days, (date.max - start).days))
        case CalendarUnit.MONTHS | CalendarUnit.YEARS:
            return _add_months(start, limit.amount * (12 if limit.unit is CalendarUnit.YEARS else 1))
        case _:
            assert_never(limit.unit)


def _add_months(start: date, months: int) -> date:
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    if year > date.max.year:
        return date.max
    return date(year, month + 1, min(start.day, _days_in_month(year, month + 1)))


def _days_in_month(year: int, month: int) -> int:
    if month == 12:
        return 31
    return (date(year, month + 1, 1) - timedelta(days=1)).day
