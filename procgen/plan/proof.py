"""Walks a plan through every way at once and notes every guard that fails, with the exact cases in which it does.

One cause is one breach: once something has been reported as in the way, live, attached, missing or undone, it is not
reported again in the same cases before its state changes. Breaches change no state.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.library.items import Item
from procgen.library.library import Library
from procgen.library.procedure import Action
from procgen.library.state import RESTORES, State
from procgen.plan.cases import NONE, UNKNOWN, Cases
from procgen.plan.choices import Choices
from procgen.plan.course import Course, Written
from procgen.plan.guards import Fault, Guard, Want, at_the_end, guards, need, sense
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import structure_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """A guard that fails in some ways through."""

    guard: Guard
    step: int | None
    """Index of the planned step; None: at the end."""
    action: Action | None
    cases: Cases
    """In which ways through; UNKNOWN where they are too many to tell."""
    history: tuple[int, ...]
    """Indices of the steps that made it so, in the smallest of those ways, in order."""
    smallest: Mapping[str, bool | str]
    """The fewest choices and outcomes that make it happen; empty where it always does."""

    @property
    def is_undecided(self) -> bool:
        """Whether there are too many cases to tell if it ever fails."""
        return self.cases is UNKNOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a plan was shown to be."""

    plan: Plan
    breaches: tuple[Breach, ...]
    ended: tuple[int, ...]
    """Indices of the steps that go back to where the work never was, or round for ever."""
    not_left: tuple[State, ...]
    """What the procedure says that it leaves, and no way through ends so."""

    def of(self, fault: Fault) -> Iterator[Breach]:
        """The breaches of one kind that are certain."""
        return (breach for breach in self.breaches if breach.guard.fault is fault and not breach.is_undecided)


def prove(plan: Plan, library: Library) -> Proof:
    """Every guard of every step, and the state at the end, in every way through."""
    return _Prover(plan, library).run()


_REPEATED = frozenset({Fault.RULE_BROKEN, Fault.ALREADY_SO, Fault.LOOP_CHANGES_STATE, Fault.SEAL_REUSED})
"""Faults of the step itself: each step that has one is a cause of its own."""


