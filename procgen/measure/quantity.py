"""A figure with its unit: 22 N·m, 5–7 mm, 22 ± 2 N·m, >= 3.5 mm. One value type for all of them.

How the text is taken apart is in grammar.py, how it is printed in typeset.py.
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from procgen.measure.conversion import conversion
from procgen.measure.error import MeasureError
from procgen.measure.grammar import read_figure
from procgen.measure.numeral import read_numeral
from procgen.measure.unit_table import Dimension, Unit, unit
from procgen.measure.units import example_of, known_unit

__all__ = ["MeasureError", "Quantity", "exactly", "parse_quantity"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """What an author wrote as one figure, exactly. Always made by `parse_quantity`, `to` or `exactly`.

    Quantities are equal where their limits, unit and precision are, however they were spelled.
    """

    nominal: Fraction | None
    """The figure to aim at; None for a range or a limit."""
    low: Fraction | None
    """The least that is good. Equal to nominal for a single figure, None where there is no lower limit."""
    high: Fraction | None
    """The most that is good. Equal to nominal for a single figure, None where there is no upper limit."""
    unit: Unit
    resolution: Fraction
    """What one step of the author's last digit is worth, in this unit: 22 → 1, 0.20 → 1/100, 1500 → 10."""
    text: str = field(compare=False)
    """As the author wrote it."""
    numerals: tuple[str, ...] = field(compare=False)
    """The author's own digits: one, or two for a range or a tolerance; () for a quantity that was computed."""

    @property
    def dimension(self) -> Dimension:
        """What it measures."""
        return self.unit.dimension

    @property
    def is_single(self) -> bool:
        """A plain figure with no tolerance: 22 N·m."""
        return self.nominal is not None and self.low == self.high

    @property
    def is_toleranced(self) -> bool:
        """A figure with its tolerance: 22 ± 2 N·m."""
        return self.nominal is not None and self.low != self.high

    @property
    def is_range(self) -> bool:
        """From one figure to another, with none to aim at: 5–7 mm."""
        return self.nominal is None and self.low is not None and self.high is not None

    @property
    def is_limit(self) -> bool:
        """Open at one end: >= 3.5 mm."""
        return self.low is None or self.high is None

    @property
    def middle(self) -> Fraction:
        """One figure that stands for it: the nominal, else half-way, else the only limit there is."""
        if self.nominal is not None:
            return self.nominal
        ends = [end for end in (self.low, self.high) if end is not None]
        return sum(ends, Fraction(0)) / len(ends)

    @property
    def width(self) -> Fraction | None:
        """From the lower limit to the upper, in its unit: 0 for a single figure, None where an end is open."""
        return None if self.low is None or self.high is None else self.high - self.low

    @property
    def decimals(self) -> int:
        """How many digits the author wrote after the point; 0 for whole numbers and vulgar fractions."""
        return max((len(numeral.partition(".")[2]) for numeral in self.numerals), default=0)

    @property
    def significant_figures(self) -> int:
        """How many figures count in the largest number: 22 → 2, 0.20 → 2, 1500 → 3."""
        largest = max(abs(end) for end in (self.nominal, self.low, self.high) if end is not None)
        return len(str(int(largest / self.resolution)))

    def to(self, unit: Unit | str) -> "Quantity":
        """The same quantity in another unit, exactly; rounding is for print. ValueError for another dimension."""
        other = _unit(unit)
        if other is self.unit:
            return self
        turn = conversion(self.unit, other)
        return Quantity(
            nominal=None if self.nominal is None else turn(self.nominal),
            low=None if self.low is None else turn(self.low),
            high=None if self.high is None else turn(self.high),
            unit=other,
            resolution=self.resolution * turn.slope,
            text=self.text,
            numerals=(),
        )

    def middle_in(self, unit: Unit | str) -> float:
        """`middle` as a plain number of another unit, for formulas."""
        return float(self.to(unit).middle)

    def limits_in(self, unit: Unit | str) -> tuple[float | None, float | None]:
        """`low` and `high` as plain numbers of another unit, for formulas."""
        turned = self.to(unit)
        low, high = turned.low, turned.high
        return None if low is None else float(low), None if high is None else float(high)

    def contains(self, value: "Quantity | Fraction | float") -> bool:
        """Whether a value is good: not below `low`, not above `high`.

        value: a plain number in this unit, or a quantity, which must lie inside as a whole.
        """
        if isinstance(value, Quantity):
            other = value.to(self.unit)
            return _reaches(self.low, other.low, below=True) and _reaches(self.high, other.high, below=False)
        exact = value if isinstance(value, Fraction) else Fraction(str(value))  # 0.1 is a tenth, as it was typed
        return (self.low is None or self.low <= exact) and (self.high is None or exact <= self.high)

    def is_below(self, other: "Quantity") -> bool:
        """Whether all of it lies under all of the other."""
        theirs = other.to(self.unit)
        return self.high is not None and theirs.low is not None and self.high < theirs.low

    def is_above(self, other: "Quantity") -> bool:
        """Whether all of it lies over all of the other."""
        return other.is_below(self)

    def same_as(self, other: "Quantity") -> bool:
        """Whether both give the same limits, exactly, in whatever units; False for another dimension."""
        if other.dimension is not self.dimension:
            return False
        theirs = other.to(self.unit)
        return (self.nominal, self.low, self.high) == (theirs.nominal, theirs.low, theirs.high)

    def __str__(self) -> str:
        return self.text


