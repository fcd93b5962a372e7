"""The due chart of one machine: when each piece of work was done, from when it is due soon, when it is due, and today.

A thin line is the interval, an open box the time in which it is due soon, a solid bar the time for which it is overdue:
they differ in shape, so the chart is the same in black and white. `due.js` moves today, and the bars with it.
"""

from dataclasses import dataclass
from datetime import date

from procgen.manual.drawings.access_map import TextLine
from procgen.manual.drawings.years import Scale, Year, names, new_year, px
from procgen.upkeep.due import Due, MachineDue

_YEARS_BACK, _YEARS_AHEAD = 1, 4
"""Whole years shown before that of the day, and after it."""

# In CSS pixels.
_NAMES = 224.0
_CHART = 486.0
_DAYS = 92.0
_HEAD = 34.0
_ROW = 34.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A stretch of time in a row; nothing is drawn where the width is 0."""

    x: str
    width: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One piece of work."""

    y: str
    """Its middle."""
    top: str
    """Of its bars."""
    names: tuple[TextLine, ...]
    interval: Bar
    soon: Bar
    over: Bar
    due_on: str
    """ISO 8601; empty where nobody knows."""
    is_due_in_view: bool
    is_due_later: bool
    """After the right end of the chart."""
    due_x: str
    """Where its day is, or the end of the chart that is nearest to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTimeline:
    """The drawing. Its text equivalent is the table of due work beside it."""

    title: str
    words: str
    width: str
    height: str
    foot: str
    """Lower end of the scale."""
    days_x: str
    """Where the column of days begins."""
    years: tuple[Year, ...]
    rows: tuple[Row, ...]
    today_x: str
    today: str
    """ISO 8601."""
    left: str
    right: str
    start: str
    """Day at the left end, ISO 8601."""
    per_day: str
    """Pixels a day."""


def due_timeline(machine: MachineDue) -> DueTimeline | None:
    """The chart of one machine; None where nothing on it has a day."""
    if not any(due.due_on for due in machine.work):
        return None
    on = machine.on
    scale = Scale(new_year(on.year - _YEARS_BACK), new_year(on.year + _YEARS_AHEAD + 1), _NAMES, _CHART)
    foot = _HEAD + _ROW * len(machine.work)
    return DueTimeline(
        title=f"What is due on {machine.logbook.name}",
        words=f"From {scale.first.year} to {scale.last.year - 1}; the table has the same in words.",
        width=px(_NAMES + _CHART + _DAYS),
        height=px(foot + 4),
        foot=px(foot),
        days_x=px(_NAMES + _CHART + 12),
        years=tuple(scale.years()),
        rows=tuple(_row(due, place, scale) for place, due in enumerate(machine.work)),
        today_x=px(scale.x(on)),
        today=on.isoformat(),
        left=px(_NAMES),
        right=px(_NAMES + _CHART),
        start=scale.first.isoformat(),
        per_day=f"{scale.per_day:.6f}",
    )


def _row(due: Due, place: int, scale: Scale) -> Row:
    middle = _HEAD + _ROW * (place + 0.5)
    due_on = due.due_on
    since = due.since.on if due.since else None
    soon = min(due.soon_on, due_on) if due.soon_on and due_on else due_on
    return Row(
        y=px(middle),
        top=px(middle - 6),
        names=names(due.item.title, middle, _NAMES),
        interval=_bar(scale, since, soon),
        soon=_bar(scale, soon, due_on),
        over=_bar(scale, due_on, due.on),
        due_on=due_on.isoformat() if due_on else "",
        is_due_in_view=due_on is not None and scale.first <= due_on <= scale.last,
        is_due_later=due_on is not None and due_on > scale.last,
        due_x=px(scale.x(due_on)) if due_on else "",
    )


def _bar(scale: Scale, start: date | None, end: date | None) -> Bar:
    """From one day to another; nothing where one is not known."""
    if start is None or end is None or end <= start:
        return Bar(x=px(_NAMES), width="0")
    return Bar(x=px(scale.x(start)), width=px(scale.x(end) - scale.x(start)))
