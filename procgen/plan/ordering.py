"""Puts shared work in order: list scheduling over simulated states, with bounded backtracking.

The order follows every chain and fails no guard. Of those that do, it keeps a procedure's own work together, goes on
first with what another procedure's work waits for, restores early, disturbs late, and follows the author's order.
Something that is looked at, measured or set is, where that can be had, in the state in which its own procedure has it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from procgen.library.items import Check, Spec
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.cases import Cases
from procgen.plan.sharing import Node, Order
from procgen.plan.steps import PlannedStep
from procgen.plan.trial import Failure, Situation, Trial

Name = tuple[str, str, str]
"""Of a failure: its fault, what it is about, the key of the step."""
Seen = dict[str, dict[str, Cases]]
"""For the key of a step, the state of each thing that it touches and does not change, in its own procedure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuck:
    """No order was found."""

    failures: tuple[Failure, ...]
    """What failed where the search came farthest."""
    is_certain: bool
    """Every order was tried."""


@dataclass(slots=True)
class _Level:
    """One place in the order: who may stand there."""

    placed: int
    situation: Situation
    focus: int
    """The procedure whose work is being done."""
    waiting: Iterator[int]
    failures: list[Failure] = field(default_factory=list)
    chosen: int = -1


def arrange(
    order: Order,
    trial: Trial,
    start: Situation,
    seen: Seen,
    *,
    patience: int,
    tolerated: frozenset[Name] = frozenset(),
) -> tuple[int, ...] | Stuck:
    """Indices of the nodes in the order in which they are done, or why there is none.

    patience: how many nodes are tried at most. tolerated: failures that the procedures have by themselves.
    """
    return _Arranger(order, trial, seen, tolerated, patience).run(start)


class _Arranger:
    def __init__(self, order: Order, trial: Trial, seen: Seen, tolerated: frozenset[Name], patience: int) -> None:
        self.nodes = order.nodes
        self.order = order
        self.trial = trial
        self.seen = seen
        self.tolerated = tolerated
        self.patience = patience
        self.all = (1 << len(self.nodes)) - 1
        self.ancestors = _ancestors(order)
        self.places = [_place(index, order) for index in range(len(self.nodes))]
        self.classes = [_class(node) for node in self.nodes]
        self.steps = [tuple(node.steps) for node in self.nodes]
        self._dead: set[tuple[int, frozenset[tuple[str, Cases]]]] = set()
        self._farthest = -1
        self._failures: tuple[Failure, ...] = ()

    def run(self, start: Situation) -> tuple[int, ...] | Stuck:
        levels = [self._level(0, start, 0)]
        while levels:
            level = levels[-1]
            node = next(level.waiting, None)
            if node is None:
                self._note(level)
                levels.pop()
                continue
            if self.patience <= 0:
                self._note(level)
                return Stuck(failures=self._failures, is_certain=False)
            self.patience -= 1
            situation, failures = self.trial.walk(level.situation, self.steps[node])
            bad = [each for each in failures if each.name not in self.tolerated]
            placed = level.placed | 1 << node
            if not bad and placed == self.all:
                bad = [each for each in self.trial.ending(situation) if each.name not in self.tolerated]
            if bad or self._is_dead(placed, situation):
                level.failures.extend(bad)
                continue
            level.chosen = node
            if placed == self.all:
                return tuple(each.chosen for each in levels)
            levels.append(self._level(placed, situation, self._focus(level.focus, node)))
        return Stuck(failures=self._failures, is_certain=True)

    def _level(self, placed: int, situation: Situation, focus: int) -> _Level:
        free = [
            index
            for index in range(len(self.nodes))
            if not placed >> index & 1 and self.order.before[index] & ~placed == 0
        ]
        wanted = self._wanted(placed, focus)
        ranked = sorted(free, key=lambda index: self._rank(index, situation, focus, wanted))
        return _Level(placed=placed, situation=situation, focus=focus, waiting=iter(ranked))

    def _rank(self, index: int, situation: Situation, focus: int, wanted: int) -> tuple[object, ...]:
        node = self.nodes[index]
        return (
            self._looks_different(index, situation),
            focus not in node.tasks,
            not wanted >> index & 1,
            self.classes[index],
            self.places[index],
        )

    def _wanted(self, placed: int, focus: int) -> int:
        """What the procedure in hand waits for."""
        for nodes in self.order.chains[focus]:
            for node in nodes:
                if not placed >> node & 1:
                    return self.ancestors[node]
        return 0

    def _focus(self, focus: int, node: int) -> int:
        """Whose work goes on after a node."""
        tasks = self.nodes[node].tasks
        return focus if focus in tasks else tasks[0]

    def _looks_different(self, index: int, situation: Situation) -> bool:
        for step in self.steps[index]:
            for item, table in self.seen.get(step.key, {}).items():
                if self.trial.disturbed(situation, item) != table:
                    return True
        return False

    def _is_dead(self, placed: int, situation: Situation) -> bool:
        return bool(self._dead) and (placed, frozenset(situation.facts.items())) in self._dead

    def _note(self, level: _Level) -> None:
        """Nothing leads on from here."""
        self._dead.add((level.placed, frozenset(level.situation.facts.items())))
        count = level.placed.bit_count()
        if count > self._farthest:
            self._farthest, self._failures = count, tuple(level.failures)


