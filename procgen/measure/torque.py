"""A torque: how a fastener is brought to its figure, in passes, further angles and back-offs.

The stages are in stages.py, their notation in torque_notation.py, their wording in torque_text.py.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from procgen.measure.stages import Align, AlignBy, BackOff, ByHand, Expect, Order, Slacken, Stage, To, Turn
from procgen.measure.torque_figures import TorqueError
from procgen.measure.torque_notation import read_stages

__all__ = [
    "Align",
    "AlignBy",
    "BackOff",
    "ByHand",
    "Expect",
    "Order",
    "Slacken",
    "Stage",
    "To",
    "Torque",
    "TorqueError",
    "Turn",
    "parse_torque",
]


@dataclass(frozen=True, slots=True)
class Torque:
    """All stages of a tightening, in order; at least one."""

    stages: tuple[Stage, ...]
    text: str
    """As the author wrote it, on one line."""

    @property
    def torque_stages(self) -> tuple[To, ...]:
        """The stages that a torque wrench is set for."""
        return tuple(stage for stage in self.stages if isinstance(stage, To))

    @property
    def final_nm(self) -> tuple[float, float] | None:
        """Least and most of the last torque stage, in N·m; None where no stage gives a torque."""
        for stage in reversed(self.torque_stages):
            low, high = stage.quantity.limits_in("N·m")
            if low is not None and high is not None:
                return low, high
        return None

    @property
    def has_angle(self) -> bool:
        """Whether a stage turns further by an angle, so that the last torque is not the final load."""
        return any(isinstance(stage, Turn) for stage in self.stages)

    @property
    def is_by_hand(self) -> bool:
        """Whether no stage needs a wrench that measures."""
        return all(isinstance(stage, ByHand) for stage in self.stages)

    def __str__(self) -> str:
        return self.text


def parse_torque(value: object) -> Torque:
    """Read a torque as it stands in YAML: text, a list, or a map.

    Raises TorqueError, whose `path` and `at_key` say which part of the value is at fault.
    """
    stages = read_stages(value, ())
    if isinstance(stages[0], Turn | Align):
        at = (0,) if isinstance(value, Sequence) and not isinstance(value, str) else ()
        raise TorqueError(
            "nothing says from which load the first stage starts; begin with a torque, "
            'as in "30 N·m + 90°", or with {by-hand: …}.',
            at,
        )
    return Torque(tuple(stages), _on_one_line(value))


def _on_one_line(value: object) -> str:
    match value:
        case Mapping():
            return f"{{{', '.join(f'{key}: {_on_one_line(part)}' for key, part in value.items())}}}"
        case str():
            return " ".join(value.split())
        case Sequence():
            return f"[{', '.join(map(_on_one_line, value))}]"
        case _:
            return str(value)
