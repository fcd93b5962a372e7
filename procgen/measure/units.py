"""Finding a unit by any spelling that people write, and saying what to write where none is found."""

import re
import unicodedata
from functools import lru_cache

from procgen.measure.error import MeasureError, either, excerpt, near_names
from procgen.measure.spellings import AMBIGUOUS, AMBIGUOUS_TOO, SPELLINGS, WRITTEN_AS
from procgen.measure.unit_table import UNITS, Dimension, Unit, unit

# What may stand between the parts of a unit: N·m, N.m, N-m, N m, N*m, N×m.
_SEPARATOR = re.compile(r"\s*[·⋅•∙*×.\-‐‑]\s*|\s+")
_LOOK_ALIKES = str.maketrans({"º": "°", "˚": "°", "”": '"', "“": '"', "″": '"', "’": "'", "′": "'", "^": None})


def _key(spelling: str) -> str:
    """The spelling with one kind of separator, one kind of each look-alike, and no full stop at its end."""
    plain = unicodedata.normalize("NFKC", spelling.translate(_LOOK_ALIKES))
    return _SEPARATOR.sub("·", plain.strip(" ."))


def spellings_of(row: Unit) -> tuple[str, ...]:
    """All the ways to write a unit, its symbol first."""
    others = SPELLINGS.get(row.symbol)
    return (row.symbol, *([row.plural] if row.plural else []), *(others.split(", ") if others else []))


_BY_KEY = {_key(spelling): row for row in UNITS for spelling in spellings_of(row)}

# Capitals are forgiven ("PSI", "Lb-Ft") in spellings of three letters or more. Shorter ones mean something else
# too often, and so do MPa and MΩ: mPa and mΩ are a thousand million times less.
_BY_FOLDED_KEY = {
    key.casefold(): row for key, row in _BY_KEY.items() if len(key) >= 3 and row.symbol not in {"MPa", "MΩ", "mΩ"}
}

_REFUSED = {_key(spelling): reason for spelling, reason in AMBIGUOUS.items()}
_REFUSED |= {_key(spelling): AMBIGUOUS[same] for spelling, same in AMBIGUOUS_TOO.items()}


@lru_cache(maxsize=1024)
def known_unit(spelling: str) -> Unit | None:
    """The unit that is spelled so, or None; None too where two units share the spelling."""
    key = _key(spelling)
    if key in _REFUSED:
        return None
    return _BY_KEY.get(key) or _BY_FOLDED_KEY.get(key.casefold())


def find_unit(spelling: str, dimension: Dimension | None = None) -> Unit:
    """The unit that is spelled so.

    dimension: what is needed, for a better message only; a unit of another dimension is returned all the same.
    Raises MeasureError where no unit, or more than one, is spelled so.
    """
    found = known_unit(spelling)
    if found is not None:
        return found
    key = _key(spelling)
    reason = _REFUSED.get(key) or _REFUSED.get(key.casefold())
    if reason is not None:
        raise MeasureError(f"{excerpt(spelling)} {reason}")
    raise MeasureError(f"{excerpt(spelling)} is not a unit known here; {_what_to_write(spelling, dimension)}")


def _what_to_write(spelling: str, dimension: Dimension | None) -> str:
    fitting = [row for row in UNITS if dimension is None or row.dimension is dimension]
    by_key = {_key(word): row.symbol for row in fitting for word in spellings_of(row)}
    near = dict.fromkeys(by_key[name] for name in near_names(_key(spelling), by_key))
    if near:
        return f"did you mean {either(near)}?"
    if dimension is not None:
        return f"{dimension.phrase} is written in {either(usual_units(dimension))}."
    return f"the usual ones are {', '.join(usual_units(each)[0] for each in Dimension)}."


def usual_units(dimension: Dimension) -> tuple[str, ...]:
    """The symbols to offer for a dimension, the usual one first; at most five."""
    return tuple(row.symbol for row in UNITS if row.dimension is dimension)[:5]


def example_of(dimension: Dimension) -> str:
    """A quantity of this dimension as an author should write it."""
    return WRITTEN_AS[dimension]


__all__ = ["Dimension", "Unit", "example_of", "find_unit", "known_unit", "spellings_of", "unit", "usual_units"]
