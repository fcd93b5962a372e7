"""The plausible band of a torque, and where the figure sits in it, on a scale of powers of ten, in both units."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from procgen.fasteners.tightening import LOW_SHARE, Band
from procgen.library.items import Fastener
from procgen.manual.measures import Measured, Measures
from procgen.measure.quantity import exactly
from procgen.plan.joint import Joint, joint_of
from procgen.plan.plausible import clamps

_WIDTH = 560.0
_HEIGHT = 128.0
_INSET = 28.0
_SIDE = 1.6
"""How far the scale reaches beyond the outermost mark, as a factor."""
_APART = 96.0
"""Marks nearer than this push their lettering outwards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark on the scale."""

    x: str
    text: Measured
    anchor: str
    """Of its lettering: start, middle or end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandDrawing:
    """The drawing and its text equivalent."""

    width: str
    height: str
    band_x: str
    band_width: str
    low: Mark
    """Under this it hardly clamps."""
    ends: tuple[Mark, ...]
    """The ends of the band."""
    figure: Mark
    words: str
    basis: str
    """What the band was worked out from."""


def band_drawing(fastener: Fastener, measures: Measures) -> BandDrawing | None:
    """The drawing for a fastener; None where its torque does not clamp, or physics does not know the joint."""
    joint = joint_of(fastener)
    band = joint.band
    torque = fastener.torque
    final = torque.final_nm if torque else None
    if band is None or torque is None or final is None or torque.has_angle or not clamps(torque):
        return None
    low_nm = band.low_nm * LOW_SHARE
    x = _scale(min(low_nm, final[0]) / _SIDE, max(band.high_nm, final[1]) * _SIDE)
    left, right = x(band.low_nm), x(band.high_nm)
    at = x(math.sqrt(final[0] * final[1]))
    shown = measures.view(torque.torque_stages[-1].quantity)
    low, bottom, top = (_rounded(nm, measures) for nm in (low_nm, band.low_nm, band.high_nm))
    outwards = ("end", "start") if right - left < _APART else ("middle", "middle")
    return BandDrawing(
        width=f"{_WIDTH:g}",
        height=f"{_HEIGHT:g}",
        band_x=_px(left),
        band_width=_px(right - left),
        low=Mark(x=_px(x(low_nm)), text=low, anchor="middle"),
        ends=(
            Mark(x=_px(left), text=bottom, anchor=outwards[0]),
            Mark(x=_px(right), text=top, anchor=outwards[1]),
        ),
        figure=Mark(x=_px(at), text=shown, anchor=_inwards(at)),
        words=f"{_sits(str(shown), final, band)} {_limits(joint, bottom, top, low)}",
        basis=_basis(joint),
    )


def _scale(least_nm: float, most_nm: float) -> Callable[[float], float]:
    """Where a torque lies on the drawing, equal factors apart by equal lengths."""
    length = _WIDTH - 2 * _INSET
    return lambda nm: _INSET + length * math.log(nm / least_nm) / math.log(most_nm / least_nm)


def _rounded(torque_nm: float, measures: Measures) -> Measured:
    places = 1 if torque_nm < 10 else 0
    return measures.view(exactly(round(torque_nm, places), "N·m", Fraction(1, 10**places)))


def _inwards(x: float) -> str:
    """How the lettering of a mark is set so that it stays on the drawing."""
    if x < _WIDTH / 5:
        return "start"
    return "end" if x > _WIDTH * 4 / 5 else "middle"


def _sits(figure: str, final: tuple[float, float], band: Band) -> str:
    low_nm, high_nm = final
    if high_nm > band.high_nm:
        return f"{figure} lies above the band."
    if high_nm > band.low_nm:
        return f"{figure} lies inside the band: it fits while the threads are rough."
    below = f"{100 * high_nm / band.low_nm:.0f} % of its bottom"
    if low_nm < band.low_nm * LOW_SHARE:
        return f"{figure} lies far below the band, at {below}."
    return f"{figure} lies on the safe side of the band, at {below}."


def _limits(joint: Joint, bottom: Measured, top: Measured, least: Measured) -> str:
    governs = "the tapped thread strips" if joint.hole_governs else "the bolt reaches 90 % of its yield"
    return (
        f"Between {bottom.first} in the slipperiest threads and {top.first} in the roughest, {governs}. "
        f"Over {top.first} is too much whatever the threads are like; under {least.first} hardly clamps."
    )


def _basis(joint: Joint) -> str:
    band = joint.band
    if band is None:
        return ""
    grade = (
        "" if joint.has_class else " No class is given: the band covers the softest to the hardest bolt in common use."
    )
    return f"VDI 2230, {joint.words}, friction {band.mu_low:g} to {band.mu_high:g} ({band.friction_source}).{grade}"


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
