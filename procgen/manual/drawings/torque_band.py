"""The plausible band of a torque, and where the figure sits in it, on a scale of powers of ten."""

import math
from dataclasses import dataclass

from procgen.fasteners.tightening import LOW_SHARE
from procgen.library.items import Fastener
from procgen.manual.measures import Measures
from procgen.measure.quantity import exactly
from procgen.plan.joint import Joint, joint_of
from procgen.plan.plausible import clamps

_WIDTH = 560.0
_INSET = 24.0
_TOP = 46.0
_BAND_HEIGHT = 26.0
_HEIGHT = 108.0
_SIDE = 1.6
"""How far the scale reaches beyond the outermost mark, as a factor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark on the scale."""

    x: str
    text: str
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
    least, most = min(low_nm, final[0]) / _SIDE, max(band.high_nm, final[1]) * _SIDE

    def x(torque_nm: float) -> float:
        share = math.log(torque_nm / least) / math.log(most / least)
        return _INSET + share * (_WIDTH - 2 * _INSET)

    def shown(torque_nm: float) -> str:
        return measures.view(exactly(round(torque_nm, 1 if torque_nm < 10 else 0), "N·m")).first

    middle = math.sqrt(final[0] * final[1])
    return BandDrawing(
        width=f"{_WIDTH:g}",
        height=f"{_HEIGHT:g}",
        band_x=_px(x(band.low_nm)),
        band_width=_px(x(band.high_nm) - x(band.low_nm)),
        low=Mark(x=_px(x(low_nm)), text=shown(low_nm), anchor="middle"),
        ends=(
            Mark(x=_px(x(band.low_nm)), text=shown(band.low_nm), anchor="middle"),
            Mark(x=_px(x(band.high_nm)), text=shown(band.high_nm), anchor="middle"),
        ),
        figure=Mark(x=_px(x(middle)), text=_figure(fastener, measures), anchor=_anchor(x(middle))),
        words=_words(joint, shown(band.low_nm), shown(band.high_nm), shown(low_nm)),
        basis=_basis(joint),
    )


def _anchor(x: float) -> str:
    if x < _WIDTH / 4:
        return "start"
    return "end" if x > _WIDTH * 3 / 4 else "middle"


def _figure(fastener: Fastener, measures: Measures) -> str:
    stages = fastener.torque.torque_stages if fastener.torque else ()
    return measures.view(stages[-1].quantity).first


def _words(joint: Joint, low: str, high: str, least: str) -> str:
    governs = "the tapped thread strips" if joint.hole_governs else "the bolt reaches 90 % of its yield"
    return (
        f"Between {low} in the slipperiest threads and {high} in the roughest, {governs}. "
        f"Over {high} is too much whatever the threads are like; under {least} hardly clamps."
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
