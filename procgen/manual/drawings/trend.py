"""Readings of one kind as a drawing: points from renewal to renewal, the line through the last part's, and its limit.

Filled points are those of the part that is in the machine now, open ones those of parts before it. The line is dashed
where it runs ahead of the readings; the bracket on the limit is the range in which it may be met.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from procgen.measure.numeral import decimal_of, typeset
from procgen.upkeep.limits import METER_OF
from procgen.upkeep.meter import DAYS_IN_A_YEAR
from procgen.upkeep.trend import Axis, Projection, Series, Trend

# In CSS pixels.
_WIDTH = 620.0
_HEIGHT = 250.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 58.0, 20.0, 30.0, 36.0
_RENEWED = 56.0
"""Room for the word over a renewal."""
_TICKS_Y = 4
_TICKS_X = 6
_AHEAD = Fraction(1, 2)
"""The drawing reaches no further ahead than half of what the readings span."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A mark on an axis."""

    at: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One reading."""

    x: str
    y: str
    is_current: bool
    is_outside: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A straight line."""

    x1: str
    y1: str
    x2: str
    y2: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit across the drawing."""

    y: str
    text: str
    text_y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendDrawing:
    """The drawing. Its text equivalent is the table of readings beside it."""

    title: str
    words: str
    width: str
    height: str
    left: str
    right: str
    top: str
    foot: str
    unit: str
    axis: str
    """What the level axis counts: "hours", "year"."""
    ticks_x: tuple[Tick, ...]
    ticks_y: tuple[Tick, ...]
    limits: tuple[LimitLine, ...]
    renewals: tuple[Tick, ...]
    """Their lettering is left out where there is no room for it."""
    joined: tuple[str, ...]
    """The `points` of a polyline for each part."""
    dots: tuple[Dot, ...]
    fitted: Stroke | None
    """The line over the readings."""
    ahead: Stroke | None
    """The line from the last reading on."""
    bracket: Stroke | None
    """The range in which the limit may be met."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """From figures to pixels."""

    first: Fraction
    last: Fraction
    low: Fraction
    high: Fraction

    def x(self, value: Fraction) -> str:
        share = (min(max(value, self.first), self.last) - self.first) / (self.last - self.first)
        return _px(_LEFT + float(share) * (_WIDTH - _LEFT - _RIGHT))

    def y(self, value: Fraction) -> str:
        share = (value - self.low) / (self.high - self.low)
        return _px(_HEIGHT - _BOTTOM - float(share) * (_HEIGHT - _TOP - _BOTTOM))


def trend_drawing(trend: Trend, meter: str, words: str) -> TrendDrawing | None:
    """The drawing of a trend; None where there are not two readings at different places.

    meter: what the machine's meter counts. words: where the readings lead, in a sentence.
    """
    readings = trend.readings
    if len({reading.x for reading in readings}) < 2:
        return None
    frame = _frame(trend)
    current = trend.current
    return TrendDrawing(
        title=trend.spec.title,
        words=words,
        width=_px(_WIDTH),
        height=_px(_HEIGHT),
        left=_px(_LEFT),
        right=_px(_WIDTH - _RIGHT),
        top=_px(_TOP),
        foot=_px(_HEIGHT - _BOTTOM),
        unit=trend.unit.symbol,
        axis="" if trend.axis is Axis.CALENDAR else str(METER_OF.get(meter, "")),
        ticks_x=tuple(_ticks_x(trend.axis, frame)),
        ticks_y=tuple(_ticks_y(frame)),
        limits=tuple(_limits(trend, frame)),
        renewals=tuple(_lettered(tuple(_renewals(trend, frame)))),
        joined=tuple(_joined(series, frame) for series in trend.series if len(series.readings) > 1),
        dots=tuple(_dots(trend, frame)),
        fitted=_stroke(current, frame, current.readings[0].x, current.readings[-1].x) if current.line else None,
        ahead=_ahead(current, frame),
        bracket=_bracket(current.projection, frame),
    )


def _frame(trend: Trend) -> _Frame:
    xs = [reading.x for reading in trend.readings]
    first, last = min(xs), max(xs)
    furthest = last + (last - first) * _AHEAD
    projection = trend.current.projection
    end = min(max(last, projection.crossing.x, projection.crossing.latest), furthest) if projection else last
    margin = (end - first) / 25
    ys = [reading.y for reading in trend.readings] + [limit for limit in (trend.low, trend.high) if limit is not None]
    low, high = min(ys), max(ys)
    room = (high - low) / 8 or abs(high) / 8 or Fraction(1)
    return _Frame(first - margin, end + margin, low - room, high + room)


def _stroke(series: Series, frame: _Frame, first: Fraction, last: Fraction) -> Stroke | None:
    """The series' line between two places, cut where it leaves the frame."""
    line = series.line
    if line is None or first >= last:
        return None
    if line.slope:
        cuts = sorted((limit - line.intercept) / line.slope for limit in (frame.low, frame.high))
        first, last = max(first, cuts[0]), min(last, cuts[1])
    if first >= last:
        return None
    return Stroke(x1=frame.x(first), y1=frame.y(line.at(first)), x2=frame.x(last), y2=frame.y(line.at(last)))


