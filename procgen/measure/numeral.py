"""A number as people write it, read exactly, with the precision that its writer meant; and written back."""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from procgen.measure.error import MeasureError

NUMERAL = (
    r"(?>[-+]?(?:"
    r"[1-9][0-9]*[ -][0-9]+/[0-9]+"  # 1 1/2, and 1-1/2 as inches are often written
    r"|[0-9]+/[0-9]+"
    r"|[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?(?![0-9/])"  # 1 500
    r"|[0-9]+(?:[.,][0-9]+)*"
    r"|\.[0-9]+"
    r"))"
)
"""Matches what `read_numeral` reads, in text whose spaces and minus signs are plain ASCII. Atomic: it takes all or
nothing, so that 1-1/2 stays one number where a range is looked for."""

GROUP = "\u202f"
"""The narrow no-break space between thousands, ISO 80000-1."""

_VULGAR = re.compile(r"([-+]?)(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)")
_DENOMINATORS = frozenset({1, 2, 3, 4, 6, 8, 16, 32, 64})  # 20/24 is a range in some books, and no fraction
_FINEST_RULE = 64  # a vulgar fraction is read to 1/64, the finest line on a workshop rule
_SIGNIFICANT_ZEROS = 3  # 250 and 100 are meant to the unit; in 1500 and 10 000 zeros past the third digit fill up


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number as it was written."""

    value: Fraction
    resolution: Fraction
    """What one step of the last digit that counts is worth: 22 → 1, 0.20 → 1/100, 1500 → 10, 3/8 → 1/64."""
    text: str
    """As written, with a plain point for the decimal comma and no spaces between thousands."""


@lru_cache(maxsize=2048)
def read_numeral(text: str) -> Numeral:
    """Read a match of NUMERAL. Raises MeasureError for a division by zero or a comma that can be read in two ways."""
    if "/" in text:
        return _vulgar(text)
    plain = _point_for_comma(text.replace(" ", "")).removeprefix("+")
    whole, _, decimals = plain.partition(".")
    if decimals:
        tenths: int = 10 ** len(decimals)
        return Numeral(Fraction(int(whole + decimals), tenths), Fraction(1, tenths), _with_leading_zero(plain))
    return Numeral(Fraction(int(whole)), Fraction(_last_digit_that_counts(whole.lstrip("-"))), plain)


def _vulgar(text: str) -> Numeral:
    found = _VULGAR.fullmatch(text)
    if found is None or int(found[4]) == 0:
        raise MeasureError(f'"{text}" divides by zero.')
    sign, whole, numerator, denominator = found.groups()
    if whole and int(numerator) >= int(denominator):
        raise MeasureError(f'"{text}" is not a mixed number: {numerator}/{denominator} is no less than 1.')
    part = Fraction(int(numerator), int(denominator))
    if part.denominator != int(denominator) or part.denominator not in _DENOMINATORS:
        raise MeasureError(
            f'"{text}" is no fraction of the workshop (halves to 64ths, thirds, sixths); '
            f"write {numerator}–{denominator} for a range, or a decimal number."
        )
    value = int(whole or 0) + part
    written = f"{whole} {numerator}/{denominator}" if whole else f"{numerator}/{denominator}"
    minus = "-" if sign == "-" else ""
    resolution = Fraction(1, _FINEST_RULE)
    return Numeral(-value if minus else value, resolution, minus + written)


def _point_for_comma(text: str) -> str:
    """Decimal commas made points, thousands marks taken out. One comma before three digits could be either."""
    commas, points = text.count(","), text.count(".")
    if not commas:
        if points > 1:
            raise MeasureError(f'"{text}" has more than one decimal point.')
        return text
    if not points:
        return _single_comma(text) if commas == 1 else _without_thousands(text, ",")
    mark, decimal = (",", ".") if text.rfind(".") > text.rfind(",") else (".", ",")
    whole, _, decimals = text.rpartition(decimal)  # of two different marks the last is the decimal one
    if decimal in whole:
        raise MeasureError(f'"{text}" mixes commas and points in a way that cannot be read; write 1234.5.')
    return f"{_without_thousands(whole, mark)}.{decimals}"


def _single_comma(text: str) -> str:
    whole, _, decimals = text.partition(",")
    digits = whole.lstrip("+-")
    if len(decimals) == 3 and len(digits) <= 3 and digits.strip("0"):
        raise MeasureError(
            f'"{text}" can be read as {whole}{decimals} or as {whole}.{decimals}; '
            f"write {whole}{decimals} or {whole}.{decimals}."
        )
    return f"{whole}.{decimals}"


def _without_thousands(text: str, mark: str) -> str:
    first, *groups = text.split(mark)
    if not all(len(group) == 3 for group in groups) or not 1 <= len(first.lstrip("+-")) <= 3:
        raise MeasureError(f'"{text}" is not grouped in thousands; write it without "{mark}".')
    return first + "".join(groups)


def _with_leading_zero(text: str) -> str:
    return text.replace(".", "0.", 1) if text.startswith((".", "-.")) else text


def _last_digit_that_counts(digits: str) -> int:
    significant = max(len(digits.rstrip("0")), min(len(digits), _SIGNIFICANT_ZEROS))
    last: int = 10 ** (len(digits) - significant)
    return last


def numeral_of(value: Fraction) -> str:
    """A value written exactly: as a decimal where it ends, else as a vulgar fraction."""
    for decimals in range(13):
        if (value * 10**decimals).denominator == 1:
            return decimal_of(value, decimals)
    whole, rest = divmod(abs(value), 1)
    minus = "-" if value < 0 else ""
    return f"{minus}{whole} {rest}" if whole else f"{minus}{rest}"


def decimal_of(value: Fraction, decimals: int) -> str:
    """A value rounded to so many decimals, halves away from zero; a negative number rounds to 10s, 100s ..."""
    scale = Fraction(10) ** decimals
    steps = int(abs(value) * scale + Fraction(1, 2))
    minus = "-" if value < 0 and steps else ""
    if decimals <= 0:
        return f"{minus}{steps * 10**-decimals}"
    digits = f"{steps:0{decimals + 1}}"
    return f"{minus}{digits[:-decimals]}.{digits[-decimals:]}"


def typeset(numeral: str) -> str:
    """A numeral for print and screen: a true minus sign, and thousands set apart."""
    whole, point, decimals = numeral.partition(".")
    if len(whole) > 3 and whole.lstrip("-").isdigit():
        whole = f"{int(whole):,}".replace(",", GROUP)
    return (whole + point + decimals).replace("-", "−")
