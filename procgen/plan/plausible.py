"""Whether a torque can be right for its joint, and what may have been meant where it cannot."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import assert_never

from procgen.fasteners.misreading import Reading, Slip, TorqueUnit, likely_readings
from procgen.fasteners.stages import SlackenStage, StageVerdict, TorqueStage, TurnStage, judge_stages
from procgen.fasteners.stages import Stage as PlainStage
from procgen.fasteners.tightening import Band, Verdict
from procgen.library.items import Threads
from procgen.measure.quantity import Quantity
from procgen.measure.stages import Align, BackOff, ByHand, Expect, Slacken, To, Turn
from procgen.measure.torque import Torque
from procgen.measure.unit_table import unit
from procgen.plan.joint import Joint

SNUG_SHARE = 0.10
"""A snug torque before an angle is a fifth to a half of the bottom of the band; under a tenth it is a slip.

Our own threshold. It tells 4 N·m from 40 N·m, which is what it is for.
"""

HIGH_SHARE = 1.05
"""A torque for dry threads over this share of the bottom of its band is more than charts give.

Our own threshold: none of 156 published dry torques (tests/reference/sae_torque_dry_k020.csv and
tm_9_2320_362_table_f1.csv) is over 1.04. Most figures copied in lbf·ft for N·m are.
"""

_NM = {unit(each): each.nm for each in TorqueUnit}


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """A stage of a torque that cannot be right."""

    stage: int
    """Index in the torque's stages."""
    quantity: Quantity
    """The figure as written."""
    torque_nm: float
    """The end of it that is at fault."""
    verdict: Verdict
    """OVER or LOW."""
    is_final: bool
    """Whether it is the figure that the joint is left with; else it is a pass, or is followed by an angle."""
    band: Band
    """What it was held against."""
    meant: tuple[Quantity, ...]
    """What may have been meant, the likeliest first; empty where nothing fits."""


def clamps(torque: Torque) -> bool:
    """Whether the tightening leaves a clamping force: not by hand, and not backed off at its end to set a play."""
    holding = [stage for stage in torque.stages if isinstance(stage, To | Turn | BackOff | Slacken)]
    return bool(holding) and isinstance(holding[-1], To | Turn)


