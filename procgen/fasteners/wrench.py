"""Torque wrenches: what to set behind an adapter, which wrench covers a figure, how true it is."""

import math
from enum import StrEnum

LEAST_SHARE = 0.20
"""Common practice: below a fifth of full scale a wrench is not trusted."""


def wrench_setting_nm(joint_nm: float, handle_mm: float, adapter_mm: float, angle_deg: float) -> float:
    """What to set on a torque wrench so that the fastener behind an adapter gets its torque.

    handle_mm: grip to square drive. adapter_mm: square drive to fastener.
    angle_deg: 0 in line, 90 changes nothing, 180 points back.
    Raises ValueError where the adapter reaches back to the grip.
    """
    return joint_nm * handle_mm / _reach_mm(handle_mm, adapter_mm, angle_deg)


def joint_torque_nm(setting_nm: float, handle_mm: float, adapter_mm: float, angle_deg: float) -> float:
    """What the fastener gets when the wrench behind the adapter clicks; see wrench_setting_nm."""
    return setting_nm * _reach_mm(handle_mm, adapter_mm, angle_deg) / handle_mm


def _reach_mm(handle_mm: float, adapter_mm: float, angle_deg: float) -> float:
    """Distance from grip to fastener, measured along the wrench."""
    if handle_mm <= 0:
        raise ValueError(f"a wrench with a handle of {handle_mm:g} mm has no lever")
    reach_mm = handle_mm + adapter_mm * math.cos(math.radians(angle_deg))
    if reach_mm <= 0:
        raise ValueError(f"an adapter of {adapter_mm:g} mm at {angle_deg:g}° reaches back to the grip")
    return reach_mm


class RangeFit(StrEnum):
    """Whether a wrench can be trusted with a setting."""

    FITS = "fits"
    TOO_LOW = "too low on its scale"
    TOO_HIGH = "beyond its scale"


def usable_range_nm(scale_low_nm: float, scale_high_nm: float) -> tuple[float, float]:
    """The part of the scale to use: from a fifth of full scale, or the first mark, to the end."""
    return max(scale_low_nm, LEAST_SHARE * scale_high_nm), scale_high_nm


def range_fit(setting_nm: float, scale_low_nm: float, scale_high_nm: float) -> RangeFit:
    """Whether a wrench with that scale covers that setting."""
    low_nm, high_nm = usable_range_nm(scale_low_nm, scale_high_nm)
    if setting_nm > high_nm:
        return RangeFit.TOO_HIGH
    return RangeFit.TOO_LOW if setting_nm < low_nm else RangeFit.FITS


class WrenchKind(StrEnum):
    """ISO 6789:2003 types and classes, as far as their tolerance differs."""

    CLICK = "click"
    """Setting tool with a graduated scale, type II class A."""
    DIAL = "dial"
    """Indicating tool with a dial or a display, type I classes B and C."""
    BEAM = "beam"
    """Indicating tool with a bending bar, type I class A."""
    FIXED = "fixed"
    """Setting tool without a scale or of driver shape, type II classes B and D to G."""


def permitted_deviation_percent(kind: WrenchKind, scale_high_nm: float) -> float:
    """How far a wrench may read wrong when new, ± per cent of the reading, ISO 6789:2003.

    Click wrenches: 4 % above 10 N·m full scale, else 6 %, read in a maker's manual (see
    tests/reference/worked_examples.csv, T1 and T2). The others are from memory.
    """
    match kind:
        case WrenchKind.CLICK | WrenchKind.DIAL:
            return 4.0 if scale_high_nm > 10 else 6.0
        case WrenchKind.BEAM | WrenchKind.FIXED:
            return 6.0
