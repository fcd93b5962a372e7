"""The work at rest: in which state it is left before a step, what hangs in which bag, and where it rests well.

Weeks may pass while a part is on order, and another may go on with the work.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from procgen.library.items import Component
from procgen.library.library import Library
from procgen.library.origin import ItemId
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.no_return import NeededPart, points_of_no_return
from procgen.plan.snapshots import Snapshot, snapshots
from procgen.plan.steps import Group, Plan, PlannedStep
from procgen.plan.structure import Structure, structure_of

LONG_WAIT_MINUTES = 60.0
"""From a wait of this length on, the work rests. Ours; no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """What came off together and is kept together."""

    component: ItemId
    """A component that is off."""
    fasteners: tuple[ItemId, ...]
    """What held it."""
    step: str
    """Key of the step that took it off; its number is written on the bag."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """The state in which the work is left."""

    next: PlannedStep | None
    """The step that comes next; None when all is done."""
    state: Snapshot
    """What is off, loose, parted, drained, isolated, in; `armed` are the rules that forbid something now."""
    bags: tuple[Bag, ...]
    """In the order in which things came off."""


class Rest(StrEnum):
    """Why the work rests well there."""

    PARTS = "parts"
    """After it, it could not be put back without parts that may not have come."""
    OPEN = "open"
    """All is open that will be opened: from here on things go back."""
    WAIT = "wait"
    """It has to wait anyway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A natural stop."""

    step: str
    """Key of the step before which the work rests."""
    rest: Rest


def pauses(plan: Plan, assignment: Mapping[str, bool | str] | None = None) -> tuple[Pause, ...]:
    """How the work stands before each step, and last at the end.

    assignment: the choices made and the outcomes so far; what it leaves out is as usual (see snapshots.complete).
    """
    found = []
    structure = structure_of(plan.machine)
    off_by: dict[ItemId, str] = {}
    states = snapshots(plan, assignment or {})
    bags: tuple[Bag, ...] | None = None
    for index, state in enumerate(states):
        following = plan.steps[index] if index < len(plan.steps) else None
        if bags is None or state is not states[index - 1]:
            bags = tuple(_bags(state, off_by, structure))
        found.append(Pause(next=following, state=state, bags=bags))
        if following and state.reached:
            for action in following.actions:
                if action.verb is Verb.REMOVE:
                    off_by.pop(action.item, None)
                    off_by[action.item] = following.key
                    bags = None
    return tuple(found)


def _bags(state: Snapshot, off_by: Mapping[ItemId, str], structure: Structure) -> Iterator[Bag]:
    for component, step in off_by.items():
        if component in state.off and isinstance(structure.items.get(component), Component):
            fasteners = tuple(each for each in structure.held_by(component) if each in state.loose)
            yield Bag(component=component, fasteners=fasteners, step=step)


def natural_stops(plan: Plan, library: Library, rests: Sequence[Pause]) -> tuple[Stop, ...]:
    """Where the work rests well, in the order of the steps; never in a branch, in a loop, or half-way through a change.

    Before parts are needed that cannot be done without, before things begin to go back, and after a long wait.

    rests: the pauses of the plan, done as usual.
    """
    found: dict[int, Rest] = {}
    places = {planned.key: index for index, planned in enumerate(plan.steps)}
    for point in points_of_no_return(plan, library):
        if any(_is_awaited(part, library) for part in point.parts):
            found.setdefault(_start_of_change(plan, places[point.step]), Rest.PARTS)
    for index, planned in enumerate(plan.steps):
        if planned.step.wait and planned.step.wait.minutes >= LONG_WAIT_MINUTES and index + 1 < len(plan.steps):
            found.setdefault(_start_of_change(plan, index + 1), Rest.WAIT)
    deepest = _deepest(plan, rests)
    if deepest is not None:
        found.setdefault(_start_of_change(plan, deepest), Rest.OPEN)
    inside = _in_loops(plan)
    first = next((index for index, each in enumerate(plan.steps) if _disturbs(each)), len(plan.steps))
    return tuple(
        Stop(step=plan.steps[index].key, rest=rest)
        for index, rest in sorted(found.items())
        if index > first and index not in inside and plan.steps[index].branch_of is None
    )


def _is_awaited(needed: NeededPart, library: Library) -> bool:
    """Whether nothing goes back without a part that has to be ordered."""
    part = library.parts.get(needed.need.part)
    return needed.need.is_certain and not needed.old_may_go_back and part is not None and part.lead_days is not None


def _start_of_change(plan: Plan, index: int) -> int:
    """The first step of the component's own steps, or of the branch, in which a step lies."""
    change = _change(plan.steps[index])
    while index and (
        plan.steps[index].branch_of is not None or (change is not None and _change(plan.steps[index - 1]) == change)
    ):
        index -= 1
        change = change or _change(plan.steps[index])
    return index


def _change(planned: PlannedStep) -> Group | None:
    inner = planned.groups[-1] if planned.groups else None
    return inner if inner and inner.verb in (Verb.REMOVE, Verb.FIT) else None


def _deepest(plan: Plan, rests: Sequence[Pause]) -> int | None:
    """The first step that puts something back after more was off, parted and drained than ever before or after."""
    states = [rest.state for rest in rests if rest.next]
    depth = [len(state.off) + len(state.parted) + len(state.drained) for state in states]
    most = max(depth, default=0)
    if most == 0:
        return None
    last = max(index for index, each in enumerate(depth) if each == most)
    return next((index for index in range(last, len(plan.steps)) if _restores(plan.steps[index])), None)


def _restores(planned: PlannedStep) -> bool:
    return planned.branch_of is None and any(action.verb in RESTORES for action in planned.actions)


def _disturbs(planned: PlannedStep) -> bool:
    kinds = DISTURBS.keys() - {Verb.ISOLATE, Verb.RELEASE, Verb.PLACE}
    return any(action.verb in kinds for action in planned.actions)


def _in_loops(plan: Plan) -> set[int]:
    """Indices of the steps in the middle of a loop."""
    places = {planned.key: index for index, planned in enumerate(plan.steps)}
    return {
        inner
        for index, planned in enumerate(plan.steps)
        if planned.go_back_to
        for inner in range(places[planned.go_back_to] + 1, index + 1)
    }