def _ahead(series: Series, frame: _Frame) -> Stroke | None:
    if series.projection is None:
        return None
    return _stroke(series, frame, series.readings[-1].x, min(series.projection.crossing.x, frame.last))


def _bracket(projection: Projection | None, frame: _Frame) -> Stroke | None:
    if projection is None or projection.crossing.earliest > frame.last:
        return None
    y = frame.y(projection.limit)
    return Stroke(x1=frame.x(projection.crossing.earliest), y1=y, x2=frame.x(projection.crossing.latest), y2=y)


def _limits(trend: Trend, frame: _Frame) -> Iterator[LimitLine]:
    for limit, name, shift in ((trend.high, "upper limit", -6), (trend.low, "lower limit", 15)):
        if limit is not None:
            figure = typeset(_shortest(limit))
            y = frame.y(limit)
            yield LimitLine(y=y, text=f"{name} {figure} {trend.unit.symbol}", text_y=_px(float(y) + shift))


def _renewals(trend: Trend, frame: _Frame) -> Iterator[str]:
    """Half-way between the last reading of one part and the first of the next, or on the day itself."""
    for before, after in zip(trend.series, trend.series[1:], strict=False):
        if not before.readings:
            continue
        last = before.readings[-1].x
        if trend.axis is Axis.CALENDAR and after.renewed_on:
            yield frame.x(Fraction(after.renewed_on.toordinal()))
        else:
            on_the_day = next((r.x for r in (*before.readings, *after.readings) if r.on == after.renewed_on), None)
            following = after.readings[0].x if after.readings else last
            yield frame.x(on_the_day if on_the_day is not None else (last + following) / 2)


def _lettered(places: tuple[str, ...]) -> Iterator[Tick]:
    free_from = -math.inf
    for at in places:
        has_room = float(at) - _RENEWED / 2 >= free_from
        if has_room:
            free_from = float(at) + _RENEWED / 2
        yield Tick(at=at, text="renewed" if has_room else "")


def _joined(series: Series, frame: _Frame) -> str:
    return " ".join(f"{frame.x(reading.x)},{frame.y(reading.y)}" for reading in series.readings)


def _dots(trend: Trend, frame: _Frame) -> Iterator[Dot]:
    for series in trend.series:
        for reading in series.readings:
            yield Dot(
                x=frame.x(reading.x),
                y=frame.y(reading.y),
                is_current=series is trend.current,
                is_outside=reading.is_outside,
                words=f"{reading.value} on {reading.on}",
            )


def _ticks_y(frame: _Frame) -> Iterator[Tick]:
    for value, text in _steps(frame.low, frame.high, _TICKS_Y):
        yield Tick(at=frame.y(value), text=text)


def _ticks_x(axis: Axis, frame: _Frame) -> Iterator[Tick]:
    if axis is Axis.CALENDAR:
        yield from _years(frame)
        return
    for value, text in _steps(frame.first, frame.last, _TICKS_X):
        yield Tick(at=frame.x(value), text=text)


def _steps(low: Fraction, high: Fraction, about: int) -> Iterator[tuple[Fraction, str]]:
    """About so many round figures from low to high, with their digits."""
    step = _nice((high - low) / about)
    decimals = max(-math.floor(math.log10(step)), 0)
    for number in range(math.ceil(low / step), math.floor(high / step) + 1):
        yield number * step, typeset(decimal_of(number * step, decimals))


def _years(frame: _Frame) -> Iterator[Tick]:
    """New Year's days; where the readings span less than two of them, the first of each quarter."""
    first = date.fromordinal(max(math.ceil(frame.first), 1))
    last = date.fromordinal(min(math.floor(frame.last), date.max.toordinal()))
    span = (frame.last - frame.first) / DAYS_IN_A_YEAR
    if span < 2:
        quarters = [date(year, month, 1) for year in range(first.year, last.year + 1) for month in (1, 4, 7, 10)]
        for day in quarters:
            if first <= day <= last:
                yield Tick(at=frame.x(Fraction(day.toordinal())), text=f"{day:%Y-%m}")
        return
    step = max(math.ceil(span / _TICKS_X), 1)
    for year in range(first.year + 1, last.year + 1):
        if year % step == 0:
            yield Tick(at=frame.x(Fraction(date(year, 1, 1).toordinal())), text=str(year))


def _nice(least: Fraction) -> Fraction:
    """The smallest of 1, 2, 5 · 10ⁿ that is no less: steps that a person can count."""
    power = Fraction(10) ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10, 20) if factor * power >= least)


def _shortest(value: Fraction) -> str:
    return next((text for d in range(7) if Fraction(text := decimal_of(value, d)) == value), decimal_of(value, 3))


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
