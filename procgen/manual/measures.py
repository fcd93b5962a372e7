"""Quantities and torques as a page shows them: in the manual's first unit, and in its second."""

from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from procgen.library.catalogue import Units
from procgen.measure.quantity import Quantity
from procgen.measure.torque import Align, AlignBy, BackOff, ByHand, Expect, Order, Slacken, Stage, To, Torque, Turn
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


class StageKind(StrEnum):
    """How a stage of a tightening looks."""

    TORQUE = "torque"
    ANGLE = "angle"
    BACK = "back"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class StageView:
    """One stage of a tightening, as it is printed."""

    kind: StageKind
    main: str
    """The figure: "22 N·m", "+ 90°", "back off 180°"."""
    second: str = ""
    """The figure in the second unit."""
    note: str = ""
    """What goes with it: "while turning the hub", "numbers 1 and 4 only"."""

    def __str__(self) -> str:
        figure = f"{self.main} ({self.second})" if self.second else self.main
        return f"{figure}, {self.note}" if self.note else figure


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueView:
    """A tightening with all its stages."""

    stages: tuple[StageView, ...]
    by_hand: str
    """What to do instead where no wrench measures; empty otherwise."""

    @property
    def is_single(self) -> bool:
        """Whether there is one figure and nothing else."""
        return len(self.stages) == 1

    def __str__(self) -> str:
        return self.by_hand or ", then ".join(str(stage) for stage in self.stages)


class Measures:
    """Shows quantities in the units that the manual asks for."""

    def __init__(self, units: Units) -> None:
        self._first, self._second = System(units.first), System(units.second)

    def view(self, quantity: Quantity) -> Measured:
        """The quantity in both units."""
        return Measured(*render(quantity, self._first, self._second))

    def text(self, quantity: Quantity) -> str:
        """The quantity in both units, in one line."""
        return str(self.view(quantity))

    def torque(self, torque: Torque) -> TorqueView:
        """A tightening, stage by stage."""
        if torque.is_by_hand:
            words = "; ".join(stage.text for stage in torque.stages if isinstance(stage, ByHand))
            return TorqueView(stages=(), by_hand=words)
        return TorqueView(stages=tuple(self._stage(stage) for stage in torque.stages), by_hand="")

    def torque_line(self, torque: Torque) -> str:
        """A tightening in one line."""
        return str(self.torque(torque))

    def _stage(self, stage: Stage) -> StageView:
        match stage:
            case To(quantity=quantity, while_doing=doing, order=order, only=only, repeat=repeat):
                shown = self.view(quantity)
                note = _note(doing, order, only, repeat)
                return StageView(kind=StageKind.TORQUE, main=shown.first, second=shown.second, note=note)
            case Turn(angle=angle, while_doing=doing, order=order, only=only, repeat=repeat):
                note = _note(doing, order, only, repeat)
                return StageView(kind=StageKind.ANGLE, main=f"+ {self.view(angle)}", note=note)
            case BackOff(angle=angle, order=order, only=only):
                main = f"back off {self.view(angle)}"
                return StageView(kind=StageKind.BACK, main=main, note=_note("", order, only, 1))
            case Slacken(order=order, only=only):
                return StageView(kind=StageKind.BACK, main="slacken fully", note=_note("", order, only, 1))
            case Align(what=what, by=by):
                way = "tightening only" if by is AlignBy.TIGHTENING else "slackening only"
                return StageView(kind=StageKind.OTHER, main=f"align for the {what}", note=f"by {way}")
            case Expect(quantity=quantity):
                shown = self.view(quantity)
                note = "must be read"
                return StageView(kind=StageKind.OTHER, main=shown.first, second=shown.second, note=note)
            case ByHand(text=text):
                return StageView(kind=StageKind.OTHER, main=text)
            case _:
                assert_never(stage)


def _note(doing: str, order: Order, only: tuple[int, ...], repeat: int) -> str:
    parts = [f"while {doing}" if doing else ""]
    parts.append("in reverse order" if order is Order.REVERSE else "")
    parts.append(f"{'number' if len(only) == 1 else 'numbers'} {_listed(only)} only" if only else "")
    parts.append("twice" if repeat == 2 else f"{repeat} times" if repeat > 2 else "")
    return ", ".join(part for part in parts if part)


def _listed(numbers: tuple[int, ...]) -> str:
    *most, last = map(str, numbers)
    return f"{', '.join(most)} and {last}" if most else last
