"""A torque in the words of the trade, stage by stage, in both units: for the page, the checklist and the drawings."""

from dataclasses import dataclass
from typing import assert_never

from procgen.measure.quantity import Quantity
from procgen.measure.stages import Align, BackOff, ByHand, Expect, Order, Slacken, Stage, To, Turn
from procgen.measure.torque import Torque
from procgen.measure.typeset import render
from procgen.measure.unit_table import Dimension, System


@dataclass(frozen=True, slots=True, kw_only=True)
class StageText:
    """One stage in words. `str()` gives the whole line: "then turn a further 90°"."""

    stage: Stage
    before: str
    """Words ahead of the figures, with no space at the end; "" where the figure comes first."""
    amounts: tuple[str, ...]
    """The figure in the manual's first unit and then, where there is one, in the second; () for a stage without."""
    after: str
    """Words behind the figures, or all of them where there are no figures."""

    def __str__(self) -> str:
        second = f" ({self.amounts[1]})" if len(self.amounts) > 1 else ""
        return _joined(self.before, "".join(self.amounts[:1]) + second, self.after)


def render_torque(
    torque: Torque, first: System = System.METRIC, second: System = System.IMPERIAL, *, noun: str = "bolt"
) -> tuple[StageText, ...]:
    """The stages in words and in the manual's order of units, ready to be shown one to a line.

    noun: what a single fastener of the joint is called, for "bolts 1 and 4 only".
    """
    return tuple(_stage_text(stage, position, (first, second), noun) for position, stage in enumerate(torque.stages))


def torque_line(torque: Torque, first: System = System.METRIC, second: System = System.IMPERIAL) -> str:
    """All stages on one line, for tables and for text that names a torque: "30 N·m (22 lbf·ft), then turn …"."""
    return ", ".join(str(stage).removesuffix(".") for stage in render_torque(torque, first, second))


def _stage_text(stage: Stage, position: int, systems: tuple[System, System], noun: str) -> StageText:
    def made(before: str, quantity: Quantity | None, after: str = "") -> StageText:
        amounts = () if quantity is None else render(quantity, *systems)
        return StageText(stage=stage, before=before, amounts=amounts, after=after)

    match stage:
        case To():
            return made("then to" if position else "", stage.quantity, _manner(stage, noun))
        case Turn():
            return made("then turn a further", stage.angle, _manner(stage, noun))
        case BackOff():
            return made("back off", stage.angle, _members(stage, noun))
        case Slacken():
            return made("slacken fully", None, _members(stage, noun))
        case Align():
            return made(f"align the hole for the {stage.what} by {stage.by}, never the other way", None)
        case Expect():
            return made(*_reading(stage.quantity))
        case ByHand():
            return made("", None, stage.text)
        case _:
            assert_never(stage)


def _reading(quantity: Quantity) -> tuple[str, Quantity, str]:
    if quantity.dimension is Dimension.ANGLE:
        return "the angles must come to", quantity, "in all"
    return "the wrench must read", quantity, ""


def _manner(stage: To | Turn, noun: str) -> str:
    meanwhile = f"while {stage.while_doing}" if stage.while_doing else ""
    members = _members(stage, noun)
    again = "" if stage.repeat == 1 else ", twice" if stage.repeat == 2 else f", {stage.repeat} times"
    return _joined(meanwhile, members) + again


def _members(stage: To | Turn | BackOff | Slacken, noun: str) -> str:
    """ "bolts 1 and 4 only", "in reverse order", or both."""
    subset = ""
    if stage.only:
        *most, last = map(str, stage.only)
        subset = f"{noun}s {', '.join(most)} and {last} only" if most else f"{noun} {last} only"
    return _joined(subset and f", {subset}", ", in reverse order" if stage.order is Order.REVERSE else "")


def _joined(*words: str) -> str:
    return "".join(word if word.startswith(",") or not word else f" {word}" for word in words).strip()
