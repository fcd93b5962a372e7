"""A calculator at the bench: what a bolt takes, one torque in every unit, what to set behind an adapter.

The page brings the program's tables as data, and its script the same formulas; tests hold the two together. Without
a script it still shows the band of the usual bolts.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from markupsafe import Markup

from procgen.fasteners.bearing import bearing_under
from procgen.fasteners.friction import ThreadCondition, friction_range
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.misreading import TorqueUnit
from procgen.fasteners.strength import StrengthError, class_names, strength_of
from procgen.fasteners.threads import System, Thread, all_threads, parse_thread
from procgen.fasteners.tightening import LOW_SHARE, TORSION_PLASTIC, UTILISATION, tightening_band
from procgen.manual import paths
from procgen.manual.book import Book
from procgen.manual.measures import Measured, Measures
from procgen.manual.page import Page
from procgen.measure.quantity import exactly

TITLE = "Torque calculator"
_USUAL_THREADS = ("M5", "M6", "M8", "M10", "M12", "M14", "M16")
_USUAL_CLASSES = ("8.8", "10.9")
_USUAL_CONDITIONS = (ThreadCondition.DRY, ThreadCondition.OILED)


@dataclass(frozen=True, slots=True)
class Choices:
    """Some of the options of a list, under a heading."""

    label: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UsualRow:
    """One thread, and its band for each class and condition of the table's head."""

    thread: str
    bands: tuple[Measured, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CalculatorView:
    """All that the template shows."""

    title: str
    threads: tuple[Choices, ...]
    classes: tuple[Choices, ...]
    conditions: tuple[str, ...]
    heads: tuple[str, ...]
    units: tuple[str, ...]
    usual_heads: tuple[str, ...]
    usual: tuple[UsualRow, ...]
    data: Markup
    """JSON for the script."""


def pages(book: Book) -> Iterator[Page]:
    """The one page."""
    leaf = book.leaf(paths.CALCULATOR)
    scripts = ("theme/scripts/torque-calculator.js",)
    made_from = book.account.of_ground()
    yield leaf.page(
        "torque-calculator.html", lambda: _view(book.measures), title=TITLE, scripts=scripts, made_from=made_from
    )


def _view(measures: Measures) -> CalculatorView:
    threads = tuple(all_threads())
    return CalculatorView(
        title=TITLE,
        threads=(
            Choices("Metric", tuple(thread.designation for thread in threads if thread.system is System.METRIC)),
            Choices("Unified", tuple(thread.designation for thread in threads if thread.system is System.UNIFIED)),
        ),
        classes=(
            Choices("Steel, ISO 898-1", tuple(name for name in class_names() if name[0].isdigit())),
            Choices("Steel, SAE J429", tuple(name for name in class_names() if name.startswith("SAE"))),
            Choices("Stainless, ISO 3506-1", tuple(name for name in class_names() if name[0] == "A")),
        ),
        conditions=tuple(ThreadCondition),
        heads=tuple(Head),
        units=tuple(TorqueUnit),
        usual_heads=tuple(f"{grade}, {condition}" for grade in _USUAL_CLASSES for condition in _USUAL_CONDITIONS),
        usual=tuple(UsualRow(name, tuple(_usual_bands(name, measures))) for name in _USUAL_THREADS),
        data=Markup(as_json(tables())),  # noqa: S704 - as_json lets no text end the element
    )


def _usual_bands(name: str, measures: Measures) -> Iterator[Measured]:
    for grade in _USUAL_CLASSES:
        for condition in _USUAL_CONDITIONS:
            band = tightening_band(parse_thread(name), grade, condition)
            places = 0 if band.low_nm >= 10 else 1
            low, high = (
                exactly(round(end, places), "N·m", Fraction(1, 10**places)) for end in (band.low_nm, band.high_nm)
            )
            yield measures.view(replace(high, nominal=None, low=low.low))


def tables() -> dict[str, object]:
    """What the script reckons with: the program's own tables, in mm and MPa."""
    threads = tuple(all_threads())
    return {
        "threads": {thread.designation: _thread(thread) for thread in threads},
        "heads": list(Head),
        "yields": {name: _yields(name, threads) for name in class_names()},
        "austenitic": [name for name in class_names() if strength_of(name, 8).austenitic],
        "friction": {condition: _friction(condition, austenitic=False) for condition in ThreadCondition},
        "frictionAustenitic": {condition: _friction(condition, austenitic=True) for condition in ThreadCondition},
        "nm": {unit: unit.nm for unit in TorqueUnit},
        "utilisation": UTILISATION,
        "torsion": TORSION_PLASTIC,
        "lowShare": LOW_SHARE,
    }


def _thread(thread: Thread) -> list[float | list[float]]:
    """Diameter, pitch, and for each head the mean diameter that the friction under it works at."""
    return [
        thread.d_mm,
        thread.pitch_mm,
        round(thread.d2_mm, 9),
        round(thread.stress_diameter_mm, 9),
        [round(bearing_under(thread, head).friction_diameter_mm, 9) for head in Head],
    ]


def _yields(name: str, threads: tuple[Thread, ...]) -> list[list[float]]:
    """Pairs of a diameter and the yield stress up to it; beyond the last one the class is not made."""
    steps: list[list[float]] = []
    for d_mm in sorted({thread.d_mm for thread in threads}):
        try:
            yield_mpa = strength_of(name, d_mm).yield_mpa
        except StrengthError:
            break
        if steps and steps[-1][1] == yield_mpa:
            steps[-1][0] = d_mm
        else:
            steps.append([d_mm, yield_mpa])
    return steps


def _friction(condition: ThreadCondition, *, austenitic: bool) -> list[float]:
    found = friction_range(condition, austenitic=austenitic)
    return [found.low, found.high]


def as_json(value: object) -> str:
    """JSON that may stand inside a script element."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