class _Prover:
    """Looks on while the course of a plan is walked."""

    def __init__(self, plan: Plan, library: Library) -> None:
        self.plan = plan
        self.structure = structure_of(plan.machine, library, plan.procedure.implied_items)
        self.choices = Choices(plan.choices)
        self.course = Course(self.structure, library.notices, self.choices, self)
        self.items: Mapping[str, Item] = plan.machine.items
        self.leaves = frozenset(state.item for state in plan.procedure.leaves if state.disturbed)
        self.breaches: list[Breach] = []
        self.ended: list[int] = []
        self._found: dict[tuple[object, ...], _Found] = {}
        self._reported: dict[str, dict[tuple[Fault, bool], Cases]] = {}
        self._taken_apart = self._first_disturbed() if plan.procedure.is_bare else {}
        self._here: int | None = None

    def run(self) -> Proof:
        """Walk the whole plan."""
        self.course.begin(self.plan.procedure)
        for planned in self.plan.steps:
            self.course.take(planned)
        self._here = None
        for guard in at_the_end(self.structure, tuple(self.course.world.facts), self.leaves):
            self._test(guard, self.course.possible, None)
        return Proof(
            plan=self.plan,
            breaches=tuple(self._breach(found) for found in self._found.values()),
            ended=tuple(dict.fromkeys(self.ended)),
            not_left=tuple(state for state in self.plan.procedure.leaves if self._is_never_so(state)),
        )

    def _is_never_so(self, state: State) -> bool:
        """Whether no way that comes this far finds it so."""
        possible, disturbed = self.course.possible, self.course.world.disturbed(state.item)
        so = possible & disturbed if state.disturbed else possible - disturbed
        return so is NONE and possible is not NONE

    # What the course shows

    def step(self, index: int, planned: PlannedStep, where: Cases) -> None:
        """A step begins: what it needs, and what a followed procedure starts with."""
        self._here = index
        for state in planned.step.needs:
            self._test(need(state), where, None)
        for assumed in planned.assumes:
            self._test(need(assumed.state), self.choices.cases(assumed.when) & self.course.possible, None)

    def action(self, index: int, action: Action, where: Cases) -> None:
        """An action is about to be done."""
        self._here = index
        acting = where - self.course.world.already(action)
        for guard in sense(action.verb, action.item):
            if not self._is_taken_for_granted(index, action):
                self._test(guard, where, action)
        for guard in guards(self.structure, action.verb, action.item):
            if guard.fault is not Fault.COVERED_EARLY or guard.of not in self.leaves:
                self._test(guard, acting, action)

    def wrote(self, fact: str, where: Cases) -> None:
        """A fact has changed: whatever was said about it may be said again."""
        said = self._reported.get(fact, {})
        for key in said:
            said[key] = said[key] - where

    def went_back(self, index: int, changed: Mapping[str, Cases], lost: Cases) -> None:
        """A step goes back."""
        if lost is not NONE:
            self.ended.append(index)
        for fact, cases in changed.items():
            wants = (Want(fact, False),)
            self._note(Guard(fault=Fault.LOOP_CHANGES_STATE, wants=wants, item=fact, of=fact), cases, None)

    # Judging

    def _first_disturbed(self) -> dict[str, int]:
        """For each fact the first step, as they stand, that takes it out of service."""
        first: dict[str, int] = {}
        for index, planned in enumerate(self.plan.steps):
            for action in planned.actions:
                for fact, value in self.course.world.effects(action):
                    if value:
                        first.setdefault(fact, index)
        return first

    def _is_taken_for_granted(self, index: int, action: Action) -> bool:
        """Whether an action puts back what plain text may have taken apart, in a procedure that declares nothing."""
        return (
            self.plan.procedure.is_bare
            and action.verb in RESTORES
            and index <= self._taken_apart.get(action.item, len(self.plan.steps))
        )

    def _test(self, guard: Guard, where: Cases, action: Action | None) -> None:
        if where is NONE:
            return
        fails = self.course.world.lacking(guard.wants, where)
        if fails is NONE:
            return
        if guard.fault not in _REPEATED:
            said = self._reported.setdefault(guard.about, {})
            key = guard.fault, bool(guard.wants) and guard.wants[0].value
            before = said.get(key, NONE)
            said[key] = before | fails
            fails = fails - before
        if fails is not NONE:
            self._note(guard, fails, action)

    def _note(self, guard: Guard, fails: Cases, action: Action | None) -> None:
        key = (self._here, guard.fault, guard.of, id(guard.rule), guard.state)
        known = self._found.get(key)
        if known is None:
            self._found[key] = _Found(self._here, guard, action, fails, self._past(guard))
        else:
            known.cases = known.cases | fails

    def _past(self, guard: Guard) -> tuple[Written, ...]:
        """Who changed what a guard is about, up to now."""
        wants = guard.wants if guard.fault is Fault.RULE_BROKEN else guard.wants[:1]
        facts = dict.fromkeys(want.fact for want in wants)
        return tuple(written for fact in facts for written in self.course.written.get(fact, ()))

    def _breach(self, found: "_Found") -> Breach:
        cases = found.cases
        smallest: Mapping[str, bool | str] = {}
        history: dict[str, int] = {}
        if cases is not UNKNOWN:
            smallest = self.choices.smallest(cases | ~self.choices.cases(self.plan.procedure.only_for), within=cases)
            for written in found.past:
                if written.where & self.choices.table(smallest) & cases is not NONE:
                    history[written.fact] = written.step
        return Breach(
            guard=found.guard,
            step=found.step,
            action=found.action,
            cases=cases,
            history=tuple(sorted(set(history.values()))),
            smallest=smallest,
        )


@dataclass(slots=True)
class _Found:
    """A failing guard, while the walk goes on."""

    step: int | None
    guard: Guard
    action: Action | None
    cases: Cases
    past: tuple[Written, ...]
