"""Who shares what in a job: blocks of several procedures that do the same become one, and the order that is left.

Every procedure is a chain over what results. Their union is a partial order, unless two contradict each other.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from procgen.library.procedure import Amount, Step
from procgen.plan.blocks import ONCE, Block, Token, Unit
from procgen.plan.duration import minutes_of
from procgen.plan.steps import Maker, PlannedStep

_T = TypeVar("_T")
Apart = frozenset[tuple[str, int]]
"""What is not shared: a subject (see Subjects), and the procedure that does it by itself."""
Owns = tuple[tuple[int, str], ...]
"""For a step: the procedures that it does something for, and the keys of their own steps."""


class Subjects:
    """What can only be shared together: a component with its bolts, hoses, pins, and the check that proves it."""

    def __init__(self, blocks: Iterable[Block]) -> None:
        self._above: dict[str, str] = {}
        known: dict[Token, str] = {}
        for block in blocks:
            for unit in block.units:
                for token in unit.tokens:
                    self._join(unit.tokens[0].of, token.of)
                    self._join(known.setdefault(token, token.of), token.of)

    def of(self, token: Token) -> str:
        """The subject that a token belongs to."""
        return self._top(token.of)

    def items(self, subject: str) -> tuple[str, ...]:
        """Everything in a subject."""
        return tuple(name for name in self._above if self._top(name) == subject)

    def is_once(self, subject: str) -> bool:
        """Whether it is a procedure that is done once per job."""
        return any(name.startswith(ONCE) for name in self.items(subject))

    def _top(self, name: str) -> str:
        while (above := self._above.setdefault(name, name)) != name:
            name = above
        return name

    def _join(self, left: str, right: str) -> None:
        self._above[self._top(right)] = self._top(left)


@dataclass(kw_only=True)
class Node:
    """A block as it will be done, for one procedure or for several."""

    block: Block
    tasks: tuple[int, ...]
    owns: dict[str, list[tuple[int, str]]] = field(default_factory=dict)
    """For the key of each of its steps: whose steps it does."""
    minutes: dict[str, dict[int, float]] = field(default_factory=dict)
    """For the key of each of its steps: how long each procedure says that it takes."""

    @property
    def steps(self) -> tuple[PlannedStep, ...]:
        """Its steps, in order."""
        return self.block.steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Why something cannot be shared."""

    subject: str
    tasks: tuple[int, ...]
    reason: str


@dataclass(frozen=True, kw_only=True)
class Order:
    """Nodes, and which must come before which."""

    nodes: tuple[Node, ...]
    before: tuple[int, ...]
    """For each node, as bits, the nodes that must come before it."""
    chains: tuple[tuple[tuple[int, ...], ...], ...]
    """For each procedure its nodes, in the order of its own; several where their order is free."""
    conflicts: tuple[Conflict, ...]

    @property
    def count(self) -> int:
        """How many steps there are, branches included."""
        return sum(len(node.steps) for node in self.nodes)


def share(parts: Sequence[tuple[Block, ...]], subjects: Subjects, apart: Apart) -> Order:
    """What the procedures come to when all is shared that is not kept `apart`."""
    return _Sharing(parts, subjects, apart).order()


