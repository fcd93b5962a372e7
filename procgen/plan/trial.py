"""Tries steps out: whether, from a state, some steps can be done with every guard held.

The walk is the one of course.py, the guards are those of guards.py. What is tried here leaves no trace: a state goes in
and another comes out.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from procgen.library.catalogue import Notice
from procgen.library.machine import Procedure
from procgen.library.origin import ItemId
from procgen.library.procedure import Action
from procgen.library.state import Verb
from procgen.plan.cases import NONE, Cases
from procgen.plan.choices import Choices
from procgen.plan.course import Course
from procgen.plan.guards import Fault, Guard, at_the_end, guards, need, sense
from procgen.plan.steps import PlannedStep
from procgen.plan.structure import Structure
from procgen.plan.world import World


@dataclass(frozen=True, slots=True)
class Situation:
    """The state of everything between two steps."""

    facts: Mapping[str, Cases]
    possible: Cases
    """The ways through that have come here."""


@dataclass(frozen=True, slots=True)
class Failure:
    """A guard that does not hold."""

    guard: Guard
    step: str
    """Key of the step; empty at the end."""

    @property
    def name(self) -> tuple[str, str, str]:
        """What makes it the same failure in another order of the same steps."""
        return str(self.guard.fault), self.guard.of, self.step

    @property
    def names(self) -> tuple[str, ...]:
        """Everything that it is about."""
        return (self.guard.of, self.guard.item, *(want.fact for want in self.guard.wants))


@dataclass(slots=True)
class Trial:
    """Steps tried out on one machine."""

    structure: Structure
    notices: Mapping[str, Notice]
    choices: Choices
    _guards: dict[tuple[Verb, ItemId], tuple[Guard, ...]] = field(default_factory=dict)
    _world: World = field(init=False)

    def __post_init__(self) -> None:
        self._world = World(self.structure)

    def begin(self, procedure: Procedure) -> Situation:
        """Where a procedure starts."""
        course = Course(self.structure, self.notices, self.choices)
        course.begin(procedure)
        return Situation(course.world.facts, course.possible)

    def walk(self, situation: Situation, steps: Iterable[PlannedStep]) -> tuple[Situation, tuple[Failure, ...]]:
        """The state after the steps, and the guards that fail on the way.

        Branches stand with the step that they belong to, and loops lie within the steps.
        """
        self._world.facts = dict(situation.facts)
        watch = _Watch(self._world, self.choices, self._guards, situation.possible)
        course = Course(self.structure, self.notices, self.choices, watch)
        course.world, course.possible = self._world, situation.possible
        for planned in steps:
            course.take(planned)
        return Situation(self._world.facts, course.possible), tuple(watch.failures)

    def ending(self, situation: Situation) -> tuple[Failure, ...]:
        """What is not as it must be when all is done."""
        self._world.facts = dict(situation.facts)
        return tuple(
            Failure(guard, "")
            for guard in at_the_end(self.structure, situation.facts)
            if self._world.lacking(guard.wants, situation.possible) is not NONE
        )

    def disturbed(self, situation: Situation, item: str) -> Cases:
        """Where an item is disturbed."""
        self._world.facts = dict(situation.facts)
        return self._world.disturbed(item)


class _Watch:
    """Looks on while steps are walked, and notes what fails."""

    def __init__(
        self,
        world: World,
        choices: Choices,
        known: dict[tuple[Verb, ItemId], tuple[Guard, ...]],
        possible: Cases,
    ) -> None:
        self.world = world
        self.choices = choices
        self.known = known
        self.possible = possible
        self.failures: list[Failure] = []
        self.key = ""

    def step(self, _index: int, planned: PlannedStep, where: Cases) -> None:
        """A step begins."""
        self.key = planned.key
        for state in planned.step.needs:
            self._test(need(state), where)
        for assumed in planned.assumes:
            self._test(need(assumed.state), self.choices.cases(assumed.when) & self.possible)

    def action(self, _index: int, action: Action, where: Cases) -> None:
        """An action is about to be done."""
        for guard in sense(action.verb, action.item):
            self._test(guard, where)
        doing = action.verb, action.item
        known = self.known.get(doing)
        if known is None:
            known = self.known[doing] = guards(self.world.structure, *doing)
        acting = where - self.world.already(action)
        for guard in known:
            self._test(guard, acting)

    def wrote(self, fact: str, where: Cases) -> None:
        """Nothing is remembered of what has been said."""

    def went_back(self, _index: int, changed: Mapping[str, Cases], lost: Cases) -> None:
        """A step goes back."""
        for fact in changed:
            self.failures.append(Failure(Guard(fault=Fault.LOOP_CHANGES_STATE, wants=(), item=fact, of=fact), self.key))
        if lost is not NONE:
            self.failures.append(Failure(Guard(fault=Fault.LOOP_CHANGES_STATE, wants=(), item="", of=""), self.key))

    def _test(self, guard: Guard, where: Cases) -> None:
        if where is not NONE and self.world.lacking(guard.wants, where) is not NONE:
            self.failures.append(Failure(guard, self.key))
