"""What a procedure of a job is cut into for planning: runs of steps that stay together, and what in them can be shared.

A step stays with its branches, a loop with everything that it goes round, a procedure that is done once per job with
all of itself. Shared can be: a change of state and a named check outside a branch, each time that it is done; every
step of a component's own, since jobs take it off and put it back the one way that it describes; a procedure that is
done once per job.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from procgen.finding import Place
from procgen.library.condition import Condition, names
from procgen.library.procedure import Action
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.job_tasks import Chain, with_outcomes
from procgen.plan.steps import Maker, PlannedStep


@dataclass(frozen=True, slots=True)
class Token:
    """Something done that two procedures can share: who has the same token does the same thing."""

    doing: tuple[Verb, str] | None
    """The change or the check; None for any other step of a component's own, or of a once-per-job procedure."""
    place: Place | None
    """Where that step is written; None for a change or a check."""
    time: int
    """The how manieth time in its procedure, from 0."""
    when: Condition
    """Over variants only."""
    of: str = field(compare=False)
    """The item that it belongs to: what changes, what is checked, whose own steps they are; for a once-per-job
    procedure its id with a mark that no item has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One step with its branches."""

    steps: tuple[PlannedStep, ...]
    tokens: tuple[Token, ...]

    @property
    def top(self) -> PlannedStep:
        """The step itself."""
        return self.steps[0]

    @property
    def is_described(self) -> bool:
        """Whether it is a step that is the same wherever it occurs: a component's own, or of a once-per-job one."""
        return any(token.doing is None for token in self.tokens)

    @property
    def must_stay(self) -> bool:
        """Whether something would be lost if another's version of what it shares were taken in its place."""
        return not self.tokens or (len(self.steps) > 1 and not self.is_described)


@dataclass(frozen=True, kw_only=True)
class Block:
    """A run of steps that stay together."""

    task: int
    units: tuple[Unit, ...]

    @cached_property
    def steps(self) -> tuple[PlannedStep, ...]:
        """All its steps, branches included, in order."""
        return tuple(step for unit in self.units for step in unit.steps)

    @cached_property
    def tokens(self) -> tuple[Token, ...]:
        """What in it can be shared."""
        return tuple(token for unit in self.units for token in unit.tokens)

    @cached_property
    def must_stay(self) -> bool:
        """Whether it can only be shared as it stands."""
        return bool(self.tokens) and any(unit.must_stay for unit in self.units)

    def renamed(self, outcomes: Mapping[str, str]) -> "Block":
        """The same with other names for outcomes."""
        if not any(names(step.when) & outcomes.keys() for step in self.steps):
            return self
        units = (
            replace(unit, steps=tuple(with_outcomes(step, outcomes) for step in unit.steps)) for unit in self.units
        )
        return Block(task=self.task, units=tuple(units))


ONCE = "once "
"""What the `of` of a once-per-job procedure's tokens begins with."""


def blocks(task: int, chain: Chain, once: Mapping[Place, str]) -> tuple[Block, ...]:
    """A procedure cut into blocks. `once`: the once-per-job procedures of the library by their places."""
    reader = _Reader(chain, once)
    units = list(reader.units())
    runs: list[list[Unit]] = []
    for unit in units:
        runs.append([unit])
        start = _reached_back(runs, unit)
        if start < len(runs) - 1:
            runs[start:] = [[each for run in runs[start:] for each in run]]
        elif len(runs) > 1 and _once_of(unit) and _once_of(unit) == _once_of(runs[-2][-1]):
            runs[-2:] = [[*runs[-2], *runs[-1]]]
    return tuple(Block(task=task, units=tuple(run)) for run in runs)


def _reached_back(runs: list[list[Unit]], unit: Unit) -> int:
    """The first run that a unit goes back to; its own where it goes back to none."""
    targets = {step.go_back_to for step in unit.steps if step.go_back_to}
    for index, run in enumerate(runs):
        if any(each.key in targets for other in run for each in other.steps):
            return index
    return len(runs) - 1


def _once_of(unit: Unit) -> str:
    return next((token.of for token in unit.tokens if token.of.startswith(ONCE)), "")


class _Reader:
    """Reads a chain's steps."""

    def __init__(self, chain: Chain, once: Mapping[Place, str]) -> None:
        self.chain = chain
        self.once = once
        self.outcomes = frozenset(chain.plan.outcomes)
        self._times: Counter[object] = Counter()

    def units(self) -> Iterator[Unit]:
        """Every step outside a branch, with its branches."""
        run: list[PlannedStep] = []
        for planned in self.chain.plan.steps:
            if planned.branch_of is None and run:
                yield self._unit(run)
                run = []
            run.append(planned)
        if run:
            yield self._unit(run)

    def _unit(self, run: Iterable[PlannedStep]) -> Unit:
        steps = tuple(run)
        return Unit(steps=steps, tokens=tuple(self._tokens(steps[0])))

    def _tokens(self, planned: PlannedStep) -> Iterator[Token]:
        if names(planned.when) & self.outcomes:
            return
        once = self._followed_once(planned)
        described = self._described_by(planned)
        if once or described:
            yield self._token(None, planned.step.place, planned.when, once or described)
        for action in planned.actions:
            if can_be_shared(action):
                yield self._token((action.verb, action.item), None, planned.when, once or action.item)

    def _token(self, doing: tuple[Verb, str] | None, place: Place | None, when: Condition, of: str) -> Token:
        kind = doing, place, when
        time = self._times[kind]
        self._times[kind] += 1
        return Token(doing, place, time, when, of)

    def _followed_once(self, planned: PlannedStep) -> str:
        found = next((self.once[each.place] for each in planned.led_by if each.place in self.once), "")
        return f"{ONCE}{found}" if found else ""

    def _described_by(self, planned: PlannedStep) -> str:
        """The component whose own step it is; empty where it is none's."""
        inner = planned.groups[-1] if planned.groups else None
        if planned.maker is not Maker.COMPONENT or inner is None or inner.verb not in (Verb.REMOVE, Verb.FIT):
            return ""
        return inner.item or ""


def can_be_shared(action: Action) -> bool:
    """Whether two procedures can have it done in one: a change of state, or a check."""
    return action.verb in DISTURBS or action.verb in RESTORES or action.verb is Verb.CHECK