class _Sharing:
    def __init__(self, parts: Sequence[tuple[Block, ...]], subjects: Subjects, apart: Apart) -> None:
        self.parts = parts
        self.subjects = subjects
        self.apart = apart
        self.blocks = [block for part in parts for block in part]
        self.nodes: list[Node] = []
        self.at: dict[int, list[int]] = {}
        """For each block, by its index, its nodes."""
        self.outcomes: dict[str, str] = {}
        """Outcomes that another procedure's step decides, and their names there."""
        self.conflicts: list[Conflict] = []

    def order(self) -> Order:
        for group in self._groups():
            tasks = {self.blocks[index].task for index in group}
            if len(tasks) == 1:
                for index in group:
                    self.at[index] = [self._node(self.blocks[index])]
            else:
                self._unite(group)
        if self.outcomes:
            for node in self.nodes:
                node.block = node.block.renamed(self.outcomes)
        chains = self._chains()
        return Order(
            nodes=tuple(self.nodes),
            before=_before(len(self.nodes), chains),
            chains=chains,
            conflicts=tuple(self.conflicts),
        )

    def _key(self, token: Token, task: int) -> object:
        return (token, task) if (self.subjects.of(token), task) in self.apart else token

    def _groups(self) -> list[list[int]]:
        """Blocks that share something, directly or through others, in the order of the first."""
        group_of: dict[int, list[int]] = {index: [index] for index in range(len(self.blocks))}
        first: dict[object, int] = {}
        for index, block in enumerate(self.blocks):
            for token in block.tokens:
                other = first.setdefault(self._key(token, block.task), index)
                mine, theirs = group_of[index], group_of[other]
                if mine is not theirs:
                    theirs.extend(mine)
                    for each in mine:
                        group_of[each] = theirs
        seen: dict[int, list[int]] = {id(group): group for group in group_of.values()}
        return sorted((sorted(group) for group in seen.values()), key=lambda group: group[0])

    def _node(self, block: Block) -> int:
        node = Node(block=block, tasks=(block.task,))
        for step in block.steps:
            node.owns[step.key] = [(block.task, step.key)]
            node.minutes[step.key] = {block.task: minutes_of(step)}
        self.nodes.append(node)
        return len(self.nodes) - 1

    def _unite(self, group: list[int]) -> None:
        """One procedure's version stands for all; what it lacks, others bring."""
        by_task: dict[int, list[int]] = defaultdict(list)
        for index in group:
            by_task[self.blocks[index].task].append(index)
        leading = min(by_task, key=lambda task: _rank(task, [self.blocks[index] for index in by_task[task]]))
        for index in by_task[leading]:
            self.at[index] = [self._node(self.blocks[index])]
        here = [node for index in by_task[leading] for node in self.at[index]]
        for task, indices in by_task.items():
            for index in indices if task != leading else ():
                self._give(index, here)

    def _give(self, index: int, here: list[int]) -> None:
        """Let the nodes `here` do what a block does."""
        block = self.blocks[index]
        doing = {
            self._key(token, self.nodes[node].block.task): node
            for node in here
            for token in self.nodes[node].block.tokens
        }
        mine = [node for token in block.tokens if (node := doing.get(self._key(token, block.task))) is not None]
        nodes = list(dict.fromkeys(mine))
        if not _can_be_given(block, covered={token for token in block.tokens if self._key(token, block.task) in doing}):
            tasks = (self.nodes[nodes[0]].block.task, block.task)
            reason = "each of them decides something of its own at that step"
            self.conflicts.append(Conflict(subject=self.subjects.of(block.tokens[0]), tasks=tasks, reason=reason))
            self.at[index] = [self._node(block)]
            return
        for node in nodes:
            self._join(self.nodes[node], block)
        left = _left_over(block, [self.nodes[node].block for node in nodes])
        self.at[index] = [*nodes, *([self._node(left)] if left else [])]

    def _join(self, node: Node, block: Block) -> None:
        """What a block adds to the steps of a node that does the same."""
        units = list(node.block.units)
        for unit in block.units:
            position = _same(units, unit)
            if position is None:
                continue
            known = units[position]
            units[position] = replace(known, steps=(_fuller(known.top, unit, known), *known.steps[1:]))
            for step, other in zip(known.steps, unit.steps, strict=False):
                node.owns[step.key].append((block.task, other.key))
                node.minutes[step.key][block.task] = minutes_of(other)
                if step.outcome and other.outcome:
                    self.outcomes[other.outcome] = step.outcome
            for other in unit.steps[len(known.steps) :]:
                node.owns[known.top.key].append((block.task, other.key))
        node.block = Block(task=node.block.task, units=tuple(units))
        node.tasks = tuple(sorted({*node.tasks, block.task}))

    def _chains(self) -> tuple[tuple[tuple[int, ...], ...], ...]:
        found, index = [], 0
        for part in self.parts:
            found.append(tuple(tuple(self.at[index + offset]) for offset in range(len(part))))
            index += len(part)
        return tuple(found)


def _can_be_given(block: Block, covered: set[Token]) -> bool:
    """Whether nothing of a block is lost where others do what they have in common with it."""
    if len(block.steps) == 1:
        return True
    return all(
        unit.tokens
        and covered.issuperset(unit.tokens)
        and (unit.is_described or len(unit.steps) == len(unit.top.actions) == len(unit.tokens) == 1)
        for unit in block.units
    )


