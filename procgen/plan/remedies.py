"""What to do about a breach: small edits, tried out on the procedure, of which the first that works is suggested.

An edit works where the breach is gone and none has come in its place. Where nothing that is tried works, there is no
suggestion here, and the check says in words what is missing.
"""

from collections import Counter
from collections.abc import Iterable, Iterator

from procgen.library.items import Aid, Component, Energy, Fastener, Fluid, Line
from procgen.library.library import Library
from procgen.library.machine import After
from procgen.library.origin import ItemId, PartId
from procgen.library.procedure import Step, walk
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.edits import Add, Drop, Edit, Insert, Move, apply
from procgen.plan.effects import UNDOES
from procgen.plan.expand import expand
from procgen.plan.guards import Fault, Guard
from procgen.plan.proof import Breach, Proof, prove
from procgen.plan.steps import Plan
from procgen.plan.structure import structure_of

_TRIALS = 72
"""How many edits are tried for one procedure: one that is full of mistakes is not worth hours of trying."""

Edits = tuple[Edit, ...]


def remedy(proof: Proof, breach: Breach, library: Library) -> Edits:
    """Edits that make the breach go away and bring no other; empty where none was found.

    The first that leaves nothing to find, else of those tried the one that leaves least. Where nothing better is found,
    edits after which a notice comes too late or is missing.
    """
    before = _tally(proof.breaches)
    target = _name(breach.guard)
    most = min(24, max(3, _TRIALS // len(proof.breaches)))
    tried: set[str] = set()
    best: Edits = ()
    least = (True, before.total())
    for edits in _Candidates(proof, breach, library):
        told = ", ".join(str(edit) for edit in edits)
        if told in tried:
            continue
        if len(tried) == most:
            break
        tried.add(told)
        plan, findings = expand(apply(proof.plan.procedure, edits), library)
        after = _tally(prove(plan, library).breaches)
        worse = after - before
        if findings or len(plan.unreached) > len(proof.plan.unreached) or after[target] >= before[target]:
            continue
        left = (bool(worse), after.total())
        if all(fault in _OF_WORDS for fault, _, _ in worse) and (left < least or not best):
            best, least = edits, left
        if not after:
            break
    return best


_OF_WORDS = frozenset({Fault.HAZARD_UNANNOUNCED, Fault.NOTICE_LATE})
"""Faults of what the reader is told, not of the order of work."""

_Name = tuple[Fault, str, int]


def _name(guard: Guard) -> _Name:
    return guard.fault, guard.of, id(guard.rule)


def _tally(breaches: Iterable[Breach]) -> Counter[_Name]:
    return Counter(_name(breach.guard) for breach in breaches)


class _Candidates:
    """Edits that a mechanic would think of, the likeliest first."""

    def __init__(self, proof: Proof, breach: Breach, library: Library) -> None:
        self.plan: Plan = proof.plan
        self.breach = breach
        self.guard = breach.guard
        self.structure = structure_of(self.plan.machine, library, self.plan.procedure.implied_items)
        self.steps: tuple[Step, ...] = walk(self.plan.procedure.steps)

    @property
    def here(self) -> Step | None:
        """The author's step at which the breach is; None at the end."""
        return None if self.breach.step is None else self.plan.steps[self.breach.step].author

    def __iter__(self) -> Iterator[Edits]:
        here, fault = self.here, self.guard.fault
        if fault is Fault.LEFT_UNDONE:
            verb = self._verb(self.guard.of, False)
            return self._done(verb, self.guard.of, None) if verb else iter(())
        if fault is Fault.VITAL_UNCHECKED:
            return self._checked(here)
        if fault is Fault.SEAL_REUSED:
            return self._renewed()
        if fault is Fault.RULE_BROKEN:
            return self._obeyed(here)
        if here is None or fault in _OF_WORDS:
            return iter(())
        return self._before_it(here)

    def _before_it(self, here: Step) -> Iterator[Edits]:
        """What can be done about a step so that what it wants is so when it begins."""
        if self.guard.fault is Fault.BLOCKED:
            yield from self._moved(self.guard.of, True, here)
            yield from self._opened(here)
        elif self.guard.fault is Fault.ALREADY_SO:
            yield (Drop(step=here),)
        for want in self.guard.wants:
            yield from self._made_so(want.fact, want.value, here)
        if self.guard.fault is Fault.LOOP_CHANGES_STATE:
            yield from self._made_so(self.guard.of, True, here)

    def _checked(self, here: Step | None) -> Iterator[Edits]:
        for check in self.structure.checks_of(self.guard.of):
            yield from self._done(Verb.CHECK, check, here)

    def _opened(self, here: Step) -> Iterator[Edits]:
        """Open up before the step, and close after it or at the end."""
        for aim in dict.fromkeys((self.guard.item, *(action.item for action in here.actions))):
            if aim not in self.plan.machine.items:
                continue
            opening = Insert(verb=Verb.OPEN, item=ItemId(aim), before=here)
            yield (opening,)
            for later in (*reversed(self._after(here)), None):
                yield opening, Insert(verb=Verb.CLOSE, item=ItemId(aim), before=later)
                if later is None:
                    break

    def _made_so(self, fact: str, value: bool, here: Step) -> Iterator[Edits]:
        """Have a state before a step: by moving what makes it so, or what unmakes it, or by doing it."""
        yield from self._moved(fact, value, here)
        verb = self._verb(fact, value)
        if verb is None:
            return
        doing = Insert(verb=verb, item=ItemId(fact), before=here)
        yield (doing,)
        back = UNDOES.get(verb)
        if back:
            for later in (None, *self._after(here)[:6]):
                yield doing, Insert(verb=back, item=ItemId(fact), before=later)

    def _moved(self, fact: str, value: bool, here: Step) -> Iterator[Edits]:
        for step in self._changing(fact, value):
            if self._index(step) > self._index(here):
                yield (Move(step=step, before=here),)
        for index in reversed(self.breach.history):
            yield (Move(step=here, before=self.plan.steps[index].author),)
            yield (Move(step=self.plan.steps[index].author, before=None, after=here),)

    def _done(self, verb: Verb, item: str, here: Step | None) -> Iterator[Edits]:
        """Do something before a step, or at the end, or as late as it can be done."""
        yield (Insert(verb=verb, item=ItemId(item), before=here),)
        top = self.plan.procedure.steps
        last = top.index(here) if here in top else len(top)
        for step in reversed(top[:last]):
            yield (Insert(verb=verb, item=ItemId(item), before=step),)

    def _renewed(self) -> Iterator[Edits]:
        for planned in reversed(self.plan.steps):
            for action in planned.actions:
                if action.item == self.guard.item and action.verb in (Verb.FIT, Verb.CONNECT):
                    yield (Add(step=planned.author, new=PartId(self.guard.of)),)

    def _obeyed(self, here: Step | None) -> Iterator[Edits]:
        rule = self.guard.rule
        match rule:
            case After(must=must):
                for step in self.steps:
                    if here and any((action.verb, action.item) == (must.verb, must.item) for action in step.actions):
                        yield (Move(step=step, before=here),)
                yield from self._done(must.verb, must.item, here)
            case _ if here:
                for want in self.guard.wants:
                    yield from self._made_so(want.fact, want.value, here)
            case _:
                return

    def _changing(self, fact: str, value: bool) -> Iterable[Step]:
        """The author's steps that bring a fact into a state, each once."""
        found: dict[int, Step] = {}
        for planned in self.plan.steps:
            direct = value and fact in planned.step.sets
            for action in planned.actions:
                changes = DISTURBS if value else RESTORES
                direct = direct or (action.item == fact and (action.verb in changes or action.verb is Verb.CHECK))
            if direct:
                found.setdefault(id(planned.author.origin), planned.author)
        return found.values()

    def _verb(self, fact: str, value: bool) -> Verb | None:
        """The verb that brings an item into a state; None where there is none."""
        match self.plan.machine.items.get(fact):
            case Component():
                return Verb.REMOVE if value else Verb.FIT
            case Fastener():
                return Verb.LOOSEN if value else Verb.TIGHTEN
            case Line():
                return Verb.DISCONNECT if value else Verb.CONNECT
            case Fluid():
                return Verb.DRAIN if value else Verb.FILL
            case Aid():
                return Verb.PLACE if value else Verb.WITHDRAW
            case Energy() as energy if value:
                return Verb.ISOLATE if energy.is_supplied else Verb.RELEASE
            case Energy() as energy if energy.is_supplied:
                return Verb.RESTORE
            case _:
                return None

    def _index(self, step: Step) -> int:
        return next((index for index, each in enumerate(self.steps) if each.origin is step.origin), 0)

    def _after(self, here: Step) -> tuple[Step, ...]:
        """The procedure's top steps after the one in which `here` lies."""
        start = self._index(here)
        return tuple(step for step in self.plan.procedure.steps if self._index(step) > start)
