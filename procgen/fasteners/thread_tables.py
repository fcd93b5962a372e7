"""Which pitches each thread diameter has, metric and Unified. Data only; threads.py reads it.

Sources. Metric: ISO 261 pitches M3-M39 as carried by the open parts library BOLTS (see
tests/reference/threads.csv); the ISO 262 selection, the third-choice diameters and all
sizes below M3 and above M39 are from memory. Unified: ASME B1.1, read in charts of UNC,
UNF and UNEF (threads.csv; liquisearch.com, "Unified Thread Standard - Designation" for
the numbered sizes and UNEF); UNEF above 1 in and the UN/UNS extras are from memory.
"""

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True, kw_only=True)
class MetricPitches:
    """The pitches in mm that one metric diameter has."""

    coarse: float | None
    """None: a third-choice diameter that is only made fine."""
    common: tuple[float, ...] = ()
    """Fine pitches in the ISO 262 selection for bolts and nuts."""
    uncommon: tuple[float, ...] = ()
    """Fine pitches of ISO 261 that ISO 262 leaves out: legal, seldom on a shelf."""
    third_choice: bool = False
    """A diameter that ISO 261 lists last, for nuts of bearings, plugs and sensors."""

    @property
    def all(self) -> tuple[float, ...]:
        """Every pitch, coarse first, then from coarse to fine."""
        coarse = () if self.coarse is None else (self.coarse,)
        return coarse + tuple(sorted(self.common + self.uncommon, reverse=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class UnifiedPitches:
    """The threads per inch that one Unified diameter has."""

    name: str
    """As written before the dash: 3/8, #10, 1-1/8."""
    inches: float
    unc: int | None = None
    unf: int | None = None
    unef: int | None = None
    others: tuple[int, ...] = ()
    """Constant-pitch UN and special UNS threads: legal, seldom on a shelf."""


def _m(coarse: float | None, common: tuple[float, ...] = (), uncommon: tuple[float, ...] = ()) -> MetricPitches:
    return MetricPitches(coarse=coarse, common=common, uncommon=uncommon)


def _third(coarse: float | None, *fine: float) -> MetricPitches:
    return MetricPitches(coarse=coarse, uncommon=fine, third_choice=True)


METRIC = MappingProxyType(
    {
        1.6: _m(0.35, (), (0.2,)),
        2.0: _m(0.4, (), (0.25,)),
        2.5: _m(0.45, (), (0.35,)),
        3.0: _m(0.5, (), (0.35,)),
        3.5: _m(0.6, (), (0.35,)),
        4.0: _m(0.7, (), (0.5,)),
        5.0: _m(0.8, (), (0.5,)),
        6.0: _m(1, (), (0.75,)),
        7.0: _m(1, (), (0.75,)),
        8.0: _m(1.25, (1,), (0.75,)),
        9.0: _third(1.25, 1, 0.75),
        10.0: _m(1.5, (1.25, 1), (0.75,)),
        11.0: _third(1.5, 1, 0.75),
        12.0: _m(1.75, (1.5, 1.25), (1,)),
        14.0: _m(2, (1.5,), (1.25, 1)),
        15.0: _third(None, 1.5, 1),
        16.0: _m(2, (1.5,), (1,)),
        17.0: _third(None, 1.5, 1),
        18.0: _m(2.5, (2, 1.5), (1,)),
        20.0: _m(2.5, (2, 1.5), (1,)),
        22.0: _m(2.5, (2, 1.5), (1,)),
        24.0: _m(3, (2,), (1.5, 1)),
        25.0: _third(None, 2, 1.5, 1),
        26.0: _third(None, 1.5),
        27.0: _m(3, (2,), (1.5, 1)),
        28.0: _third(None, 2, 1.5, 1),
        30.0: _m(3.5, (2,), (3, 1.5, 1)),
        32.0: _third(None, 2, 1.5),
        33.0: _m(3.5, (2,), (3, 1.5)),
        35.0: _third(None, 1.5),
        36.0: _m(4, (3,), (2, 1.5)),
        38.0: _third(None, 1.5),
        39.0: _m(4, (3,), (2, 1.5)),
        40.0: _third(None, 3, 2, 1.5),
        42.0: _m(4.5, (3,), (4, 2, 1.5)),
        45.0: _m(4.5, (3,), (4, 2, 1.5)),
        48.0: _m(5, (3,), (4, 2, 1.5)),
        50.0: _third(None, 3, 2, 1.5),
        52.0: _m(5, (4,), (3, 2, 1.5)),
        56.0: _m(5.5, (4,), (3, 2, 1.5)),
        60.0: _m(5.5, (4,), (3, 2, 1.5)),
        64.0: _m(6, (4,), (3, 2, 1.5)),
    }
)
"""By nominal diameter in mm."""


def _u(
    name: str,
    inches: float,
    threads_per_inch: tuple[int | None, int | None, int | None],
    *others: int,
) -> UnifiedPitches:
    unc, unf, unef = threads_per_inch
    return UnifiedPitches(name=name, inches=inches, unc=unc, unf=unf, unef=unef, others=others)


_UNIFIED_ROWS = (
    # numbered sizes: major diameter = 0.060 in + 0.013 in times the number
    _u("#0", 0.060, (None, 80, None)),
    _u("#1", 0.073, (64, 72, None)),
    _u("#2", 0.086, (56, 64, None)),
    _u("#3", 0.099, (48, 56, None)),
    _u("#4", 0.112, (40, 48, None)),
    _u("#5", 0.125, (40, 44, None)),
    _u("#6", 0.138, (32, 40, None)),
    _u("#8", 0.164, (32, 36, None)),
    _u("#10", 0.190, (24, 32, None), 28),
    _u("#12", 0.216, (24, 28, 32)),
    _u("1/4", 1 / 4, (20, 28, 32), 24),
    _u("5/16", 5 / 16, (18, 24, 32), 20, 28),
    _u("3/8", 3 / 8, (16, 24, 32), 20, 28),
    _u("7/16", 7 / 16, (14, 20, 28), 16, 32),
    _u("1/2", 1 / 2, (13, 20, 28), 12, 16, 32),
    _u("9/16", 9 / 16, (12, 18, 24), 16, 20, 28),
    _u("5/8", 5 / 8, (11, 18, 24), 12, 16, 20, 28),
    _u("3/4", 3 / 4, (10, 16, 20), 12, 28),
    _u("7/8", 7 / 8, (9, 14, 20), 12, 16, 28),
    _u("1", 1, (8, 12, 20), 14, 16, 28),
    _u("1-1/8", 1 + 1 / 8, (7, 12, 18), 8, 16, 20),
    _u("1-1/4", 1 + 1 / 4, (7, 12, 18), 8, 16, 20),
    _u("1-3/8", 1 + 3 / 8, (6, 12, 18), 8, 16, 20),
    _u("1-1/2", 1 + 1 / 2, (6, 12, 18), 8, 16, 20),
)

UNIFIED = MappingProxyType({row.name: row for row in _UNIFIED_ROWS})
"""By the name before the dash."""