def _rank(task: int, blocks: list[Block]) -> tuple[bool, bool, int, bool, int]:
    """Whose version stands for all: what cannot be taken apart, a component's own, the finest, an author's words."""
    tops = [unit.top for block in blocks for unit in block.units]
    return (
        not any(block.must_stay for block in blocks),
        not all(unit.is_described for block in blocks for unit in block.units),
        -len(blocks),
        not any(top.maker is Maker.AUTHOR for top in tops),
        task,
    )


def _same(units: list[Unit], unit: Unit) -> int | None:
    """The unit that does the same, or the first part of it."""
    wanted = set(unit.tokens)
    for position, each in enumerate(units):
        if wanted & set(each.tokens):
            return position
    return None


def _fuller(step: PlannedStep, unit: Unit, known: Unit) -> PlannedStep:
    """A step with what another that does the same brings along."""
    mine, theirs = step.step, unit.top.step
    alike = set(known.tokens) == set(unit.tokens)
    minutes = max(filter(None, (mine.minutes, theirs.minutes)), default=None) if alike else mine.minutes
    return replace(
        step,
        step=replace(
            mine,
            why=mine.why or theirs.why,
            note=mine.note or theirs.note,
            notices=_merged(mine.notices, theirs.notices),
            tools=_merged(mine.tools, theirs.tools),
            uses=_amounts(mine, theirs),
            new=_merged(mine.new, theirs.new),
            figure=mine.figure or theirs.figure,
            see=_merged(mine.see, theirs.see),
            minutes=minutes,
            needs=_merged(mine.needs, theirs.needs),
            sets=_merged(mine.sets, theirs.sets),
            record=_merged(mine.record, theirs.record),
            sign=_merged(mine.sign, theirs.sign),
            proof=mine.proof or theirs.proof,
            accept=mine.accept or theirs.accept,
            limits=mine.limits or theirs.limits,
            accepting=_merged(mine.accepting, theirs.accepting),
        ),
        assumes=_merged(step.assumes, unit.top.assumes),
    )


def _merged(left: tuple[_T, ...], right: tuple[_T, ...]) -> tuple[_T, ...]:
    return tuple(dict.fromkeys((*left, *right)))


def _amounts(mine: Step, theirs: Step) -> tuple[Amount, ...]:
    """What is used up when both are done in one: no more than either uses."""
    known = {amount.part for amount in mine.uses}
    return (*mine.uses, *(amount for amount in theirs.uses if amount.part not in known))


def _left_over(block: Block, by: list[Block]) -> Block | None:
    """What a block does beyond what others do for it; None for nothing."""
    done = {(action.verb, action.item) for other in by for unit in other.units for action in unit.top.actions}
    unit = block.units[0]
    left = tuple(action for action in unit.top.actions if (action.verb, action.item) not in done)
    if not left or len(block.steps) > 1:
        return None
    top = replace(unit.top, actions=left)
    tokens = tuple(token for token in unit.tokens if token.doing and token.doing not in done)
    return Block(task=block.task, units=(replace(unit, steps=(top,), tokens=tokens),))


def _before(count: int, chains: Iterable[tuple[tuple[int, ...], ...]]) -> tuple[int, ...]:
    before = [0] * count
    for chain in chains:
        passed = 0
        for nodes in chain:
            for node in nodes:
                before[node] |= passed & ~(1 << node)
            for node in nodes:
                passed |= 1 << node
    return tuple(before)


def ring(order: Order) -> tuple[int, ...]:
    """Nodes of which each must come before the next, and the last before the first; empty where there are none."""
    left = set(range(len(order.nodes)))
    mask = (1 << len(order.nodes)) - 1
    while free := {node for node in left if not order.before[node] & mask}:
        left -= free
        mask ^= sum(1 << node for node in free)
    if not left:
        return ()
    path: list[int] = [min(left)]
    while True:
        before = next(other for other in sorted(left) if order.before[path[-1]] >> other & 1)
        if before in path:
            return tuple(reversed(path[path.index(before) :]))
        path.append(before)
