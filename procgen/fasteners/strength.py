"""How strong the steel of a bolt is: ISO 898-1, SAE J429 and ISO 3506-1.

Least values that the standards promise; a nut or the tapped hole may be weaker.
"""

import difflib
import re
from dataclasses import dataclass
from functools import cache

MPA_PER_KSI = 6.894757293168361
_MM_PER_INCH = 25.4


class StrengthError(ValueError):
    """A class or grade that no standard here has, or not in that size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Minimum strengths of one class at one diameter, MPa."""

    name: str
    """8.8, SAE grade 5, A2-70."""
    standard: str
    tensile_mpa: float
    yield_mpa: float
    """ReL, Rp0.2 or Rpf, whichever the standard gives for the class."""
    proof_mpa: float
    """Stress under proof load; for stainless classes, which have none, the yield stress."""
    austenitic: bool = False
    """Stainless: seizes and rubs harder than other steel."""
    note: str | None = None
    """Where the figures are stretched beyond what the standard says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """The figures of a class up to and including one diameter."""

    thru_mm: float
    tensile: float
    yield_: float
    proof: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Class:
    name: str
    standard: str
    rows: tuple[_Row, ...]
    least_mm: float
    ends: bool = False
    """True: not made above the last row. False: the standard merely stops there."""
    austenitic: bool = False


def _iso(name: str, *rows: tuple[float, float, float, float], ends: bool = False) -> _Class:
    return _Class(
        name=name,
        standard="ISO 898-1",
        rows=tuple(_Row(thru_mm=t, tensile=rm, yield_=re_, proof=sp) for t, rm, re_, sp in rows),
        least_mm=1.6,
        ends=ends,
    )


# ISO 898-1:2013 table 3: Rm, ReL / Rpf / Rp0.2, Sp. tests/reference/iso898-1_classes.csv
# names the reproductions it was read from; the size range M1.6-M39 is from memory.
_ISO_898_1 = (
    _iso("4.6", (39, 400, 240, 225)),
    _iso("4.8", (39, 420, 340, 310)),
    _iso("5.6", (39, 500, 300, 280)),
    _iso("5.8", (39, 520, 420, 380)),
    _iso("6.8", (39, 600, 480, 440)),
    _iso("8.8", (16, 800, 640, 580), (39, 830, 660, 600)),
    _iso("9.8", (16, 900, 720, 650), ends=True),
    _iso("10.9", (39, 1040, 940, 830)),
    _iso("12.9", (39, 1220, 1100, 970)),
)


def _sae(grade: str, *rows: tuple[float, float, float, float]) -> _Class:
    """rows: through inches, then tensile, yield and proof in ksi."""
    return _Class(
        name=f"SAE grade {grade}",
        standard="SAE J429",
        rows=tuple(
            _Row(
                thru_mm=inches * _MM_PER_INCH,
                tensile=tensile * MPA_PER_KSI,
                yield_=yield_ * MPA_PER_KSI,
                proof=proof * MPA_PER_KSI,
            )
            for inches, tensile, yield_, proof in rows
        ),
        least_mm=0.25 * _MM_PER_INCH,
    )


# SAE J429: tests/reference/sae_j429.csv; grade 1 read in the J429 table of china-bolts.com.
# Grade 2 above 3/4 in, and any grade 2 bolt longer than 6 in, is no better than grade 1.
_SAE_J429 = (
    _sae("1", (1.5, 60, 36, 33)),
    _sae("2", (0.75, 74, 57, 55), (1.5, 60, 36, 33)),
    _sae("5", (1, 120, 92, 85), (1.5, 105, 81, 74)),
    _sae("8", (1.5, 150, 130, 120)),
)

# ISO 3506-1: Rm and Rp0.2 of 70 and 80 read on kotadiainc.com and brassnutbolt.com (both of
# the 1979 edition, to M20); those of 50, and M24 as the end of 70 and 80 in the 2009
# edition (larger: by agreement), are from memory.
_ISO_3506_1 = tuple(
    _Class(
        name=f"{steel}-{number}",
        standard="ISO 3506-1",
        rows=(_Row(thru_mm=thru, tensile=tensile, yield_=yield_, proof=yield_),),
        least_mm=1.6,
        austenitic=True,
    )
    for steel in ("A1", "A2", "A3", "A4", "A5")
    for number, thru, tensile, yield_ in ((50, 39, 500, 210), (70, 24, 700, 450), (80, 24, 800, 600))
)

_CLASSES = {entry.name: entry for entry in (*_ISO_898_1, *_SAE_J429, *_ISO_3506_1)}


@cache
def strength_of(class_text: str, d_mm: float) -> Strength:
    """The strength of a bolt of that class or grade and diameter.

    Reads 8.8, class 10.9, grade 8, SAE 5, J429 gr. 2, A2-70, A4L-80. Outside the sizes of
    its standard a class keeps the figures of the nearest size, and the note says so.
    Raises StrengthError where the class is unknown, or is not made in that diameter.
    """
    entry = _CLASSES.get(_class_name(class_text))
    if entry is None:
        raise StrengthError(_unknown(class_text))
    row = next((row for row in entry.rows if d_mm <= row.thru_mm + 1e-9), None)
    if row is None and entry.ends:
        raise StrengthError(
            f"class {entry.name} is made up to {entry.rows[-1].thru_mm:g} mm only "
            f"({entry.standard}), and this thread has {d_mm:g} mm."
        )
    row = row or entry.rows[-1]
    return Strength(
        name=entry.name,
        standard=entry.standard,
        tensile_mpa=row.tensile,
        yield_mpa=row.yield_,
        proof_mpa=row.proof,
        austenitic=entry.austenitic,
        note=_stretched(entry, d_mm),
    )


def class_names() -> tuple[str, ...]:
    """Every class and grade that strength_of knows."""
    return tuple(_CLASSES)


def _stretched(entry: _Class, d_mm: float) -> str | None:
    if entry.least_mm - 1e-9 <= d_mm <= entry.rows[-1].thru_mm + 1e-9:
        return None
    return (
        f"{entry.standard} gives {entry.name} from {entry.least_mm:g} to "
        f"{entry.rows[-1].thru_mm:g} mm; the figures of the nearest size are used."
    )


def _class_name(text: str) -> str:
    """The name in the table, or the text itself where it is nothing that we know."""
    words = " ".join(text.split())
    if match := re.fullmatch(r"(?:SAE\s*)?(?:J\s*429\s*)?(?:grade|gr\.?|SAE|J429)[\s-]*(\d)", words, re.IGNORECASE):
        return f"SAE grade {match[1]}"
    if match := re.fullmatch(
        r"(?:ISO\s*898-1\s*)?(?:property\s*)?(?:class|cl\.?|grade|gr\.?)?\s*(\d+[.,]\d)",
        words,
        re.IGNORECASE,
    ):
        return match[1].replace(",", ".")
    if match := re.fullmatch(r"(?:class\s*)?(A[1-5])L?[\s-]*(\d\d)", words, re.IGNORECASE):
        return f"{match[1].upper()}-{match[2]}"
    return words


def _unknown(text: str) -> str:
    words = _class_name(text)
    if words in {"1", "2", "5", "8"}:
        return f'"{words}" alone may be a grade or a nut class: write "grade {words}" (SAE J429).'
    by_key = {name.upper().removeprefix("SAE "): name for name in _CLASSES}
    key = words.upper().removeprefix("SAE ")
    near = difflib.get_close_matches(key, by_key, n=4, cutoff=0.5)
    hint = f" Perhaps {', '.join(by_key[name] for name in near)}?" if near else ""
    return f"{text or 'nothing'}: no property class (8.8), SAE grade (grade 5) or stainless class (A2-70).{hint}"
