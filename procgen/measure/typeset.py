"""Quantities as they are printed: the author's own digits in the author's unit, and a rounded figure in the other.

The rounding law. The author's last digit is worth one step; converted, the step is worth r.

1. The last printed digit is a power of ten, the largest that is no more than five times r: it says about as much as
   the author's last digit did (22 N·m → 16 lbf·ft, 0.20 mm → 0.008 in, 7.5 L → 2.0 US gal).
2. Another digit is printed, up to three, while rounding moves a figure by more than r, so that print is never further
   off than one of the author's own steps, or by more than 2 % of itself (5 mm → 0.20 in, 7 mm → 0.28 in): half of
   what a good torque wrench may be out (ISO 6789: 4 %). Temperatures have no 2 %, their zero being arbitrary.
3. Likewise while rounding moves an end of a range or a tolerance by more than an eighth of its width
   (22 ± 2 N·m → 16.2 ± 1.5 lbf·ft). ISO 370 rounds toleranced sizes by their tolerance too.
4. All figures of one quantity are printed to the same digit.
"""

import math
from fractions import Fraction
from functools import lru_cache

from procgen.measure.numeral import decimal_of, typeset
from procgen.measure.quantity import Quantity
from procgen.measure.unit_table import Dimension, System, Unit, unit

_COARSEST = 5
_LARGEST_MOVE = Fraction(2, 100)
_LARGEST_SHARE_OF_WIDTH = Fraction(1, 8)
_MOST_MORE_DIGITS = 3  # enough for any figure that is at least one of the author's steps: 5/1000 is under 2 % of 1


def show(quantity: Quantity) -> str:
    """The quantity in its own unit: digits as the author wrote them, or rounded where it was computed."""
    numerals = tuple(map(typeset, quantity.numerals or _rounded(quantity)))
    behind = quantity.unit.behind(numerals[-1])
    if quantity.is_limit:
        return f"{'≥' if quantity.high is None else '≤'} {numerals[0]}{behind}"
    if len(numerals) == 1:
        return f"{numerals[0]}{behind}"
    if quantity.is_toleranced:
        return f"{numerals[0]} ± {numerals[1]}{behind}"
    between = " to " if any("−" in numeral for numeral in numerals) else "–"
    return f"{between.join(numerals)}{behind}"


def render(quantity: Quantity, first: System = System.METRIC, second: System = System.IMPERIAL) -> tuple[str, ...]:
    """The quantity in the manual's order of units.

    The author's own unit is kept where it belongs to the system asked for. One text where both systems share the
    unit, or `second` is none; else two.
    """
    return _render(quantity, quantity.numerals, first, second)


# A manual shows the same few hundred figures on thousands of pages. Quantities are equal however they are spelled, and
# are printed as they are spelled: so the spelling is asked for beside the quantity.
@lru_cache(maxsize=4096)
def _render(quantity: Quantity, _spelled: tuple[str, ...], first: System, second: System) -> tuple[str, ...]:
    own = quantity.unit.system
    if own is System.NONE:
        return (show(quantity),)
    systems = dict.fromkeys(system for system in (first, second) if system is not System.NONE)
    return tuple(show(in_system(quantity, system)) for system in systems)


def in_system(quantity: Quantity, system: System) -> Quantity:
    """The quantity in the usual unit of a system; itself where its unit belongs there."""
    if quantity.unit.system in {system, System.NONE}:
        return quantity
    return quantity.to(_counterpart(quantity))


# Where a small or a large amount is read on another scale than the usual one: (own unit, other unit, from, below),
# the amounts in the own unit. Common practice, no source.
_BY_SIZE: tuple[tuple[str, str, int, int], ...] = (
    ("N·m", "lbf·in", 0, 10),
    ("L", "US fl oz", 0, 1),
    ("L", "US gal", 20, 10**9),
    ("lbf·in", "N·m", 0, 10**9),
)


def _counterpart(quantity: Quantity) -> Unit:
    size = abs(quantity.middle)
    for own, other, least, below in _BY_SIZE:
        if own == quantity.unit.symbol and least <= size < below:
            return unit(other)
    return unit(quantity.unit.other)


def _rounded(quantity: Quantity) -> tuple[str, ...]:
    """The figures of a computed quantity by the rounding law above: nominal and tolerance, or the ends."""
    exact = _figures(quantity)
    coarsest = _decimals(quantity.resolution * _COARSEST)
    for decimals in range(coarsest, coarsest + _MOST_MORE_DIGITS + 1):
        numerals = tuple(decimal_of(figure, decimals) for figure in exact)
        if _keeps(quantity, exact, tuple(map(Fraction, numerals))):
            break
    return numerals


def _figures(quantity: Quantity) -> tuple[Fraction, ...]:
    nominal, low, high = quantity.nominal, quantity.low, quantity.high
    if nominal is None:
        return tuple(end for end in (low, high) if end is not None)
    if high is None or quantity.is_single:
        return (nominal,)
    return nominal, high - nominal


def _decimals(largest: Fraction) -> int:
    """How many decimals the largest power of ten has that is no more than this; tens and hundreds have −1, −2."""
    decimals = math.ceil(-math.log10(largest))
    while Fraction(10) ** -decimals > largest:  # the logarithm is a float
        decimals += 1
    return decimals


def _keeps(quantity: Quantity, exact: tuple[Fraction, ...], rounded: tuple[Fraction, ...]) -> bool:
    """Whether rounding moves neither the figures nor the ends further than rules 2 and 3 allow."""
    moves = tuple(abs(new - old) for old, new in zip(exact, rounded, strict=True))
    if max(moves) > quantity.resolution:
        return False
    if quantity.width:
        # The ends of a tolerance move by what its nominal and its tolerance move together.
        furthest = sum(moves, Fraction(0)) if quantity.is_toleranced else max(moves)
        if furthest > quantity.width * _LARGEST_SHARE_OF_WIDTH:
            return False
    if quantity.dimension is Dimension.TEMPERATURE:
        return True
    of_itself = zip(exact, moves, strict=True) if quantity.is_range else [(exact[0], moves[0])]
    return all(move <= abs(figure) * _LARGEST_MOVE for figure, move in of_itself)
