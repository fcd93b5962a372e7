"""When the tapped hole gives way before the bolt does: soft material, short engagement.

    F = C · τB · π · dmin · (m - 0.8 P)/P · (P/2 + (dmin - D2max) tan 30°)

The geometric area is that of FED-STD-H28, ASME B1.1 appendix B and VDI 2230 (the three
agree); dmin and D2max are the limits of 6g/6H by the formulas of ISO 965-1, from memory,
used for 2A/2B as well. C = 0.897 is Alexander's least factor for the bending of a strong
bolt's threads (SAE 770420, value from memory), 0.8 P the chamfered and unfinished threads
that carry nothing (VDI 2230, from memory). New, clean threads: worn ones bear less.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from procgen.fasteners.bearing import bearing_under
from procgen.fasteners.friction import ThreadCondition, friction_range
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.threads import Thread
from procgen.fasteners.tightening import assembly_torque_nm

_BENDING = 0.897
_LOST_PITCHES = 0.8


class Material(StrEnum):
    """What the hole is tapped into; a weak common sort stands for each."""

    ALUMINIUM = "aluminium"
    """Cast: what a crankcase or a pump body is made of."""
    WROUGHT_ALUMINIUM = "wrought aluminium"
    MAGNESIUM = "magnesium"
    BRASS = "brass"
    CAST_IRON = "cast iron"
    STEEL = "steel"


_SHEAR_MPA = MappingProxyType(
    {
        Material.ALUMINIUM: 110.0,  # GK-AlSi9Cu3, VDI 2230 table A9, from memory
        Material.WROUGHT_ALUMINIUM: 200.0,  # AlMgSi1 F31, same table, from memory
        Material.MAGNESIUM: 100.0,  # half of the 200 MPa of GK-MgAl9: common practice, no source
        Material.BRASS: 200.0,  # 0.6 of about 340 MPa: common practice, no source
        Material.CAST_IRON: 350.0,  # GJL-250, VDI 2230 table A9, from memory
        Material.STEEL: 200.0,  # S235, VDI 2230 table A9, from memory
    }
)

_ALSO_CALLED = MappingProxyType(
    {
        "aluminum": Material.ALUMINIUM,
        "cast aluminium": Material.ALUMINIUM,
        "cast aluminum": Material.ALUMINIUM,
        "alloy": Material.ALUMINIUM,
        "light alloy": Material.ALUMINIUM,
        "wrought aluminum": Material.WROUGHT_ALUMINIUM,
        "bronze": Material.BRASS,
        "iron": Material.CAST_IRON,
        "grey iron": Material.CAST_IRON,
        "gray iron": Material.CAST_IRON,
        "mild steel": Material.STEEL,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrippingLimit:
    """What the tapped thread bears before it shears off."""

    material: Material
    engagement_mm: float
    shear_strength_mpa: float
    preload_n: float
    """Pull that shears the thread."""
    torque_low_nm: float
    """Torque that makes this pull at the least friction: from here on it may strip."""
    torque_high_nm: float
    """Torque that makes this pull at the greatest friction: from here on it must strip."""


def material_named(text: str) -> Material | None:
    """The material that an author means; None where no shear strength is known for it."""
    words = " ".join(text.lower().split())
    if words in set(Material):
        return Material(words)
    return _ALSO_CALLED.get(words)


def shear_strength_mpa(material: Material) -> float:
    """Shear strength reckoned with, MPa."""
    return _SHEAR_MPA[material]


@cache
def stripping_limit(
    thread: Thread,
    material: Material,
    engagement_mm: float,
    condition: ThreadCondition = ThreadCondition.UNKNOWN,
    head: Head = Head.HEX,
) -> StrippingLimit:
    """What a steel bolt of that thread can be given in that hole.

    engagement_mm: thread in thread. Where it is under 0.8 pitches nothing is borne.
    """
    friction = friction_range(condition)
    arm_mm = bearing_under(thread, head).friction_diameter_mm
    pull_n = stripping_load_n(thread, shear_strength_mpa(material), engagement_mm)
    return StrippingLimit(
        material=material,
        engagement_mm=engagement_mm,
        shear_strength_mpa=shear_strength_mpa(material),
        preload_n=pull_n,
        torque_low_nm=assembly_torque_nm(thread, pull_n, friction.low, arm_mm),
        torque_high_nm=assembly_torque_nm(thread, pull_n, friction.high, arm_mm),
    )


def stripping_load_n(thread: Thread, shear_mpa: float, engagement_mm: float) -> float:
    """Pull in N that shears the internal thread of a material with that shear strength."""
    carrying_mm = max(0.0, engagement_mm - _LOST_PITCHES * thread.pitch_mm)
    return _load_per_mm(thread, shear_mpa) * carrying_mm


def least_engagement_mm(thread: Thread, material: Material, load_n: float) -> float:
    """Engagement that bears a pull in N.

    With the tensile load of the bolt (stress area times Rm) it is the engagement at which
    the bolt breaks before the thread strips.
    """
    return load_n / _load_per_mm(thread, shear_strength_mpa(material)) + _LOST_PITCHES * thread.pitch_mm


def _load_per_mm(thread: Thread, shear_mpa: float) -> float:
    """Pull in N per mm of carrying engagement."""
    pitch = thread.pitch_mm
    major_mm = thread.d_mm - _allowance_mm(pitch) - _major_tolerance_mm(pitch)
    pitch_diameter_mm = thread.d2_mm + _hole_tolerance_mm(thread.d_mm, pitch)
    tooth_mm = pitch / 2 + (major_mm - pitch_diameter_mm) * math.tan(math.radians(30))
    return _BENDING * shear_mpa * math.pi * major_mm * tooth_mm / pitch


def _allowance_mm(pitch_mm: float) -> float:
    """Gap of position g, ISO 965-1: 15 + 11 P in µm."""
    return (15 + 11 * pitch_mm) / 1000


def _major_tolerance_mm(pitch_mm: float) -> float:
    """Tolerance of d, grade 6, ISO 965-1: 180 P^(2/3) - 3.15 P^(-1/2) in µm."""
    return (180 * math.pow(pitch_mm, 2 / 3) - 3.15 / math.sqrt(pitch_mm)) / 1000


def _hole_tolerance_mm(d_mm: float, pitch_mm: float) -> float:
    """Tolerance of D2, grade 6, ISO 965-1: 1.32 · 90 P^0.4 d^0.1 in µm."""
    return 1.32 * 90 * math.pow(pitch_mm, 0.4) * math.pow(d_mm, 0.1) / 1000
