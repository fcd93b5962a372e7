"""How much torque a bolt can want: the band between slippery and rough, at 90 % of yield.

The formulas are those of VDI 2230 part 1 (2003), hexagon or socket head, through hole:

    F = As · 0.9 Rp0.2 / sqrt(1 + 3 (3/2 · d2/ds · (P/(π d2) + 1.155 μ))²)
    M = F (0.16 P + 0.58 d2 μ + DK/2 μ)

They reproduce the standard's own tables within their rounding (tests/reference/vdi2230_fine.csv).
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from procgen.fasteners.bearing import bearing_under
from procgen.fasteners.friction import ThreadCondition, friction_range
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.strength import strength_of
from procgen.fasteners.threads import System, Thread

UTILISATION = 0.9
"""Share of the yield stress that tightening may use, VDI 2230."""

TORSION_PLASTIC = 1.5
"""VDI 2230 since 2001: the section yields in torsion from rim to core."""
TORSION_ELASTIC = 2.0
"""VDI 2230 of 1986, and the shop charts that still print it: only the rim reaches yield."""

LOW_SHARE = 0.25
"""A torque under this share of the bottom of the band hardly clamps: our own threshold."""


class Verdict(StrEnum):
    """Where a torque lies against the band."""

    OVER = "over yield"
    """Stretches the bolt beyond 90 % of yield even in the roughest threads."""
    LOW = "low"
    """Under a quarter of what the slipperiest threads would want."""
    WITHIN = "within"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The torques that bring a bolt to 90 % of yield, over the friction that may be met."""

    low_nm: float
    """At the least friction: more than this may already be too much when slippery."""
    high_nm: float
    """At the greatest friction: more than this is too much whatever the threads are like."""
    preload_low_n: float
    """Clamping force at 90 % of yield and the greatest friction (torsion eats the rest)."""
    preload_high_n: float
    """Clamping force at 90 % of yield and the least friction."""
    mu_low: float
    mu_high: float
    friction_source: str
    is_estimate: bool = False
    """True where a size or a strength behind it is not one that a standard lists."""

    @property
    def middle_nm(self) -> float:
        """Middle of the band in proportion: as far from the bottom as from the top."""
        return math.sqrt(self.low_nm * self.high_nm)


def assembly_preload_n(thread: Thread, yield_mpa: float, mu: float, *, torsion: float = TORSION_PLASTIC) -> float:
    """Preload at 90 % of yield, tension and torsion together, in N.

    torsion: TORSION_PLASTIC, or TORSION_ELASTIC to compare with the charts of 1986.
    """
    d2, pitch = thread.d2_mm, thread.pitch_mm
    shear_per_tension = torsion * d2 / thread.stress_diameter_mm * (pitch / (math.pi * d2) + 1.155 * mu)
    pull_mpa = UTILISATION * yield_mpa / math.sqrt(1 + 3 * shear_per_tension**2)
    return thread.stress_area_mm2 * pull_mpa


def assembly_torque_nm(thread: Thread, preload_n: float, mu: float, friction_diameter_mm: float) -> float:
    """Torque in N·m that gives a preload: lift, friction in the thread, friction under the head."""
    arm_mm = 0.16 * thread.pitch_mm + 0.58 * thread.d2_mm * mu + friction_diameter_mm / 2 * mu
    return preload_n * arm_mm / 1000


@cache
def tightening_band(
    thread: Thread,
    class_text: str,
    condition: ThreadCondition = ThreadCondition.UNKNOWN,
    head: Head = Head.HEX,
) -> Band:
    """The band of a bolt of that class, thread condition and head.

    Raises StrengthError where the class is unknown or not made in that diameter.
    """
    strength = strength_of(class_text, thread.d_mm)
    friction = friction_range(condition, austenitic=strength.austenitic)
    bearing = bearing_under(thread, head)
    slippery_n = assembly_preload_n(thread, strength.yield_mpa, friction.low)
    rough_n = assembly_preload_n(thread, strength.yield_mpa, friction.high)
    arm = bearing.friction_diameter_mm
    return Band(
        low_nm=assembly_torque_nm(thread, slippery_n, friction.low, arm),
        high_nm=assembly_torque_nm(thread, rough_n, friction.high, arm),
        preload_low_n=rough_n,
        preload_high_n=slippery_n,
        mu_low=friction.low,
        mu_high=friction.high,
        friction_source=friction.source,
        is_estimate=bearing.is_estimate or strength.note is not None,
    )


@cache
def band_without_class(
    thread: Thread, condition: ThreadCondition = ThreadCondition.UNKNOWN, head: Head = Head.HEX
) -> Band:
    """The band where no class is known: from the softest bolt in common use to the hardest.

    Metric 4.6 to 12.9, Unified SAE grade 1 to 8: wide, but an error of units leaves it.
    """
    softest, hardest = ("4.6", "12.9") if thread.system is System.METRIC else ("grade 1", "grade 8")
    soft = tightening_band(thread, softest, condition, head)
    hard = tightening_band(thread, hardest, condition, head)
    return Band(
        low_nm=soft.low_nm,
        high_nm=hard.high_nm,
        preload_low_n=soft.preload_low_n,
        preload_high_n=hard.preload_high_n,
        mu_low=soft.mu_low,
        mu_high=soft.mu_high,
        friction_source=soft.friction_source,
        is_estimate=True,
    )


def verdict(band: Band, torque_nm: float) -> Verdict:
    """What the band says to a final torque, N·m."""
    if torque_nm > band.high_nm:
        return Verdict.OVER
    if torque_nm < LOW_SHARE * band.low_nm:
        return Verdict.LOW
    return Verdict.WITHIN
