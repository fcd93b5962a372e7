"""The points of no return: before which step which parts must lie on the bench.

For each part that a plan needs, it is the first step that disturbs what the part goes into. Before it, the work can be
left, or put back with what is there; after it, it waits for the part. Where no item tells where a part goes, it goes
into what came off last before the step that uses it; where nothing is off, that step is the point.
"""

from dataclasses import dataclass

from procgen.library.items import Fastener, Fluid
from procgen.library.library import Library
from procgen.library.origin import ItemId
from procgen.library.state import DISTURBS, Verb
from procgen.plan.effects import effects
from procgen.plan.needs import PartNeed, part_needs
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import Structure, structure_of


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededPart:
    """A part that must be there."""

    need: PartNeed
    old_may_go_back: bool
    """What comes off is not spent by coming off: the plan renews it, and at a pinch the old one goes back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoReturn:
    """A step before which parts must be on the bench."""

    step: str
    """Its key. It may lie in a branch, where its parts are needed in that branch only."""
    parts: tuple[NeededPart, ...]


def points_of_no_return(plan: Plan, library: Library) -> tuple[NoReturn, ...]:
    """The points of no return, in the order of the steps. Consumables count where they fill a drained fluid."""
    structure = structure_of(plan.machine, library, plan.procedure.implied_items)
    first = _first_disturbed(plan, structure)
    found: dict[int, list[NeededPart]] = {}
    places = {planned.key: index for index, planned in enumerate(plan.steps)}
    for need in part_needs(plan, library):
        fills = any(isinstance(structure.items.get(item), Fluid) for item in need.items)
        part = library.parts.get(need.part)
        if (part is not None and part.consumable) and not fills:
            continue
        touched = [first[item] for item in need.items if item in first]
        where = min(touched) if touched else _last_off(plan, places[need.steps[0]])
        found.setdefault(where, []).append(NeededPart(need=need, old_may_go_back=not _is_spent(need, structure)))
    return tuple(NoReturn(step=plan.steps[index].key, parts=tuple(found[index])) for index in sorted(found))


def _first_disturbed(plan: Plan, structure: Structure) -> dict[ItemId, int]:
    """For each item the index of the first step that disturbs it, by itself or with what carries or holds it."""
    first: dict[ItemId, int] = {}
    for index, planned in enumerate(plan.steps):
        for item in _disturbed(planned, structure):
            first.setdefault(item, index)
    return first


def _last_off(plan: Plan, index: int) -> int:
    """The step before that one which took off what came off last and has not gone back; that one where all is on."""
    off: dict[ItemId, int] = {}
    for before, planned in enumerate(plan.steps[:index]):
        for action in planned.actions:
            if action.verb is Verb.REMOVE:
                off[action.item] = before
            elif action.verb is Verb.FIT:
                off.pop(action.item, None)
    return max(off.values(), default=index)


def _disturbed(planned: PlannedStep, structure: Structure) -> tuple[ItemId, ...]:
    found: dict[ItemId, None] = {}
    for action in planned.actions:
        if action.verb in DISTURBS:
            changed = (ItemId(fact) for fact, value in effects(structure, action.verb, action.item) if value)
            found.update(dict.fromkeys(fact for fact in changed if fact in structure.items))
            found.update(dict.fromkeys(structure.riders(action.item)))
    return tuple(found)


def _is_spent(need: PartNeed, structure: Structure) -> bool:
    """Whether what comes off cannot go back: a seal, a single-use fastener, a fluid that ran out."""
    for item in need.items:
        record = structure.items.get(item)
        if need.part in structure.renewed_with(item) or isinstance(record, Fluid):
            return True
        if isinstance(record, Fastener) and not record.reusable:
            return True
    return need.part in structure.single_use
