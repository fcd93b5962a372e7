"""A scale of years, with a row of names at its left: what charts of due work are drawn on. In CSS pixels."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from procgen.manual.drawings.access_map import TextLine
from procgen.manual.drawings.lettering import broken

_SIZE = 13.0
_LEADING = 15.0
_MOST_LINES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Year:
    """A line of the scale: the first of January."""

    x: str
    text: str
    text_x: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Days from the left to the right."""

    first: date
    last: date
    left: float
    """Where the first day is."""
    width: float

    @property
    def per_day(self) -> float:
        """Pixels a day."""
        return self.width / (self.last - self.first).days

    def x(self, day: date) -> float:
        """Where a day is; outside the chart, the end that is nearest."""
        within = min(max(day, self.first), self.last)
        return self.left + (within - self.first).days * self.per_day

    def years(self) -> Iterator[Year]:
        """The lines of the scale."""
        for year in range(self.first.year, self.last.year):
            x = self.x(new_year(year))
            yield Year(x=px(x), text=str(year), text_x=px(x + 5))


def new_year(year: int) -> date:
    """The first of January, of the nearest year that there is."""
    return date(min(max(year, date.min.year), date.max.year), 1, 1)


def names(title: str, middle: float, width: float) -> tuple[TextLine, ...]:
    """A name in front of its row, in no more than two lines. middle: of the row. width: of the column."""
    lines = broken(title, _SIZE, width - 16)
    shown = (
        lines[:_MOST_LINES] if len(lines) <= _MOST_LINES else (*lines[: _MOST_LINES - 1], lines[_MOST_LINES - 1] + " …")
    )
    first = middle - _LEADING * (len(shown) - 1) / 2 + 4.5
    return tuple(TextLine(text=text, x="0", y=px(first + _LEADING * row)) for row, text in enumerate(shown))


def px(value: float) -> str:
    """A length as SVG writes it."""
    return f"{value:.1f}".removesuffix(".0")
