"""The state before every step in every way through at once, as changes with conditions: for sheets that follow the
choices made at the bench. `snapshots.py` gives the whole state of one way.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.condition import Condition
from procgen.library.items import Check, Energy, Item, Spec
from procgen.library.machine import Never
from procgen.library.origin import ItemId
from procgen.plan.cases import ALL, NONE, Cases
from procgen.plan.choices import Choices
from procgen.plan.course import Course
from procgen.plan.steps import Plan
from procgen.plan.structure import structure_of
from procgen.plan.world import World


@dataclass(frozen=True, slots=True)
class ItemMoment:
    """From before a step on, until the next moment of the same item, it is disturbed exactly where `when` holds."""

    step: int
    """Index of the planned step; the number of steps for the end."""
    item: ItemId
    when: Condition


@dataclass(frozen=True, slots=True)
class RuleMoment:
    """From before a step on, until its next moment, a rule forbids its act exactly where `when` holds."""

    step: int
    rule: int
    """Index among the rules of the machine."""
    when: Condition


@dataclass(frozen=True, slots=True)
class Moments:
    """Every change of state in a plan."""

    items: tuple[ItemMoment, ...]
    rules: tuple[RuleMoment, ...]


def moments(plan: Plan) -> Moments:
    """What changes before which step, and in which ways through.

    A condition that depends on more choices than can be looked at holds always: rather shown once too often.
    """
    walk = _Walk(plan)
    for index, planned in enumerate(plan.steps):
        walk.look(index)
        walk.course.take(planned)
    walk.look(len(plan.steps))
    return Moments(tuple(walk.items), tuple(walk.rules))


class _Walk:
    def __init__(self, plan: Plan) -> None:
        self.structure = structure_of(plan.machine)
        self.choices = Choices(plan.choices)
        self.course = Course(self.structure, {}, self.choices)
        self.course.begin(plan.procedure)
        self.items: list[ItemMoment] = []
        self.rules: list[RuleMoment] = []
        self._shown: dict[object, Cases] = {}
        self._seen: tuple[int, Cases] | None = None

    @property
    def _world(self) -> World:
        return self.course.world

    def look(self, index: int) -> None:
        """Note what has changed since the last look."""
        seen = self._world.changes, self.course.possible
        if seen == self._seen:
            return
        self._seen = seen
        for name in sorted(self._world.touched(), key=self.structure.place_of):
            if _has_state(self.structure.items[name]) and (when := self._news(name, self._world.disturbed(name))):
                self.items.append(ItemMoment(index, ItemId(name), when))
        for place, rule in self._never():
            if when := self._news(place, self._armed(rule)):
                self.rules.append(RuleMoment(index, place, when))

    def _never(self) -> Iterator[tuple[int, Never]]:
        yield from ((place, rule) for place, rule in enumerate(self.structure.rules) if isinstance(rule, Never))

    def _news(self, of: object, now: Cases) -> Condition | None:
        """The condition for what holds now, where it is not what was shown last."""
        now = now & self.course.possible
        if self._shown.get(of, NONE) == now:
            return None
        self._shown[of] = now
        return self.choices.condition(now, self.course.possible)

    def _armed(self, rule: Never) -> Cases:
        armed = ALL
        for state in rule.while_:
            armed = armed & self._in(state.item, disturbed=state.disturbed)
        for state in rule.unless:
            armed = armed - self._in(state.item, disturbed=state.disturbed)
        return armed

    def _in(self, item: str, *, disturbed: bool) -> Cases:
        table = self._world.disturbed(item)
        return table if disturbed else ~table


def _has_state(item: Item) -> bool:
    """Whether a pause sheet tells an item's state: not of specs, nor of checks, nor of energies that come back."""
    return not isinstance(item, Spec | Check) and (not isinstance(item, Energy) or item.is_supplied)