def _ancestors(order: Order) -> list[int]:
    """For each node, as bits, all that must come before it, however far. The order has no ring."""
    found: dict[int, int] = {}
    waiting = list(range(len(order.nodes)))
    while waiting:
        node = waiting[-1]
        if node in found:
            waiting.pop()
            continue
        direct = list(_bits(order.before[node]))
        missing = [each for each in direct if each not in found]
        if missing:
            waiting.extend(missing)
            continue
        found[node] = order.before[node]
        for each in direct:
            found[node] |= found[each]
    return [found[node] for node in range(len(order.nodes))]


def _bits(number: int) -> Iterator[int]:
    while number:
        low = number & -number
        yield low.bit_length() - 1
        number ^= low


def _place(index: int, order: Order) -> tuple[int, int]:
    """Where a node stands in the first procedure that it is done for."""
    task = order.nodes[index].tasks[0]
    position = next(place for place, nodes in enumerate(order.chains[task]) if index in nodes)
    return task, position


_RESTORES, _NEUTRAL, _DISTURBS = range(3)


def _class(node: Node) -> int:
    """Whether a node first of all restores, disturbs, or neither."""
    for step in node.steps:
        for action in step.actions:
            if action.verb in DISTURBS:
                return _DISTURBS
            if action.verb in RESTORES:
                return _RESTORES
    return _NEUTRAL


def looked_at(
    blocks: Sequence[tuple[PlannedStep, ...]], trial: Trial, start: Situation
) -> tuple[Seen, frozenset[Name]]:
    """How a procedure by itself sees what it touches, and what fails in it."""
    seen: Seen = {}
    failed: set[Name] = set()
    situation = start
    for steps in blocks:
        for step in steps:
            if step.branch_of is None:
                touched = {each for action in step.actions for each in _touched(trial, action.verb, action.item)}
                if touched:
                    seen[step.key] = {item: trial.disturbed(situation, item) for item in sorted(touched)}
        situation, failures = trial.walk(situation, steps)
        failed.update(each.name for each in failures)
    failed.update(each.name for each in trial.ending(situation))
    return seen, frozenset(failed)


_ABOUT = frozenset(Verb) - DISTURBS.keys() - RESTORES.keys() - {Verb.RUN, Verb.WAIT}


def _touched(trial: Trial, verb: Verb, item: str) -> tuple[str, ...]:
    if verb not in _ABOUT:
        return ()
    record = trial.structure.items.get(item)
    return record.of if isinstance(record, Spec | Check) else (item,)
