"""Screw threads from their designations, and the dimensions that strength is counted on.

ISO metric and Unified threads only: pipe and Whitworth threads are refused by name.
"""

import difflib
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from procgen.fasteners.thread_tables import METRIC, UNIFIED, MetricPitches, UnifiedPitches

MM_PER_INCH = 25.4

_PITCH_LINE = 0.649519  # d - d2 in pitches: three quarters of the height H = 0.866025 P
_METRIC_ROOT = 1.226869  # d - d3 in pitches: 17/24 H twice, ISO 898-1
_UNIFIED_ROOT = 1.299038  # gives the ASME B1.1 constant 0.9743 below


class ThreadError(ValueError):
    """A designation that names no thread, with what could have been meant."""


class System(StrEnum):
    """Whose thread it is; both have a 60° flank angle."""

    METRIC = "ISO metric"
    UNIFIED = "Unified"


class Series(StrEnum):
    """How fine the pitch is for its diameter."""

    COARSE = "coarse"
    FINE = "fine"
    OTHER = "other"
    """Extra fine, constant-pitch or special."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """One thread, by its nominal dimensions."""

    designation: str
    """Normalised: M8 (coarse), M8x1, 3/8-16 UNC, with " LH" where it is left-handed."""
    system: System
    series: Series
    d_mm: float
    """Nominal (major) diameter."""
    pitch_mm: float
    is_standard: bool
    """On a shelf: in the ISO 262 selection for bolts and nuts, or UNC or UNF."""
    left_hand: bool = False

    @property
    def d2_mm(self) -> float:
        """Pitch diameter, ISO 724 and ASME B1.1."""
        return self.d_mm - _PITCH_LINE * self.pitch_mm

    @property
    def d3_mm(self) -> float:
        """Minor diameter of the bolt that the stress area is counted with."""
        root = _METRIC_ROOT if self.system is System.METRIC else _UNIFIED_ROOT
        return self.d_mm - root * self.pitch_mm

    @property
    def stress_diameter_mm(self) -> float:
        """Diameter of the stress area, (d2 + d3) / 2."""
        return (self.d2_mm + self.d3_mm) / 2

    @property
    def stress_area_mm2(self) -> float:
        """Nominal stress area: π/4 ((d2 + d3)/2)², ISO 898-1:2013 clause 9.1.6.1.

        In ASME B1.1 it is written π/4 (D - 0.9743/n)², the same with the Unified root.
        """
        return math.pi / 4 * self.stress_diameter_mm**2


@cache
def parse_thread(text: str) -> Thread:
    """The thread that a designation names.

    Reads M8, M8x1.25, M10 x 1,25, M18×1.5 LH, 3/8-16 UNC, 3/8-24, 1/4"-20, #10-32,
    1-1/8-12, 3/8 UNF. A trailing tolerance class (6g, 2A) is accepted and dropped.
    Raises ThreadError where nothing is named, or the pitch does not go with the diameter.
    """
    core, left_hand = _without_hand(" ".join(text.split()))
    if match := _METRIC_TEXT.fullmatch(core):
        return _metric(text, match, left_hand)
    if core.isdigit():
        raise ThreadError(f"{text}: a number alone is no thread; write M{core}, or #{core}-32 with its pitch.")
    if match := _UNIFIED_TEXT.fullmatch(core):
        return _unified(text, match, left_hand)
    raise ThreadError(_unreadable(text))


_METRIC_TEXT = re.compile(
    r"M\s*(?P<d>\d+(?:[.,]\d+)?)"
    r"(?:\s*[x×*-]\s*(?P<pitch>\d+(?:[.,]\d+)?)(?:\s*mm)?)?"
    r"(?:\s*[-\s]\s*\d[a-hA-H](?:\d[a-hA-H])?)?",
    re.IGNORECASE,
)
_UNIFIED_TEXT = re.compile(
    r"(?P<number>(?:#|No\.?)\s*)?"
    r"(?P<size>\d+[-\s]\s*\d+/\d+|\d+/\d+|\d*\.\d+|\d+)"
    r"\s*(?:\"|″|in(?:ch)?\b\.?)?"
    r"(?:\s*[-–x×]\s*(?P<tpi>\d+)(?:\s*tpi)?)?"
    r"(?:\s*-?\s*(?P<series>UN(?:C|F|EF|S|RC|RF|R)?|N[CF]))?"
    r"(?:\s*[-\s]\s*[123][AB])?",
    re.IGNORECASE,
)
_FOREIGN = re.compile(r"\b(BSPP?|BSPT|BSW|BSF|BA|NPTF?|NPSM?|G|R[cp]?|W|Tr)\b|^(G|R[cp]?|W|Tr)\s*\d")


def _without_hand(text: str) -> tuple[str, bool]:
    stripped = re.sub(r"(?<![\s-])[\s-]*(LH|left[- ]hand(ed)?)$", "", text, flags=re.IGNORECASE)
    return stripped, stripped != text


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _metric(text: str, match: re.Match[str], left_hand: bool) -> Thread:
    d_mm = _number(match["d"])
    pitches = METRIC.get(d_mm)
    if pitches is None:
        near = sorted(METRIC, key=lambda known: abs(known - d_mm))[:2]
        raise ThreadError(
            f"{text}: there is no metric thread of {d_mm:g} mm; "
            f"the nearest are {_listed([f'M{known:g}' for known in sorted(near)])}."
        )
    pitch_mm = pitches.coarse if match["pitch"] is None else _number(match["pitch"])
    if pitch_mm is None:
        raise ThreadError(f"{text}: M{d_mm:g} has no coarse pitch; it is made as {_metric_choices(d_mm, pitches)}.")
    if pitch_mm not in pitches.all:
        hint = " A length is no part of the thread." if pitch_mm > d_mm / 2 else ""
        raise ThreadError(
            f"{text}: {pitch_mm:g} mm is no pitch of M{d_mm:g}, which has {_metric_choices(d_mm, pitches)}.{hint}"
        )
    return _metric_thread(d_mm, pitch_mm, pitches, left_hand)


def _metric_thread(d_mm: float, pitch_mm: float, pitches: MetricPitches, left_hand: bool = False) -> Thread:
    coarse = pitch_mm == pitches.coarse
    name = f"M{d_mm:g}" if coarse else f"M{d_mm:g}x{pitch_mm:g}"
    return Thread(
        designation=name + (" LH" if left_hand else ""),
        system=System.METRIC,
        series=Series.COARSE if coarse else Series.FINE,
        d_mm=d_mm,
        pitch_mm=float(pitch_mm),
        is_standard=not pitches.third_choice and (coarse or pitch_mm in pitches.common),
        left_hand=left_hand,
    )


def _metric_choices(d_mm: float, pitches: MetricPitches) -> str:
    coarse = [f"M{d_mm:g}x{p:g} (coarse)" for p in pitches.all if p == pitches.coarse]
    fine = [f"M{d_mm:g}x{p:g}" for p in pitches.all if p != pitches.coarse]
    return _listed(coarse + fine)


def _unified(text: str, match: re.Match[str], left_hand: bool) -> Thread:
    tpi = int(match["tpi"]) if match["tpi"] else None
    series = _series_name(match["series"])
    row = _unified_row(match["size"], numbered=match["number"] is not None, tpi=tpi)
    if row is None:
        raise ThreadError(f"{text}: there is no Unified thread of that size.{_perhaps(text)}")
    if tpi is None:
        tpi = {"UNC": row.unc, "UNF": row.unf, "UNEF": row.unef}.get(series or "")
        if tpi is None:
            raise ThreadError(f"{text}: how many threads per inch? {row.name} has {_unified_choices(row)}.")
    real = _series_of(row, tpi)
    if real is None:
        raise ThreadError(
            f"{text}: {row.name} is not made with {tpi} threads per inch; it has {_unified_choices(row)}."
        )
    if series in {"UNC", "UNF", "UNEF"} and series != real:
        raise ThreadError(f"{text}: {row.name}-{tpi} is {real}, not {series}; {row.name} has {_unified_choices(row)}.")
    return _unified_thread(row, tpi, real, left_hand)


def _unified_thread(row: UnifiedPitches, tpi: int, series: str, left_hand: bool = False) -> Thread:
    kinds = {"UNC": Series.COARSE, "UNF": Series.FINE}
    return Thread(
        designation=f"{row.name}-{tpi} {series}" + (" LH" if left_hand else ""),
        system=System.UNIFIED,
        series=kinds.get(series, Series.OTHER),
        d_mm=row.inches * MM_PER_INCH,
        pitch_mm=MM_PER_INCH / tpi,
        is_standard=series in kinds,
        left_hand=left_hand,
    )


def _series_name(text: str | None) -> str | None:
    """The series as it is called today: NC and UNRC are UNC with another root or age."""
    if text is None:
        return None
    old = {"NC": "UNC", "NF": "UNF", "UNRC": "UNC", "UNRF": "UNF"}
    return old.get(text.upper(), text.upper())


def _series_of(row: UnifiedPitches, tpi: int) -> str | None:
    if tpi == row.unc:
        return "UNC"
    if tpi == row.unf:
        return "UNF"
    if tpi == row.unef:
        return "UNEF"
    if tpi not in row.others:
        return None
    return "UN" if tpi in {8, 12, 16, 20, 28, 32} else "UNS"


def _unified_row(size: str, *, numbered: bool, tpi: int | None) -> UnifiedPitches | None:
    if numbered:
        return UNIFIED.get(f"#{size}")
    if "." in size:
        near = (row for row in UNIFIED.values() if abs(row.inches - float(size)) < 0.0006)
        return next(near, None)
    inch = UNIFIED.get(re.sub(r"[-\s]\s*", "-", size))
    # "10-32" is said without its number sign; "1-64" can only be the numbered size too.
    if inch is None or (tpi is not None and _series_of(inch, tpi) is None):
        return UNIFIED.get(f"#{size}") or inch
    return inch


def _unified_choices(row: UnifiedPitches) -> str:
    tpis = (row.unc, row.unf, row.unef)
    return _listed([f"{row.name}-{tpi} {_series_of(row, tpi)}" for tpi in tpis if tpi])


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _unreadable(text: str) -> str:
    if _FOREIGN.search(text):
        return (
            f"{text}: pipe, Whitworth, BA and trapezoidal threads are not reckoned with here; "
            "only ISO metric (M8, M8x1) and Unified (3/8-16 UNC) threads are."
        )
    return f"{text or 'nothing'}: not a thread designation such as M8, M8x1 or 3/8-16 UNC.{_perhaps(text)}"


def _perhaps(text: str) -> str:
    """The nearest designation, said as a sentence, or nothing."""
    squeezed = text.upper().replace(" ", "").replace("×", "X").replace(",", ".")
    known = {thread.designation.upper().replace(" ", ""): thread for thread in all_threads()}
    near = difflib.get_close_matches(squeezed, known, n=2, cutoff=0.6)
    return f" Perhaps {' or '.join(known[name].designation for name in near)}?" if near else ""


def all_threads() -> Iterator[Thread]:
    """Every thread that parse_thread knows, metric first, by diameter, right-handed."""
    for d_mm, pitches in METRIC.items():
        for pitch_mm in pitches.all:
            yield _metric_thread(d_mm, pitch_mm, pitches)
    for row in UNIFIED.values():
        for tpi in (row.unc, row.unf, row.unef, *row.others):
            if tpi is not None:
                yield _unified_thread(row, tpi, _series_of(row, tpi) or "UNS")