# "22 N·m", "0.20 mm": nearly all that is ever read. Anything else goes through the grammar.
_COMMON = re.compile(r"([0-9]{1,9}(?:\.[0-9]{1,9})?) ?([^0-9\s.,+±–<>=-][^0-9]{0,12})")


def parse_quantity(text: str, *, dimension: Dimension | None = None) -> Quantity:
    """Read a quantity as people write it.

    dimension: what is needed; None takes any.
    Raises MeasureError, whose message says what is wrong and what to write.
    """
    quantity = _read(text, dimension)
    if dimension is not None and quantity.dimension is not dimension:
        raise MeasureError(
            f'"{quantity.text}" is {quantity.dimension.phrase}; {dimension.phrase} is needed here, '
            f'as in "{example_of(dimension)}".{_hint(quantity, dimension)}'
        )
    return quantity


@lru_cache(maxsize=8192)
def _read(text: str, dimension: Dimension | None) -> Quantity:
    if found := _COMMON.fullmatch(text):
        numeral, known = found.groups()
        if symbol := known_unit(known):
            number = read_numeral(numeral)
            value = number.value
            return Quantity(value, value, value, symbol, number.resolution, text, (number.text,))
    figure = read_figure(text, dimension)
    return Quantity(
        nominal=figure.nominal,
        low=figure.low,
        high=figure.high,
        unit=figure.unit,
        resolution=figure.resolution,
        text=text.strip(),
        numerals=figure.numerals,
    )


_FORCE_FOR_TORQUE = {"kg": "kgf·m", "kgf": "kgf·m", "lb": "lbf·ft", "lbf": "lbf·ft", "N": "N·m", "oz": "ozf·in"}


def _hint(quantity: Quantity, needed: Dimension) -> str:
    """What the author probably meant: "16 lb" for a torque leaves the arm out."""
    meant = _FORCE_FOR_TORQUE.get(quantity.unit.symbol) if needed is Dimension.TORQUE else None
    if meant is None:
        return ""
    return f" Did you mean {quantity.text.removesuffix(quantity.unit.symbol).strip()} {meant}?"


def exactly(value: Fraction | float, unit: Unit | str, resolution: Fraction = Fraction(1)) -> Quantity:
    """A quantity that the program worked out: one figure, shown to `resolution` of its unit."""
    exact = value if isinstance(value, Fraction) else Fraction(str(value))
    symbol = _unit(unit)
    return Quantity(exact, exact, exact, symbol, resolution, f"{float(exact):g} {symbol.symbol}", ())


def _unit(given: Unit | str) -> Unit:
    return unit(given) if isinstance(given, str) else given


def _reaches(limit: Fraction | None, end: Fraction | None, *, below: bool) -> bool:
    """Whether a limit leaves room for the end of another band on that side."""
    if limit is None:
        return True
    if end is None:
        return False
    return limit <= end if below else end <= limit
