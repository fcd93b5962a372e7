"""The one walk through planned steps. The planner, the proof, the snapshots and the jobs all walk with it.

States are tables over the ways through (cases.py), so one walk covers them all; with the choices fixed it follows a
single one.

What a step does, in this order: its notices warn, its new parts are in hand, its actions follow each other as listed,
what it `sets` becomes true, and it goes back where it says so. An action that finds its item already in the state that
it leads to changes nothing.

A step that goes back is followed round: the steps from there on are walked a second time, with every outcome on the way
accepted. A third time could find nothing that the second did not, since the state at the jump is the same each time.
Where the jump does not find the state that was there before, the walk of that case ends.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from procgen.library.catalogue import Notice
from procgen.library.condition import Condition, holds
from procgen.library.items import Aid, Component, Energy, Fastener, Fluid, Line
from procgen.library.machine import Procedure
from procgen.library.procedure import Action
from procgen.library.state import RESTORES
from procgen.plan.cases import ALL, NONE, Cases
from procgen.plan.choices import Choices
from procgen.plan.effects import seal, warned
from procgen.plan.steps import PlannedStep
from procgen.plan.structure import Structure
from procgen.plan.world import World


@dataclass(frozen=True, slots=True)
class Written:
    """A step that made a fact true or false."""

    fact: str
    step: int
    """Index of the planned step."""
    value: bool
    where: Cases


class Watcher(Protocol):
    """Who looks on while a course is walked: at the state before each thing is done, and where it is done."""

    def step(self, index: int, planned: PlannedStep, where: Cases) -> None:
        """A step begins; its notices and new parts count already."""

    def action(self, index: int, action: Action, where: Cases) -> None:
        """An action of the step is about to be done, in `where`, which leaves out where it changes nothing."""

    def wrote(self, fact: str, where: Cases) -> None:
        """A fact has been made true or false."""

    def went_back(self, index: int, changed: Mapping[str, Cases], lost: Cases) -> None:
        """A step goes back: the items whose states are not what they were there, and where it leads round for ever."""


class Course:
    """A walk through planned steps, from the state in which a procedure starts."""

    def __init__(
        self,
        structure: Structure,
        notices: Mapping[str, Notice],
        choices: Choices,
        watcher: Watcher | None = None,
        fixed: Mapping[str, bool | str] | None = None,
    ) -> None:
        """`fixed` gives a value to every choice: the walk then follows that one way only."""
        self.world = World(structure)
        self.steps: list[PlannedStep] = []
        self.walked: list[Cases] = []
        """For each step where it is done."""
        self.written: dict[str, list[Written]] = {}
        """For each fact the steps that changed it, in order, second rounds included."""
        self.possible: Cases = ALL
        """The ways through that there are: `only-for`, less those whose walk has ended."""
        self._notices = notices
        self._choices = choices
        self._watcher = watcher
        self._fixed = fixed
        self._skipping: list[tuple[str, Cases]] = []
        self._arrivals: dict[str, tuple[int, dict[str, Cases]]] = {}
        self._branch_of: dict[str, str | None] = {}

    def begin(self, procedure: Procedure) -> None:
        """Start where the procedure says that it starts."""
        self.possible = self._under(procedure.only_for)
        for state in procedure.starts_with:
            self.world.put(state.item, state.disturbed, ALL)
        self._warn(procedure.notices, ALL)

    def reach(self, when: Condition, branch_of: str | None) -> Cases:
        """Where a step that comes next is done, if it has that path condition and lies in that step's branch."""
        where = self._under(when) & self.possible
        for owner, cases in self._skipping:
            if owner in self._owners(branch_of):
                where = where - cases
        return where

    def take(self, planned: PlannedStep) -> None:
        """Walk the next step."""
        index = len(self.steps)
        self._branch_of[planned.key] = planned.branch_of
        where = self.reach(planned.when, planned.branch_of)
        self.steps.append(planned)
        self.walked.append(where)
        self._arrivals[planned.key] = (index, dict(self.world.facts))
        self._do(index, planned, where)
        if planned.go_back_to and where is not NONE:
            self._go_back(index, planned, where)

    def amend(self, planned: PlannedStep, sets: Iterable[str]) -> None:
        """Put a fuller version of the last step in its place; `sets` is what it sets that it did not set before."""
        index = len(self.steps) - 1
        goes_back = planned.go_back_to and not self.steps[index].go_back_to
        self.steps[index] = planned
        for condition in sets:
            self._write(index, condition, True, self.walked[index])
        if goes_back and self.walked[index] is not NONE:
            self._go_back(index, planned, self.walked[index])

    def _under(self, condition: Condition, accepted: Iterable[str] = ()) -> Cases:
        if self._fixed is not None:
            return ALL if holds(condition, {**self._fixed, **dict.fromkeys(accepted, True)}) else NONE
        where = self._choices.cases(condition)
        for outcome in accepted:
            where = self._choices.settle(where, outcome, True)
        return where

    def _owners(self, branch_of: str | None) -> Iterable[str]:
        """That step, and those in whose branches it lies, the innermost first."""
        while branch_of:
            yield branch_of
            branch_of = self._branch_of.get(branch_of)

    def _do(self, index: int, planned: PlannedStep, where: Cases) -> None:
        if where is NONE:
            return
        step = planned.step
        self._warn(step.notices, where)
        self._renew(planned, where)
        if self._watcher:
            self._watcher.step(index, planned, where)
        for action in planned.actions:
            acting = where - self.world.already(action)
            if self._watcher:
                self._watcher.action(index, action, where)
            for fact, value in self.world.effects(action) if acting is not NONE else ():
                self._write(index, fact, value, acting)
        for condition in step.sets:
            self._write(index, condition, True, where)

    def _write(self, index: int, fact: str, value: bool, where: Cases) -> None:
        self.world.put(fact, value, where)
        self.written.setdefault(fact, []).append(Written(fact, index, value, where))
        if self._watcher:
            self._watcher.wrote(fact, where)

    def _warn(self, notices: Iterable[str], where: Cases) -> None:
        for name in notices:
            notice = self._notices.get(name)
            for kind in sorted(notice.kinds) if notice else ():
                self.world.put(warned(kind), True, where)

    def _renew(self, planned: PlannedStep, where: Cases) -> None:
        """New single-use parts: for what this step puts back, else for all that get such a part."""
        if not planned.step.new:
            return
        back = {action.item for action in planned.actions if action.verb in RESTORES}
        for part in planned.step.new:
            getting = self.world.structure.renewing(part)
            here = [item for item in getting if item in back]
            for item in here or getting:
                self.world.put(seal(item, part), False, where)

    def _go_back(self, index: int, planned: PlannedStep, where: Cases) -> None:
        """Compare with the state at the first arrival, then walk round once more."""
        first, then = self._arrivals[planned.go_back_to or ""]
        accepted = [step.outcome for step in self.steps[first : index + 1] if step.outcome]
        lost = (where - self.walked[first]) | (where & self._under(planned.when, accepted))
        changed = {}
        for fact in dict.fromkeys((*then, *self.world.facts)) if lost is not where else ():
            now, before = self.world.own(fact), then.get(fact, NONE)
            if now != before and self._is_equipment(fact):
                differs = ((now - before) | (before - now)) & (where - lost)
                if differs is not NONE:
                    changed[fact] = differs
        if self._watcher:
            self._watcher.went_back(index, changed, lost)
        for ended in (lost, *changed.values()):
            self.possible = self.possible - ended
            where = where - ended
        owner = [key for key in self._owners(planned.branch_of) if self._index(key) >= first]
        if owner:
            self._skipping.append((owner[-1], where))
        for again in range(first, index + 1):
            step = self.steps[again]
            self._do(again, step, self._under(step.when, accepted) & where)

    def _index(self, key: str) -> int:
        return next(index for index, step in enumerate(self.steps) if step.key == key)

    def _is_equipment(self, fact: str) -> bool:
        """Whether a fact is a state that must be the same whenever a loop begins."""
        item = self.world.structure.items.get(fact)
        return isinstance(item, (Component, Fastener, Line, Fluid, Aid)) or (
            isinstance(item, Energy) and item.is_supplied
        )