def misfit(joint: Joint, torque: Torque) -> Misfit | None:
    """What in `torque` cannot be right; of several stages at fault the last, since it counts most. None: nothing."""
    band = joint.band
    plain = tuple(_plain(torque))
    if band is None or not plain:
        return None
    stages = tuple(stage for _, _, stage in plain)
    faults = (*judge_stages(band, stages), *_too_snug(band, stages))
    if not faults:
        return None
    fault = max(faults, key=lambda each: each.index)
    index, quantity, _ = plain[fault.index]
    if quantity is None:  # only torques are found at fault
        return None
    is_final = fault.index == len(plain) - 1
    return Misfit(
        stage=index,
        quantity=quantity,
        torque_nm=fault.torque_nm,
        verdict=fault.verdict,
        is_final=is_final,
        band=band,
        meant=_meant(quantity, band if is_final else _band_of_a_pass(band, stages, fault)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Excess:
    """A final torque that is right only while the threads are rough."""

    stage: int
    """Index in the torque's stages."""
    quantity: Quantity
    """The figure as written."""
    most_nm: float
    """What stretches the bolt to 90 % of yield in smooth threads of that condition."""
    meant: tuple[Quantity, ...]
    """The same digits in a smaller unit, where that would be within."""


def excess(joint: Joint, torque: Torque) -> Excess | None:
    """Whether the final torque is more than charts give for dry threads. None: no, or it cannot be told.

    Only dry threads are judged so: how slippery an oiled bolt is nobody knows so narrowly.
    """
    band = joint.band
    if band is None or not joint.has_class or joint.fastener.threads is not Threads.DRY or not clamps(torque):
        return None
    plain = tuple(_plain(torque))
    index, quantity, stage = plain[-1]
    if quantity is None or not isinstance(stage, TorqueStage):
        return None
    if not HIGH_SHARE * band.low_nm < stage.high_nm <= band.high_nm:
        return None
    smooth = replace(band, high_nm=HIGH_SHARE * band.low_nm)
    return Excess(stage=index, quantity=quantity, most_nm=band.low_nm, meant=_meant(quantity, smooth))


def _plain(torque: Torque) -> Iterator[tuple[int, Quantity | None, PlainStage]]:
    """The stages that change the load, each with its index and, for a torque, its figure."""
    for index, stage in enumerate(torque.stages):
        match stage:
            case To(quantity=quantity):
                low_nm, high_nm = _limits_nm(quantity)
                yield index, quantity, TorqueStage(low_nm=low_nm, high_nm=high_nm)
            case Turn():
                yield index, None, TurnStage()
            case BackOff() | Slacken():
                yield index, None, SlackenStage()
            case Align() | Expect() | ByHand():
                pass
            case _:
                assert_never(stage)


def _limits_nm(quantity: Quantity) -> tuple[float, float]:
    """Both ends in N·m; the usual units without asking the library of units, which is slow to load."""
    low, high = quantity.low, quantity.high
    if low is None or high is None:  # a target is never open at an end
        return 0.0, 0.0
    factor = _NM.get(quantity.unit)
    if factor is None:
        quantity = quantity.to("N·m")
        return float(quantity.low or 0), float(quantity.high or 0)
    return float(low) * factor, float(high) * factor


def _too_snug(band: Band, stages: tuple[PlainStage, ...]) -> Iterator[StageVerdict]:
    """The torque from which the last angles start, where it is next to nothing."""
    turning = len(stages)
    while turning and isinstance(stages[turning - 1], TurnStage):
        turning -= 1
    start = stages[turning - 1] if 0 < turning < len(stages) else None
    if isinstance(start, TorqueStage) and start.low_nm < SNUG_SHARE * band.low_nm:
        yield StageVerdict(index=turning - 1, torque_nm=start.low_nm, verdict=Verdict.LOW)


def _band_of_a_pass(band: Band, stages: tuple[PlainStage, ...], fault: StageVerdict) -> Band:
    """Where a pass or a snug torque may lie: from a tenth of the bottom up to the torques that follow it."""
    later = (stage.high_nm for stage in stages[fault.index + 1 :] if isinstance(stage, TorqueStage))
    return replace(band, low_nm=2 * SNUG_SHARE * band.low_nm, high_nm=min((band.high_nm, *later)))


def _meant(quantity: Quantity, band: Band) -> tuple[Quantity, ...]:
    symbol = quantity.unit.symbol
    if symbol not in set(TorqueUnit):
        # daN·m and the like: perhaps the number is right and the unit is not.
        in_newtons = replace(quantity, unit=unit("N·m"))
        low_nm, high_nm = _limits_nm(in_newtons)
        return (in_newtons,) if band.low_nm / 2 <= low_nm and high_nm <= band.high_nm else ()
    readings = likely_readings(float(quantity.middle), TorqueUnit(symbol), band)
    return tuple(_as_quantity(quantity, reading) for reading in sorted(readings, key=_rarity))


def _rarity(reading: Reading) -> int:
    """How rarely a slip is met: points and inch units are the everyday ones. Our own experience, no source."""
    if reading.slip is not Slip.UNIT:
        return 0
    return 2 if reading.unit in (TorqueUnit.KILOGRAM_METRE, TorqueUnit.KILOGRAM_CENTIMETRE) else 1


def _as_quantity(written: Quantity, reading: Reading) -> Quantity:
    """What the author may have meant, with the same digits."""
    factor = {Slip.UNIT: Fraction(1), Slip.POINT_LEFT: Fraction(10), Slip.POINT_RIGHT: Fraction(1, 10)}[reading.slip]
    if factor == 1:
        return replace(written, unit=unit(reading.unit))
    return replace(
        written,
        nominal=None if written.nominal is None else written.nominal * factor,
        low=None if written.low is None else written.low * factor,
        high=None if written.high is None else written.high * factor,
        resolution=written.resolution * factor,
        numerals=tuple(_moved(numeral, factor) for numeral in written.numerals),
    )


def _moved(numeral: str, factor: Fraction) -> str:
    return f"{float(sum(Fraction(part) for part in numeral.split()) * factor):.10g}"
