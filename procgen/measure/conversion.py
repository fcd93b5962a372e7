"""From one unit to another, exactly. pint knows the arithmetic of units; this module keeps it from slowing us down.

Importing pint takes about 100 ms and its stock registry as much again, so it is imported when the first conversion is
asked for, its registry holds our own rows only (a few ms), and each pair of units is worked out once.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from procgen.measure.unit_table import UNITS, Unit

# How many of the smaller unit make one of the larger: what "2 h 30 min" and "5 ft 6 in" need, known without pint.
PARTS: dict[tuple[str, str], int] = {
    ("week", "day"): 7,
    ("day", "h"): 24,
    ("h", "min"): 60,
    ("min", "s"): 60,
    ("year", "month"): 12,
    ("ft", "in"): 12,
    ("lb", "oz"): 16,
}


@dataclass(frozen=True, slots=True)
class Conversion:
    """value in the new unit = value × slope + offset. Only temperatures have an offset."""

    slope: Fraction
    offset: Fraction

    def __call__(self, value: Fraction) -> Fraction:
        """The value in the new unit."""
        return value * self.slope + self.offset


@cache
def conversion(unit: Unit, other: Unit) -> Conversion:
    """How a number of `unit` becomes a number of `other`. ValueError where they measure different things."""
    if unit.dimension is not other.dimension:
        raise ValueError(f"{unit.symbol} is {unit.dimension.phrase}, {other.symbol} {other.dimension.phrase}")
    if unit is other:
        return Conversion(Fraction(1), Fraction(0))
    if parts := PARTS.get((unit.symbol, other.symbol)):
        return Conversion(Fraction(parts), Fraction(0))
    if parts := PARTS.get((other.symbol, unit.symbol)):
        return Conversion(Fraction(1, parts), Fraction(0))
    convert = _registry().convert
    offset = Fraction(convert(Fraction(0), unit.name, other.name))
    return Conversion(Fraction(convert(Fraction(1), unit.name, other.name)) - offset, offset)


@cache
def _registry() -> Any:
    """A pint registry with the units of unit_table.py and no others, computing in fractions."""
    from pint import UnitRegistry  # noqa: PLC0415 - slow to import, and most runs convert nothing

    registry: Any = UnitRegistry(None, non_int_type=Fraction, autoconvert_offset_to_baseunit=True)
    for unit in UNITS:
        registry.define(f"{unit.name} = {unit.definition}")
    return registry
