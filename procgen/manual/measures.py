"""Quantities and torques as a page shows them: in the manual's first unit, and in its second."""

from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from procgen.library.catalogue import Units
from procgen.measure.quantity import Quantity
from procgen.measure.stages import Align, BackOff, ByHand, Expect, Slacken, Stage, To, Turn
from procgen.measure.torque import Torque
from procgen.measure.torque_text import StageText, render_torque, torque_line
from procgen.measure.typeset import render
from procgen.measure.unit_table import System


@dataclass(frozen=True, slots=True)
class Measured:
    """One quantity in the manual's units."""

    first: str
    second: str = ""
    """Empty where both systems share the unit, or the manual shows one only."""

    def __str__(self) -> str:
        return f"{self.first} ({self.second})" if self.second else self.first


class StageLook(StrEnum):
    """How a stage of a tightening is set."""

    FIGURE = "figure"
    """A torque: large."""
    ANGLE = "angle"
    """A further angle: large."""
    WORDS = "words"
    """Something else to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageView:
    """One stage of a tightening, as it is printed."""

    look: StageLook
    before: str
    """Words ahead of the figure; empty where it comes first."""
    main: str
    """The figure: "22 N·m", "90°"; empty where the stage is all words."""
    second: str
    """The figure in the second unit; empty where there is none."""
    after: str
    """Words behind the figure, or all of them."""
    setting: str = ""
    """What to set on the wrench instead, where an adapter changes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueView:
    """A tightening with all its stages."""

    stages: tuple[StageView, ...]
    line: str
    """All of it in one line."""
    by_hand: str
    """What to do instead where no wrench measures; empty otherwise."""

    @property
    def is_single(self) -> bool:
        """Whether there is one stage only."""
        return len(self.stages) == 1


class Measures:
    """Shows quantities in the units that the manual asks for."""

    def __init__(self, units: Units) -> None:
        self._systems = System(units.first), System(units.second)

    def view(self, quantity: Quantity) -> Measured:
        """The quantity in both units."""
        return Measured(*render(quantity, *self._systems))

    def text(self, quantity: Quantity) -> str:
        """The quantity in both units, in one line."""
        return str(self.view(quantity))

    def torque(self, torque: Torque, settings: dict[int, str] | None = None) -> TorqueView:
        """A tightening, stage by stage. settings: what to set on the wrench, by the index of the stage."""
        line = torque_line(torque, *self._systems)
        if torque.is_by_hand:
            return TorqueView(stages=(), line=line, by_hand=line)
        texts = render_torque(torque, *self._systems)
        stages = tuple(_stage(text, (settings or {}).get(index, "")) for index, text in enumerate(texts))
        return TorqueView(stages=stages, line=line, by_hand="")

    def torque_line(self, torque: Torque) -> str:
        """A tightening in one line."""
        return torque_line(torque, *self._systems)


def _stage(text: StageText, setting: str) -> StageView:
    main, second, *_ = (*text.amounts, "", "")
    after = text.after.removeprefix(", ")
    return StageView(look=_look(text.stage), before=text.before, main=main, second=second, after=after, setting=setting)


def _look(stage: Stage) -> StageLook:
    match stage:
        case To():
            return StageLook.FIGURE
        case Turn():
            return StageLook.ANGLE
        case BackOff() | Slacken() | Align() | Expect() | ByHand():
            return StageLook.WORDS
        case _:
            assert_never(stage)
