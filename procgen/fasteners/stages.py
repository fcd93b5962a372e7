"""Judging a tightening that has stages: passes, angles, backing off.

Only what a torque can say by itself is judged. A figure that is followed by an angle is a
snug torque: it may be too much, never too little. What an angle does depends on how
springy the joint is, so an angle is not judged at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from procgen.fasteners.tightening import Band, Verdict, verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueStage:
    """Tighten to a torque; low and high differ where a range is given."""

    low_nm: float
    high_nm: float


@dataclass(frozen=True, slots=True)
class TurnStage:
    """Turn further by an angle."""


@dataclass(frozen=True, slots=True)
class SlackenStage:
    """Back off, or slacken fully: what was tightened before no longer holds."""


Stage = TorqueStage | TurnStage | SlackenStage


@dataclass(frozen=True, slots=True, kw_only=True)
class StageVerdict:
    """What is wrong with one stage."""

    index: int
    """Counted from 0 in the sequence judged."""
    torque_nm: float
    """The end of the range that is at fault."""
    verdict: Verdict
    """OVER or LOW."""


def judge_stages(band: Band, stages: Sequence[Stage]) -> tuple[StageVerdict, ...]:
    """The stages at fault, in order.

    Every torque is held against the top of the band. Only the last stage is held against
    the bottom, and only where it is a torque: passes, snug torques and torques that are
    backed off again are meant to be small.
    """
    faults = []
    for index, stage in enumerate(stages):
        if not isinstance(stage, TorqueStage):
            continue
        if verdict(band, stage.high_nm) is Verdict.OVER:
            faults.append(StageVerdict(index=index, torque_nm=stage.high_nm, verdict=Verdict.OVER))
        elif index == len(stages) - 1 and verdict(band, stage.low_nm) is Verdict.LOW:
            faults.append(StageVerdict(index=index, torque_nm=stage.low_nm, verdict=Verdict.LOW))
    return tuple(faults)
