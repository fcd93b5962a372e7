"""Where the fasteners of a joint sit and in which order they are tightened: the author's pattern as a pattern."""

from procgen.fasteners import pattern as shapes
from procgen.fasteners.pattern import PatternError
from procgen.library.items import Component, Fastener, Layout, Pattern
from procgen.library.machine import Machine
from procgen.library.procedure import Step

__all__ = ["PatternError", "loosened_in_reverse", "positions", "positions_of"]


def positions(pattern: Pattern) -> shapes.Pattern:
    """The places of the fasteners and their order: the author's own, or the one that brings the joint down level.

    Raises PatternError where the author's places or order cannot be followed.
    """
    found = _laid_out(pattern)
    return found.with_order(pattern.order) if pattern.order else found


def _laid_out(pattern: Pattern) -> shapes.Pattern:
    match pattern.layout:
        case Layout.CIRCLE:
            return shapes.circle(pattern.columns)
        case Layout.GRID | Layout.ROW:
            return shapes.grid(pattern.rows, pattern.columns)
        case Layout.POINTS:
            return shapes.free_points(pattern.points)


def positions_of(fastener: Fastener) -> shapes.Pattern | None:
    """The positions of a fastener's pattern; None where it has none, or one that `tightening-order` refuses."""
    if fastener.pattern is None:
        return None
    try:
        return positions(fastener.pattern)
    except PatternError:
        return None


def loosened_in_reverse(fastener: Fastener, step: Step, machine: Machine) -> bool:
    """Whether a step that loosens `fastener` lets go last what was tightened first: as it, or what it holds, asks."""
    held = (machine.items.get(name) for name in machine.held.get(fastener.id, ()))
    return step.reverse_order or any(isinstance(item, Component) and item.loosen_in_reverse for item in held)
