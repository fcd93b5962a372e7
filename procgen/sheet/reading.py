"""One reading as somebody types it into a box: a figure in the unit that is printed there, or in the other one.

Less is read than an author may write, on purpose: the page judges in the browser as this module does, and two readers
of one notation must be simple enough to agree. A test holds them against each other.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from procgen.library.catalogue import Units
from procgen.measure.numeral import GROUP
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.measure.typeset import in_system, show
from procgen.measure.unit_table import System, Unit

_TYPED = re.compile(r"([-+−]?)([0-9]{1,9})(?:[.,]([0-9]{1,9}))?(.*)", re.DOTALL)
_SPACES = f" \t\n\r\u00a0\u2009{GROUP}"


class ReadingError(ValueError):
    """What was typed is no reading; the message says to a person what to type."""


@dataclass(frozen=True, slots=True)
class Scale:
    """What a box is read in: its limits, and the units in which a figure may be given."""

    limits: Quantity
    units: tuple[Unit, ...]
    """The first is meant where none is typed."""

    def limits_in(self, unit: Unit) -> tuple[Fraction | None, Fraction | None]:
        """The least and the most that are good, exactly; None where there is no such limit."""
        turned = self.limits.to(unit)
        return turned.low, turned.high

    @property
    def words(self) -> str:
        """The limits for print, in the unit in which the author gave them."""
        return show(self.limits)


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure that was read."""

    value: Fraction
    numeral: str
    """With a point, as it goes into a logbook."""
    unit: Unit
    is_good: bool
    """Inside its limits."""

    @property
    def quantity(self) -> Quantity:
        """As a logbook has it."""
        return parse_quantity(f"{self.numeral} {self.unit.symbol}")


def scale_of(limits: Quantity, units: Units) -> Scale:
    """The scale of a box whose limits are printed in these units."""
    systems = [System(name) for name in (units.first, units.second) if name != System.NONE]
    shown = [in_system(limits, system).unit for system in systems]
    return Scale(limits, tuple(dict.fromkeys(shown)) or (limits.unit,))


def read_typed(typed: str, scale: Scale) -> Reading:
    """What somebody typed. Raises ReadingError."""
    found = _TYPED.fullmatch(typed.strip(_SPACES))
    unit = _unit(found[4].strip(_SPACES), scale) if found else None
    if found is None or unit is None:
        also = "".join(f", or in {other.symbol} with the unit behind it" for other in scale.units[1:])
        raise ReadingError(f'"{typed}" is no figure; type it in {scale.units[0].symbol}{also}')
    sign, whole, decimals, _ = found.groups()
    if decimals and len(decimals) == 3 and "," in typed and len(whole) <= 3 and whole.strip("0"):
        raise ReadingError(f'"{typed}" can be read as {whole}{decimals} or as {whole}.{decimals}; type a point')
    numeral = ("-" if sign in ("-", "−") else "") + whole + (f".{decimals}" if decimals else "")
    value = Fraction(numeral)
    low, high = scale.limits_in(unit)
    is_good = (low is None or low <= value) and (high is None or value <= high)
    return Reading(value, numeral, unit, is_good)


def _unit(typed: str, scale: Scale) -> Unit | None:
    if not typed:
        return scale.units[0]
    return next((unit for unit in scale.units if typed == unit.symbol), None)
