"""The state before every step of one way through: for folds, pause sheets and close-out lists."""

from collections.abc import Mapping
from dataclasses import dataclass

from procgen.library.items import Aid, Check, Component, Energy, Fastener, Fluid, Line, MachineCondition
from procgen.library.machine import Never
from procgen.library.origin import ItemId
from procgen.plan.cases import ALL, NONE
from procgen.plan.choices import Choices
from procgen.plan.course import Course
from procgen.plan.steps import Plan
from procgen.plan.structure import structure_of
from procgen.plan.world import World


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """What is not in service at one moment, each kind in the order in which the machine declares it."""

    reached: bool
    """Whether the step that comes next is done at all in this way through; at the end, whether the end is reached."""
    off: tuple[ItemId, ...]
    """Components, those that came off with what carries them included."""
    loose: tuple[ItemId, ...]
    parted: tuple[ItemId, ...]
    drained: tuple[ItemId, ...]
    isolated: tuple[ItemId, ...]
    released: tuple[ItemId, ...]
    placed: tuple[ItemId, ...]
    """Aids that are in."""
    true: tuple[ItemId, ...]
    """Conditions that hold."""
    checked: tuple[ItemId, ...]
    """Checks that have been done and still count."""
    armed: tuple[Never, ...]
    """Rules that forbid something in this state."""

    @property
    def is_quiet(self) -> bool:
        """Whether everything is in service."""
        return not (self.off or self.loose or self.parted or self.drained or self.isolated or self.placed)


def complete(plan: Plan, assignment: Mapping[str, bool | str]) -> dict[str, bool | str]:
    """The assignment with a value for every choice: an option's default, the first variant, a good outcome."""
    options = plan.procedure.options
    usual = {name: options[name].default if name in options else values[0] for name, values in plan.choices.items()}
    return {**usual, **assignment}


def snapshots(plan: Plan, assignment: Mapping[str, bool | str]) -> tuple[Snapshot, ...]:
    """For each planned step, in order, the state before it; last the state at the end.

    `assignment` may leave choices out; see `complete`. A step that is not done has the state in which it is passed by.
    """
    structure = structure_of(plan.machine)
    course = Course(structure, {}, Choices(plan.choices), fixed=complete(plan, assignment))
    course.begin(plan.procedure)
    found: list[Snapshot] = []
    seen = -1
    for planned in plan.steps:
        reached = course.reach(planned.when, planned.branch_of) is not NONE
        if course.world.changes == seen and found[-1].reached is reached:
            found.append(found[-1])  # most steps change nothing
        else:
            found.append(_snapshot(course.world, reached=reached))
        seen = course.world.changes
        course.take(planned)
    return (*found, _snapshot(course.world, reached=course.possible is not NONE))


def _snapshot(world: World, *, reached: bool) -> Snapshot:
    structure = world.structure
    disturbed = {name for name in world.touched() if world.disturbed(name) is ALL}
    in_order = sorted(disturbed, key=structure.place_of)

    def of(kind: type) -> tuple[ItemId, ...]:
        return tuple(ItemId(name) for name in in_order if isinstance(structure.items[name], kind))

    energies = of(Energy)
    supplied = {energy.id for energy in structure.every(Energy) if energy.is_supplied}
    return Snapshot(
        reached=reached,
        off=of(Component),
        loose=of(Fastener),
        parted=of(Line),
        drained=of(Fluid),
        isolated=tuple(energy for energy in energies if energy in supplied),
        released=tuple(energy for energy in energies if energy not in supplied),
        placed=of(Aid),
        true=of(MachineCondition),
        checked=of(Check),
        armed=tuple(rule for rule in structure.rules if isinstance(rule, Never) and _is_armed(rule, disturbed)),
    )


def _is_armed(rule: Never, disturbed: set[str]) -> bool:
    during = all((state.item in disturbed) is state.disturbed for state in rule.while_)
    lifted = any((state.item in disturbed) is state.disturbed for state in rule.unless)
    return during and not lifted
