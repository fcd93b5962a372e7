"""The stages by which a fastener is brought to its figure: values only."""

from dataclasses import dataclass
from enum import StrEnum

from procgen.measure.quantity import Quantity


class Order(StrEnum):
    """In which order the fasteners of a joint are gone round."""

    TIGHTENING = "tightening"
    """As they are numbered."""
    REVERSE = "reverse"
    """From the last number to the first: how a joint is slackened."""


class AlignBy(StrEnum):
    """Which way a nut may be turned to bring a hole into line."""

    TIGHTENING = "tightening"
    LOOSENING = "loosening"


@dataclass(frozen=True, slots=True, kw_only=True)
class To:
    """Tighten to a torque."""

    quantity: Quantity
    """A single figure, a range or a tolerance; never open at an end."""
    while_doing: str = ""
    """What goes on meanwhile: "turning the hub"."""
    order: Order = Order.TIGHTENING
    only: tuple[int, ...] = ()
    """Numbers of the tightening order, from 1; () is all of them."""
    repeat: int = 1
    """How many times in all the round is made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Turn further by an angle."""

    angle: Quantity
    while_doing: str = ""
    order: Order = Order.TIGHTENING
    only: tuple[int, ...] = ()
    repeat: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BackOff:
    """Turn back by an angle."""

    angle: Quantity
    order: Order = Order.TIGHTENING
    only: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Slacken:
    """Slacken until no load is left."""

    order: Order = Order.TIGHTENING
    only: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Align:
    """Bring a hole into line for a locking part."""

    what: str
    """The locking part: "split pin"."""
    by: AlignBy


@dataclass(frozen=True, slots=True, kw_only=True)
class Expect:
    """A reading that must be found: on the wrench at the end, or the sum of the angles."""

    quantity: Quantity
    """A torque, or an angle for the sum of all turns so far."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """No wrench: what to do in words."""

    text: str


Stage = To | Turn | BackOff | Slacken | Align | Expect | ByHand
