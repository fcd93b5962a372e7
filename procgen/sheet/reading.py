"""One reading as somebody types it into a box: a figure in the unit that is printed there, or in the other one.

Less is read than an author may write, on purpose: the page judges in the browser as this module does, and two readers
of one notation must be simple enough to agree. A test holds them against each other.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from procgen.library.catalogue import Units
from procgen.measure.numeral import GROUP
from procgen.measure.quantity import Quantity, exactly, parse_quantity
from procgen.measure.typeset import in_system, show
from procgen.measure.unit_table import System, Unit

_TYPED = re.compile(r"([-+−]?)([0-9]{1,9})(?:[.,]([0-9]{1,9}))?(.*)", re.DOTALL)
_VULGAR = re.compile(
    rf"([-+−]?)(?:([1-9][0-9]{{0,3}})[ \t\n\r\u00a0\u2009{GROUP}]+)?([0-9]{{1,4}})/([0-9]{{1,2}})(.*)", re.DOTALL
)
_DENOMINATORS = frozenset({2, 3, 4, 6, 8, 16, 32, 64})  # those of an inch rule, as the authors' own grammar has them
_SPACES = f" \t\n\r\u00a0\u2009{GROUP}"


class ReadingError(ValueError):
    """What was typed is no reading; the message says to a person what to type."""


@dataclass(frozen=True, slots=True)
class Scale:
    """What a box is read in: its limits, and the units in which a figure may be given."""

    limits: Quantity | None
    """None where every figure is good."""
    units: tuple[Unit, ...]
    """The first is meant where none is typed."""

    def limits_in(self, unit: Unit) -> tuple[Fraction | None, Fraction | None]:
        """The least and the most that are good, exactly; None where there is no such limit."""
        if self.limits is None:
            return None, None
        turned = self.limits.to(unit)
        return turned.low, turned.high

    @property
    def words(self) -> str:
        """The limits for print, in the unit in which the author gave them; empty where there are none."""
        return show(self.limits) if self.limits else ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure that was read."""

    value: Fraction
    numeral: str
    """With a point, or as a fraction of an inch, as it goes into a logbook."""
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


def open_scale(unit: Unit, units: Units) -> Scale:
    """The scale of a box that is read in a unit, and has no limits. units: those of the manual."""
    one = exactly(Fraction(1), unit, Fraction(1))
    systems = [System(name) for name in (units.first, units.second) if name != System.NONE]
    return Scale(None, tuple(dict.fromkeys((unit, *(in_system(one, system).unit for system in systems)))))


def read_typed(typed: str, scale: Scale) -> Reading:
    """What somebody typed: a decimal figure, or in inches a fraction as on a rule, 1 3/8. Raises ReadingError."""
    found = _VULGAR.fullmatch(typed.strip(_SPACES))
    return _judged(*_fraction(typed, found, scale), scale) if found else _judged(*_decimal(typed, scale), scale)


def _judged(numeral: str, value: Fraction, unit: Unit, scale: Scale) -> Reading:
    low, high = scale.limits_in(unit)
    is_good = (low is None or low <= value) and (high is None or value <= high)
    return Reading(value, numeral, unit, is_good)


def _fraction(typed: str, found: re.Match[str], scale: Scale) -> tuple[str, Fraction, Unit]:
    sign, whole, above, below, behind = found.groups()
    unit = _unit(behind.strip(_SPACES), scale)
    if unit is None or unit.symbol != "in":
        raise ReadingError(
            f'"{typed}" is a fraction, and only inches are read in fractions; type a figure with a point'
        )
    if int(below) not in _DENOMINATORS or not int(above) or (whole and int(above) >= int(below)):
        raise ReadingError(f'"{typed}" is no fraction of an inch rule; type it as 1 3/8 in, or with a point')
    minus = "-" if sign in ("-", "−") else ""
    numeral = f"{minus}{f'{whole} ' if whole else ''}{int(above)}/{int(below)}"
    value = int(whole or 0) + Fraction(int(above), int(below))
    return numeral, -value if minus else value, unit


def _decimal(typed: str, scale: Scale) -> tuple[str, Fraction, Unit]:
    found = _TYPED.fullmatch(typed.strip(_SPACES))
    unit = _unit(found[4].strip(_SPACES), scale) if found else None
    if found is None or unit is None:
        also = "".join(f", or in {other.symbol} with the unit behind it" for other in scale.units[1:])
        raise ReadingError(f'"{typed}" is no figure; type it in {scale.units[0].symbol}{also}')
    sign, whole, decimals, _ = found.groups()
    if decimals and len(decimals) == 3 and "," in typed and len(whole) <= 3 and whole.strip("0"):
        raise ReadingError(f'"{typed}" can be read as {whole}{decimals} or as {whole}.{decimals}; type a point')
    numeral = ("-" if sign in ("-", "−") else "") + whole + (f".{decimals}" if decimals else "")
    return numeral, Fraction(numeral), unit


def _unit(typed: str, scale: Scale) -> Unit | None:
    if not typed:
        return scale.units[0]
    return next((unit for unit in scale.units if typed == unit.symbol), None)
