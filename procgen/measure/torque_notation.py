"""Reading the torque notation: text, a list of stages, or a stage in braces.

22 N·m        30 N·m + 90° + 90°        [10 N·m, 22 N·m]        {turn: 40–45°, only: [1, 4]}
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from procgen.measure.error import either, excerpt, near_names
from procgen.measure.quantity import Quantity
from procgen.measure.stages import Align, AlignBy, BackOff, ByHand, Expect, Order, Slacken, Stage, To, Turn
from procgen.measure.torque_figures import Path, TorqueError, angle_to_turn, figure, more_than_nothing, target_torque
from procgen.measure.unit_table import Dimension

_Choice = TypeVar("_Choice", bound=StrEnum)


MOST_STAGES = 50
"""More than any joint has; a longer list is a slip."""

LONGEST = 1000
"""A torque in one text has at most so many characters."""

_PLUS = re.compile(r" ?\+(?! ?/? ?[-−]) ?")  # but not the plus of "22 +/- 2 N·m"


def read_stages(value: object, path: Path) -> list[Stage]:
    """The stages that a value stands for, at least one. Raises TorqueError."""
    match value:
        case bool() | None:
            raise TorqueError('a torque is needed here, as in "22 N·m" or [10 N·m, 22 N·m].', path)
        case str() | int() | float():
            return _from_text(str(value), path)
        case Mapping():
            return [_from_map(value, path)]
        case Sequence() if not path:
            if not value:
                raise TorqueError('the list has no stages; write at least one, as in "22 N·m".', path)
            if len(value) > MOST_STAGES:
                raise TorqueError(f"the list has {len(value)} stages; no joint has more than {MOST_STAGES}.", path)
            return [stage for index, part in enumerate(value) for stage in read_stages(part, (*path, index))]
        case _:
            raise TorqueError('a stage is text, as in "22 N·m" or "+ 90°", or a map, as in {back-off: 90°}.', path)


def _from_text(text: str, path: Path) -> list[Stage]:
    if len(text) > LONGEST:
        raise TorqueError(f"{excerpt(text)} has {len(text)} characters; a torque has at most {LONGEST}.", path)
    first, *further = _PLUS.split(" ".join(text.split()))
    if len(further) >= MOST_STAGES:
        raise TorqueError(f"{excerpt(text)} has more than {MOST_STAGES} stages; no joint has as many.", path)
    stages: list[Stage] = []
    if first or not further:
        stages.append(_first_figure(first, path))
    stages.extend(Turn(angle=_further_angle(part, path)) for part in further)
    return stages


def _first_figure(text: str, path: Path) -> To:
    quantity = figure(text, None, path, missing=Dimension.TORQUE)
    if quantity.dimension is Dimension.ANGLE:
        raise TorqueError(f'"{text}" is an angle; a further angle is written with a plus: "+ {text}".', path)
    return To(quantity=target_torque(text, path))


def _further_angle(text: str, path: Path) -> Quantity:
    if not text:
        raise TorqueError('after "+" comes the further angle, as in "+ 90°".', path)
    quantity = figure(text, None, path, missing=Dimension.ANGLE)
    if quantity.dimension is Dimension.TORQUE:
        raise TorqueError(
            f'after "+" comes a further angle, and "{text}" is a torque; write passes as a list: [30 N·m, {text}].',
            path,
        )
    return angle_to_turn(text, path)


_ROUND = ("while", "order", "only", "repeat")
_MEMBERS = ("order", "only")
_KEYS: dict[str, tuple[str, ...]] = {
    "to": _ROUND,
    "turn": _ROUND,
    "back-off": _MEMBERS,
    "slacken": _MEMBERS,
    "align": ("by",),
    "expect": (),
    "by-hand": (),
}
"""What a stage in braces may say: the key that makes the stage, and the keys that may stand beside it."""


def _from_map(value: Mapping[object, object], path: Path) -> Stage:
    kind = _kind(value, path)
    for key in value:
        if key != kind and key not in _KEYS[kind]:
            fitting = _KEYS[kind]
            beside = f"beside {kind} may stand {either(fitting)}" if fitting else f"nothing may stand beside {kind}"
            raise TorqueError(f"{excerpt(str(key))} does not go with {kind}; {beside}.", (*path, str(key)), at_key=True)
    return _READERS[kind](_Reader(value, path))


def _kind(value: Mapping[object, object], path: Path) -> str:
    """The one key that says what is done."""
    known = {*_KEYS, *_ROUND, *_MEMBERS, "by"}
    for key in value:
        if key not in known:
            near = near_names(str(key), sorted(known))
            advice = f"did you mean {either(near)}?" if near else f"a stage is made by {either(_KEYS)}."
            raise TorqueError(
                f"{excerpt(str(key))} says nothing about a stage; {advice}", (*path, str(key)), at_key=True
            )
    kinds = [str(key) for key in value if key in _KEYS]
    if not kinds:
        raise TorqueError(f"the stage does not say what is done; it needs {either(_KEYS)}.", path)
    if len(kinds) > 1:
        raise TorqueError(
            f"one stage does one thing, and this one has {kinds[0]} and {kinds[1]}; make two stages of it.",
            (*path, kinds[1]),
            at_key=True,
        )
    return kinds[0]


@dataclass(frozen=True, slots=True)
class _Reader:
    """Takes the values out of one stage in braces."""

    stage: Mapping[object, object]
    path: Path

    def target(self, key: str) -> Quantity:
        return target_torque(self.stage[key], (*self.path, key))

    def angle(self, key: str) -> Quantity:
        return angle_to_turn(self.stage[key], (*self.path, key))

    def reading(self, key: str) -> Quantity:
        path = (*self.path, key)
        quantity = figure(self.stage[key], None, path, missing=Dimension.TORQUE)
        if quantity.dimension is not Dimension.ANGLE:
            quantity = figure(self.stage[key], Dimension.TORQUE, path)
        return more_than_nothing(quantity, path)

    def words(self, key: str, example: str) -> str:
        text = self.stage.get(key, "")
        if key in self.stage and (not isinstance(text, str) or not text.strip()):
            raise TorqueError(f'words are needed here, as in "{example}".', (*self.path, key))
        return " ".join(str(text).split())

    def order(self) -> Order:
        return self.choice("order", Order, Order.TIGHTENING)

    def choice(self, key: str, choices: type[_Choice], default: _Choice) -> _Choice:
        given = self.stage.get(key, default)
        for choice in choices:
            if given == choice.value:
                return choice
        raise TorqueError(f"{key} is {either(choices)}, not {_told(given)}.", (*self.path, key))

    def only(self) -> tuple[int, ...]:
        given = self.stage.get("only", ())
        numbers = given if isinstance(given, Sequence) and not isinstance(given, str) else [given]
        path: Path = (*self.path, "only")
        if "only" in self.stage and not numbers:
            raise TorqueError("the list names no fastener; leave it out if all are meant.", path)
        read = tuple(_counting_number(number, path) for number in numbers)
        if len(set(read)) < len(read):
            raise TorqueError("a number of the tightening order stands here twice.", path)
        return read

    def repeat(self) -> int:
        return _counting_number(self.stage.get("repeat", 1), (*self.path, "repeat"))


def _counting_number(value: object, path: Path) -> int:
    text = str(value) if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if not re.fullmatch("[1-9][0-9]{0,2}", text):
        raise TorqueError(f"a number from 1 is needed here, not {_told(value)}.", path)
    return int(text)


def _told(value: object) -> str:
    """What the author wrote, for a message; lists and maps, which may be deep, by their kind only."""
    return excerpt(str(value)) if isinstance(value, str | int | float) else "a list or a map"


def _slacken(stage: _Reader) -> Slacken:
    if stage.stage["slacken"] != "fully":
        raise TorqueError(
            f"{_told(stage.stage['slacken'])} is not how to slacken; write {{slacken: fully}}, "
            "or {back-off: 90°} for an angle.",
            (*stage.path, "slacken"),
        )
    return Slacken(order=stage.order(), only=stage.only())


def _while(stage: _Reader) -> str:
    return stage.words("while", "turning the hub")


_READERS: dict[str, Callable[[_Reader], Stage]] = {
    "to": lambda stage: To(
        quantity=stage.target("to"),
        while_doing=_while(stage),
        order=stage.order(),
        only=stage.only(),
        repeat=stage.repeat(),
    ),
    "turn": lambda stage: Turn(
        angle=stage.angle("turn"),
        while_doing=_while(stage),
        order=stage.order(),
        only=stage.only(),
        repeat=stage.repeat(),
    ),
    "back-off": lambda stage: BackOff(angle=stage.angle("back-off"), order=stage.order(), only=stage.only()),
    "slacken": _slacken,
    "align": lambda stage: Align(
        what=stage.words("align", "split pin"), by=stage.choice("by", AlignBy, AlignBy.TIGHTENING)
    ),
    "expect": lambda stage: Expect(quantity=stage.reading("expect")),
    "by-hand": lambda stage: ByHand(text=stage.words("by-hand", "Finger tight, then a quarter turn")),
}
