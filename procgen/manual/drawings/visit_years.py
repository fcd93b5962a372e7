"""The visits of some years: a row for each piece of work, an upright line for each visit, and what it does.

A solid dot is work on its day, an open one work that is done early, with a line to the day on which it would have been
due. Below each row, small strokes: when it would be done if nothing were done early. Shapes tell, not colours.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from procgen.manual.drawings.access_map import TextLine
from procgen.manual.drawings.years import Scale, Year, names, new_year, px
from procgen.upkeep.due import Due
from procgen.upkeep.visit_plan import Opening, Visit, VisitPlan, Visits
from procgen.upkeep.visit_words import is_early, short_title

# In CSS pixels.
_NAMES = 224.0
_CHART = 578.0
_HEAD = 34.0
_ROW = 40.0
_RISE = 6.0
"""By how much the dots lie above the middle of a row, and the strokes below it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """Work done at a visit."""

    x: str
    is_early: bool
    until: str
    """Where the day is on which it would have been due."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRow:
    """One piece of work."""

    y: str
    below: str
    """Where the strokes are."""
    names: tuple[TextLine, ...]
    dots: tuple[Dot, ...]
    strokes: tuple[str, ...]
    """Where it would be done if nothing were done early."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLine:
    """One visit, through the rows of its work."""

    x: str
    top: str
    foot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitYears:
    """The drawing. Its text equivalent is the table of visits beside it."""

    title: str
    words: str
    width: str
    height: str
    foot: str
    years: tuple[Year, ...]
    rows: tuple[VisitRow, ...]
    lines: tuple[VisitLine, ...]


def visit_years(opening: Opening, plan: VisitPlan) -> VisitYears:
    """The drawing of one opening."""
    scale = Scale(new_year(plan.machine.on.year), new_year(plan.last.year + 1), _NAMES, _CHART)
    visits = opening.cheapest or opening.when_due
    foot = _HEAD + _ROW * len(opening.work)
    return VisitYears(
        title=f"Visits for {short_title(opening)}, {plan.machine.on.year} to {plan.last.year}",
        words="Every visit and its work stand in the table below.",
        width=px(_NAMES + _CHART + 8),
        height=px(foot + 4),
        foot=px(foot),
        years=tuple(scale.years()),
        rows=tuple(_row(due, place, visits, opening.when_due, scale) for place, due in enumerate(opening.work)),
        lines=tuple(_line(visit, opening, scale) for visit in visits.visits),
    )


def _row(due: Due, place: int, visits: Visits, when_due: Visits, scale: Scale) -> VisitRow:
    middle = _HEAD + _ROW * (place + 0.5)
    return VisitRow(
        y=px(middle - _RISE),
        below=px(middle + _RISE),
        names=names(due.item.title, middle, _NAMES),
        dots=tuple(_dots(due, visits, scale)),
        strokes=tuple(px(scale.x(on)) for on in _days(due, when_due)),
    )


def _dots(due: Due, visits: Visits, scale: Scale) -> Iterator[Dot]:
    for visit in visits.visits:
        for each in visit.work:
            if each.due is due:
                until = scale.x(visit.on + timedelta(days=each.early))
                yield Dot(x=px(scale.x(visit.on)), is_early=is_early(each), until=px(until))


def _days(due: Due, visits: Visits) -> Iterator[date]:
    return (visit.on for visit in visits.visits if any(each.due is due for each in visit.work))


def _line(visit: Visit, opening: Opening, scale: Scale) -> VisitLine:
    places = [place for place, due in enumerate(opening.work) if any(each.due is due for each in visit.work)]
    top, foot = (_HEAD + _ROW * (place + 0.5) - _RISE for place in (min(places), max(places)))
    return VisitLine(x=px(scale.x(visit.on)), top=px(top), foot=px(foot))
