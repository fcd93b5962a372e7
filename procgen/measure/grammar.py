"""How a quantity is written: one figure, a range, a tolerance, a limit, or a chain such as 2 h 30 min.

Takes the text apart and finds its numbers and its unit; what it is then used for is not known here. Every pattern
runs in time proportional to the text, and text longer than a quantity can be is refused first.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from procgen.measure.conversion import PARTS
from procgen.measure.error import MeasureError, either, excerpt
from procgen.measure.numeral import NUMERAL, Numeral, numeral_of, read_numeral
from procgen.measure.unit_table import Dimension, System, Unit
from procgen.measure.unit_table import unit as unit_with
from procgen.measure.units import example_of, find_unit, known_unit, usual_units

LONGEST = 100
"""A quantity has at most so many characters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A quantity taken apart; the fields are those of `Quantity`."""

    nominal: Fraction | None = None
    low: Fraction | None
    high: Fraction | None
    unit: Unit
    resolution: Fraction
    numerals: tuple[str, ...]


_U = r"([^\W\d_][^<>=±–]*|[\"'“”″′°º˚%µΩ℃℉#(][^<>=±–]*)"
_MAYBE_U = _U.replace("*", "*?") + "??"
_PLAIN = re.compile(rf"({NUMERAL}) ?{_U}?")
_PAIR = re.compile(
    rf"({NUMERAL}) ?{_MAYBE_U} ?(?:(?P<tolerance>±|\+/-|\+-|-/\+)|–|\.{{2,3}}|\bto\b|-) ?({NUMERAL}) ?{_U}?"
)
_LINK = r"([0-9]+(?:\.[0-9]+)?) ?([^\W\d_]+)"
_CHAIN = re.compile(rf"{_LINK}(?:,? (?:and )?| ?){_LINK}(?:(?:,? (?:and )?| ?){_LINK})?")

_AT_LEAST = ("at least", "not less than", "no less than", "minimum", "min", "from")
_AT_MOST = ("at most", "not more than", "no more than", "maximum", "max", "up to")
_BEFORE = re.compile(rf"(>=|=>|<=|=<|(?:{'|'.join(_AT_LEAST + _AT_MOST)})\b\.?) ?(.*)", re.IGNORECASE)
_BEHIND = re.compile(r"(.*\S) (minimum|maximum|min\.?|max\.?|or more|or less)", re.IGNORECASE)
_LOWER = frozenset({">=", "=>", "or more", *_AT_LEAST})

_PLAIN_CHARACTERS = str.maketrans(
    {"−": "-", "‐": "-", "‑": "-", "‒": "–", "—": "–", "…": "...", "≥": ">=", "≤": "<=", "≧": ">=", "≦": "<=", "⁄": "/"}
    | dict.fromkeys("\u00a0\u2007\u2009\u200a\u202f\t\n\r", " ")
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3"}
    | {"⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "\u200b": None, "\ufeff": None}
)


def read_figure(text: str, dimension: Dimension | None) -> Figure:
    """Take a quantity apart.

    dimension: what is needed, for better messages only.
    Raises MeasureError where the text is not a quantity, or its limits do not make sense.
    """
    figure = _taken_apart(text, dimension)
    for numeral in figure.numerals:
        _fraction_or_range(numeral, figure.unit)
    return figure


def _taken_apart(text: str, dimension: Dimension | None) -> Figure:
    if len(text) > LONGEST:
        raise MeasureError(f"{excerpt(text)} has {len(text)} characters; a quantity has at most {LONGEST}.")
    plain = " ".join(text.translate(_PLAIN_CHARACTERS).split())
    if found := _PAIR.fullmatch(plain):
        return (_tolerance if found["tolerance"] else _range)(found, dimension)
    if (found := _CHAIN.fullmatch(plain)) and known_unit(found[2]) and known_unit(found[4]):
        return _chain(found, plain)
    if found := _BEFORE.fullmatch(plain):
        return _limit(found[1], found[2], dimension)
    if (found := _BEHIND.fullmatch(plain)) and _PLAIN.fullmatch(found[1]):
        return _limit(found[2], found[1], dimension)
    if found := _PLAIN.fullmatch(plain):
        number = read_numeral(found[1])
        unit = _unit(found[2], plain, dimension)
        value = number.value
        resolution = number.resolution
        return Figure(nominal=value, low=value, high=value, unit=unit, resolution=resolution, numerals=(number.text,))
    raise MeasureError(_not_a_quantity(plain, dimension))


# Nobody tightens to a fraction of a newton metre: there, 7/8 is a range. Inches, pints and hours are halved.
_IN_FRACTIONS = frozenset({Dimension.ANGLE, Dimension.VOLUME, Dimension.MASS, Dimension.TIME, Dimension.COUNT})


def _fraction_or_range(numeral: str, unit: Unit) -> None:
    """Refuses 7/8 N·m, which may be seven eighths or 7 to 8; 1 7/8 cannot be taken for a range."""
    if "/" not in numeral or " " in numeral or unit.dimension in _IN_FRACTIONS:
        return
    if unit.dimension is Dimension.LENGTH and unit.system is not System.METRIC:
        return
    decimal = numeral_of(read_numeral(numeral).value)
    parts = numeral.replace("/", "–")
    raise MeasureError(
        f'"{numeral}{unit.behind("")}" may be a fraction or a range; '
        f'write "{parts}{unit.behind("")}" or "{decimal}{unit.behind("")}".'
    )


def _range(found: re.Match[str], dimension: Dimension | None) -> Figure:
    low, high = read_numeral(found[1]), read_numeral(found[4])
    unit = _one_unit(found, dimension)
    if low.value > high.value:
        upright = f"{high.text}–{low.text}{unit.behind('')}"
        raise MeasureError(f'"{found[0]}" runs from the larger figure to the smaller; write "{upright}".')
    if low.value == high.value:
        raise MeasureError(f'"{found[0]}" has the same figure twice; write "{low.text}{unit.behind(low.text)}".')
    return Figure(
        low=low.value, high=high.value, unit=unit, resolution=_finer(low, high), numerals=(low.text, high.text)
    )


def _tolerance(found: re.Match[str], dimension: Dimension | None) -> Figure:
    nominal, tolerance = read_numeral(found[1]), read_numeral(found[4])
    behind = known_unit(found[5]) if found[5] else None
    if behind is not None and behind.dimension is Dimension.RATIO and found[2]:
        unit = find_unit(found[2], dimension)
        share = abs(nominal.value) * tolerance.value / 100
        tolerance = read_numeral(numeral_of(share))
    else:
        unit = _one_unit(found, dimension)
    if tolerance.value <= 0:
        raise MeasureError(f'"{found[0]}" has no tolerance; write "{nominal.text}{unit.behind(nominal.text)}".')
    return Figure(
        nominal=nominal.value,
        low=nominal.value - tolerance.value,
        high=nominal.value + tolerance.value,
        unit=unit,
        resolution=_finer(nominal, tolerance),
        numerals=(nominal.text, tolerance.text),
    )


def _limit(words: str, rest: str, dimension: Dimension | None) -> Figure:
    found = _PLAIN.fullmatch(rest)
    if found is None:
        raise MeasureError(_not_a_quantity(f"{words} {rest}", dimension))
    number = read_numeral(found[1])
    unit = _unit(found[2], rest, dimension)
    is_lower = words.lower().rstrip(".") in _LOWER
    return Figure(
        low=number.value if is_lower else None,
        high=None if is_lower else number.value,
        unit=unit,
        resolution=number.resolution,
        numerals=(number.text,),
    )


def _chain(found: re.Match[str], plain: str) -> Figure:
    """2 h 30 min, 5 ft 6 in: counted in the last unit, and still printed as it was written."""
    parts = [part for part in found.groups() if part is not None]
    numbers = [read_numeral(part) for part in parts[::2]]
    units = [find_unit(part) for part in parts[1::2]]
    total = numbers[0].value
    for (larger, unit), number in zip(pairwise(units), numbers[1:], strict=True):
        ratio = PARTS.get((larger.symbol, unit.symbol))
        if ratio is None:
            raise MeasureError(f'"{plain}" joins {larger.symbol} and {unit.symbol}; write it in one unit.')
        if number.value >= ratio:
            raise MeasureError(f'"{plain}": {number.text} {unit.symbol} is no less than 1 {larger.symbol}.')
        total = total * ratio + number.value
    written = " ".join(f"{number.text}{unit.behind(number.text)}" for number, unit in zip(numbers, units, strict=True))
    numeral = written.removesuffix(units[-1].behind(numbers[-1].text))
    return Figure(
        nominal=total, low=total, high=total, unit=units[-1], resolution=numbers[-1].resolution, numerals=(numeral,)
    )


def _finer(number: Numeral, other: Numeral) -> Fraction:
    return min(number.resolution, other.resolution)


def _one_unit(found: re.Match[str], dimension: Dimension | None) -> Unit:
    """The unit of two figures: behind the second, or behind both and then the same."""
    first = found[2].strip() if found[2] else None
    last = _unit(found[5] or first, found[0], dimension)
    if first and find_unit(first, dimension) is not last:
        raise MeasureError(f'"{found[0]}" has two units, {first} and {last.symbol}; write both figures in one.')
    return last


def _unit(spelling: str | None, text: str, dimension: Dimension | None) -> Unit:
    if spelling:
        _nothing_behind(spelling.strip(), text)
        return find_unit(spelling.strip(), dimension)
    if dimension is None:
        raise MeasureError(f'"{text}" has no unit; write it as in "22 N·m" or "0.20 mm".')
    offers = (f'"{text}{row.behind(text)}"' for row in map(unit_with, usual_units(dimension)[:3]))
    raise MeasureError(f'"{text}" has no unit; {dimension.phrase} is needed here: write {either(offers)}.')


def _nothing_behind(spelling: str, text: str) -> None:
    """Words behind a unit are refused by name: "22 N·m dry" is a quantity and something more."""
    if known_unit(spelling):
        return
    words = spelling.split()
    for count in range(len(words) - 1, 0, -1):
        if known_unit(" ".join(words[:count])):
            more = " ".join(words[count:])
            alone = text.removesuffix(more).strip(" ,;")
            raise MeasureError(f'"{more}" does not belong to a quantity; write "{alone}" alone.')


def _not_a_quantity(text: str, dimension: Dimension | None) -> str:
    if text.startswith((">", "<")) and not text.startswith((">=", "<=")):
        return f'{excerpt(text)}: whether the limit itself is good is not said; write "{text[0]}={text[1:]}".'
    example = "22 N·m" if dimension is None else example_of(dimension)
    return f'{excerpt(text)} is not a quantity; write a number and its unit, as in "{example}".'
