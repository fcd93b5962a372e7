"""Brings the procedures of a job together.

First everything is shared that can be. Where that leads to a contradiction, or no safe order is found, something is not
shared: of all that might be kept apart the least is, counted in steps, and the plan says what and why. In the end
nothing but the once-per-job procedures is shared, or nothing at all, and the procedures run one after the other.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush

from procgen.library.fleet import Job
from procgen.library.library import Library
from procgen.library.machine import Procedure
from procgen.plan.blocks import Block, Token, blocks
from procgen.plan.choices import Choices
from procgen.plan.job_plan import NotShared
from procgen.plan.job_tasks import Chain, follower
from procgen.plan.ordering import Name, Seen, Stuck, arrange, looked_at
from procgen.plan.reasons import Speaker
from procgen.plan.sharing import Apart, Conflict, Node, Order, Subjects, ring, share
from procgen.plan.structure import Structure
from procgen.plan.trial import Trial

_ATTEMPTS = 60
"""How many ways of keeping things apart are tried before nothing is shared."""
_CANDIDATES = 400
"""How many are looked at, to find out how many steps they cost."""
_PATIENCE = 12
"""How many nodes are tried in one attempt, for each node that there is; small jobs get more."""
_LEAST_PATIENCE = 3000
_FEW = 8
"""Up to so many subjects, each of them is suspected where no order is found; else those that failures name."""


@dataclass(frozen=True, kw_only=True)
class Merged:
    """What the procedures of a job come to."""

    procedure: Procedure
    """The job as a procedure that follows those that it does."""
    order: tuple[Node, ...]
    not_shared: tuple[NotShared, ...]


def merge(job: Job, chains: Sequence[Chain], library: Library) -> Merged:
    """The procedures of a job in one order. Their outcomes have names of their own."""
    return _Merger(job, chains, library).run()


class _Merger:
    def __init__(self, job: Job, chains: Sequence[Chain], library: Library) -> None:
        self.chains = chains
        once = {head.place: name for name, head in library.heads.items() if head.once_per_job}
        self.parts = [blocks(task, chain, once) for task, chain in enumerate(chains)]
        self.subjects = Subjects(block for part in self.parts for block in part)
        self.procedure = _procedure(job, chains)
        structure = Structure(self.procedure.machine, library, self.procedure.implied_items)
        choices = {name: values for chain in chains for name, values in chain.plan.choices.items()}
        self.trial = Trial(structure, library.notices, Choices(choices))
        self.start = self.trial.begin(self.procedure)
        self.seen, self.failing = self._alone()
        self.speaker = Speaker(chains, self.procedure.machine)
        self.why: dict[tuple[str, int], Conflict] = {}
        self.waiting: list[tuple[int, int, Apart, Order]] = []
        self.known: set[Apart] = set()

    def _alone(self) -> tuple[Seen, frozenset[Name]]:
        seen: Seen = {}
        failing: frozenset[Name] = frozenset()
        for part in self.parts:
            own, failed = looked_at([block.steps for block in part], self.trial, self.start)
            seen.update(own)
            failing |= failed
        return seen, failing

    def run(self) -> Merged:
        """The least apart that works."""
        self._consider(self._repeated())
        for _ in range(_ATTEMPTS):
            if not self.waiting:
                break
            _, _, apart, order = heappop(self.waiting)
            found = self._attempt(order)
            if isinstance(found, tuple):
                return self._merged(order, found, apart)
            for conflict in found:
                for child in self._further(conflict, apart):
                    self._consider(child)
        return self._one_after_the_other()

    def _consider(self, apart: Apart) -> None:
        if apart not in self.known and len(self.known) < _CANDIDATES:
            self.known.add(apart)
            order = share(self.parts, self.subjects, apart)
            heappush(self.waiting, (order.count, len(self.known), apart, order))

    def _attempt(self, order: Order) -> tuple[int, ...] | list[Conflict]:
        if order.conflicts:
            return list(order.conflicts)
        circle = ring(order)
        if circle:
            reason = self.speaker.clash(order, circle)
            shared = [order.nodes[index] for index in circle if len(order.nodes[index].tasks) > 1]
            return [conflict for node in shared for conflict in self._about(node, reason)]
        found = self._arranged(order)
        return self._suspects(order, found) if isinstance(found, Stuck) else found

    def _arranged(self, order: Order) -> tuple[int, ...] | Stuck:
        patience = max(_PATIENCE * len(order.nodes), _LEAST_PATIENCE)
        found = arrange(order, self.trial, self.start, self.seen, patience=patience)
        if isinstance(found, Stuck) and self.failing:
            tolerated = frozenset(self._tolerated(order))
            found = arrange(order, self.trial, self.start, self.seen, tolerated=tolerated, patience=patience)
        return found

    def _tolerated(self, order: Order) -> Iterator[Name]:
        """What fails in a procedure by itself may fail in the job: it is told there already."""
        done_by = {own: key for node in order.nodes for key, owns in node.owns.items() for _, own in owns}
        for fault, of, step in self.failing:
            yield fault, of, done_by.get(step, step)

    # What to keep apart

    def _repeated(self) -> Apart:
        """A procedure that is listed twice is done twice from beginning to end: on the other axle, say."""
        again = [task for task in range(len(self.chains)) if _is_again(task, self.chains)]
        return frozenset((self.subjects.of(token), task) for task in again for token in self._tokens(task))

    def _tokens(self, task: int) -> Iterator[Token]:
        return (token for block in self.parts[task] for token in block.tokens)

    def _suspects(self, order: Order, stuck: Stuck) -> list[Conflict]:
        reason = self.speaker.no_order(stuck)
        found = [each for node in order.nodes if len(node.tasks) > 1 for each in self._about(node, reason)]
        if len({each.subject for each in found}) <= _FEW:
            return found
        named = {fact for each in stuck.failures for fact in each.names}
        return [each for each in found if named.intersection(self.subjects.items(each.subject))] or found

    def _about(self, node: Node, reason: str) -> Iterator[Conflict]:
        for subject in dict.fromkeys(self.subjects.of(token) for token in node.block.tokens):
            yield Conflict(subject=subject, tasks=node.tasks, reason=reason)

    def _further(self, conflict: Conflict, apart: Apart) -> Iterator[Apart]:
        for task in conflict.tasks[1:]:
            one = conflict.subject, task
            if one not in apart:
                self.why.setdefault(one, conflict)
                yield apart | {one}

    def _one_after_the_other(self) -> Merged:
        """Nothing shared but what is done once per job, else nothing at all, else the procedures as they stand."""
        subjects = dict.fromkeys(
            self.subjects.of(token) for part in self.parts for block in part for token in block.tokens
        )
        every = frozenset((subject, task) for subject in subjects for task in range(1, len(self.parts)))
        own = frozenset((subject, task) for subject, task in every if not self.subjects.is_once(subject))
        order = share(self.parts, self.subjects, every)
        for apart in (own, every):
            order = share(self.parts, self.subjects, apart)
            if not order.conflicts and not ring(order):
                found = self._arranged(order)
                if not isinstance(found, Stuck):
                    return self._merged(order, found, apart)
        return self._merged(order, tuple(range(len(order.nodes))), every)

    def _merged(self, order: Order, sequence: Iterable[int], apart: Apart) -> Merged:
        nodes = tuple(order.nodes[index] for index in sequence)
        return Merged(
            procedure=self.procedure,
            order=nodes,
            not_shared=tuple(self._not_shared(apart)),
        )

    def _not_shared(self, apart: Apart) -> Iterator[NotShared]:
        repeated = self._repeated()
        for task in range(len(self.chains)):
            if _is_again(task, self.chains):
                yield self.speaker.repeated(task)
        for subject, task in sorted(apart - repeated, key=lambda each: (each[1], each[0])):
            tasks = sorted({block.task for part in self.parts for block in part if self._has(block, subject)})
            if task not in tasks or len(tasks) == 1:
                continue
            why = self.why.get((subject, task))
            others = tuple(each for each in (why.tasks if why else tasks) if each != task)
            names = tuple(name for name in self.subjects.items(subject) if name in self.procedure.machine.items)
            yield self.speaker.not_shared(names, (*others, task), why.reason if why else "")

    def _has(self, block: Block, subject: str) -> bool:
        return any(self.subjects.of(token) == subject for token in block.tokens)


def _is_again(task: int, chains: Sequence[Chain]) -> bool:
    """Whether the job lists that procedure before."""
    return any(chain.procedure.address == chains[task].procedure.address for chain in chains[:task])


def _procedure(job: Job, chains: Sequence[Chain]) -> Procedure:
    machine = chains[0].plan.machine
    items = {name: item for chain in chains for name, item in chain.plan.machine.items.items()}
    if items.keys() != machine.items.keys():
        machine = replace(machine, items=items)
    return follower(job, {chain.procedure.procedure_id: chain.procedure for chain in chains}, machine)
