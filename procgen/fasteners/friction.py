"""How slippery a joint may be, from what the author says about its threads.

Ranges, not values: the same bolt at the same torque is stretched by half as much again
when it is oiled. Friction in the thread and under the head is taken as equal.
"""

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

_CLASSES = "friction classes of VDI 2230 part 1"  # read on amesweb.info and scribd 398405909


class ThreadCondition(StrEnum):
    """What is on the threads when they are tightened."""

    DRY = "dry"
    OILED = "oiled"
    GREASED = "greased"
    LOCKING_COMPOUND = "locking compound"
    SEALANT = "sealant"
    UNKNOWN = "unknown"
    """Nothing is said: anything that happens in a workshop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrictionRange:
    """Least and greatest coefficient of friction that may be met."""

    low: float
    high: float
    source: str


def _range(low: float, high: float, source: str) -> FrictionRange:
    return FrictionRange(low=low, high=high, source=source)


_STEEL = MappingProxyType(
    {
        ThreadCondition.DRY: _range(0.14, 0.24, f"class C, bare or plated, nothing added; {_CLASSES}"),
        ThreadCondition.OILED: _range(0.08, 0.16, f"class B, oils; {_CLASSES}"),
        ThreadCondition.GREASED: _range(
            0.08, 0.16, f"class B, greases (molybdenum and copper pastes may be lower); {_CLASSES}"
        ),
        ThreadCondition.LOCKING_COMPOUND: _range(
            0.10, 0.24, f"class C, adhesive, and lower since wet compound lubricates "
            f"(common practice, no source); {_CLASSES}",
        ),
        ThreadCondition.SEALANT: _range(
            0.08, 0.24, "between oil and nothing: common practice, no source"
        ),
        ThreadCondition.UNKNOWN: _range(0.08, 0.24, f"classes B and C together; {_CLASSES}"),
    }
)  # fmt: skip

# Stainless on stainless rubs harder and seizes. Class E (dry) has no upper end in the
# standard; 0.40 is common practice, no source.
_AUSTENITIC = MappingProxyType(
    {
        ThreadCondition.DRY: _range(0.20, 0.40, f"austenitic, classes D and E; {_CLASSES}"),
        ThreadCondition.OILED: _range(0.20, 0.35, f"austenitic, class D, oil; {_CLASSES}"),
        ThreadCondition.GREASED: _range(0.08, 0.24, f"austenitic, classes B and C, pastes; {_CLASSES}"),
        ThreadCondition.LOCKING_COMPOUND: _range(
            0.10, 0.35, "austenitic: common practice, no source"
        ),
        ThreadCondition.SEALANT: _range(0.10, 0.35, "austenitic: common practice, no source"),
        ThreadCondition.UNKNOWN: _range(0.08, 0.40, f"austenitic, classes B to E; {_CLASSES}"),
    }
)  # fmt: skip


def friction_range(condition: ThreadCondition, *, austenitic: bool = False) -> FrictionRange:
    """The friction to be reckoned with; unknown is as wide as all the others together."""
    return (_AUSTENITIC if austenitic else _STEEL)[condition]
