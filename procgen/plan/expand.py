"""Compiles a procedure to the steps as they will be done.

`open`, `close` and `follow` become other steps; `remove` and `fit` without words of their own become the component's
own steps, or steps made from its data; every other step without words gets them from the data.

Decisions, where the trade leaves room:

- A change made from data is complete: lines are parted and joined, fasteners loosened and tightened. What has been done
  already is skipped, and what a later step of the author's own does is left to it.
- A fastener that holds several components is tightened, and a line between several is joined, with the last of them.
- In a component's own steps a step whose every action finds its item already so is left out. The change itself never
  is, and it comes with the last step where none of them names it.
- `close` puts back what the matching `open` took off, where it did. Several items in one `close` are one closing. Where
  nothing was opened, it puts back all that is off in front of the item.
- What an author adds to a step that is expanded goes to its first step (notices, needs, tools, notes), to the one that
  makes the change (new parts), or to its last (what is set, signed, recorded, decided).
- Options of a followed procedure are fixed: those chosen, else its defaults. A procedure that is only for some variants
  is followed for those. One that is done once per job is followed once.
"""

from collections.abc import Iterator
from dataclasses import replace

from procgen.finding import Because, Finding, Severity
from procgen.library.condition import NEVER, All, Condition, both
from procgen.library.items import Item
from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.library.procedure import Action, Follow, Step
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.access import Access
from procgen.plan.bench import Bench, led_by
from procgen.plan.cases import NONE, Cases
from procgen.plan.changes import Changes
from procgen.plan.frames import Frame, settled
from procgen.plan.naming import the
from procgen.plan.steps import Assumed, Group, Plan

LONGEST = 5000
"""Steps beyond which nothing more is followed: procedures that follow each other twice soon come to millions."""
DEEPEST = 40
"""Procedures, each followed in the one before, beyond which nothing more is followed. Nobody at a bench keeps three."""


def expand(procedure: Procedure, library: Library) -> tuple[Plan, tuple[Finding, ...]]:
    """The procedure as it will be done, and what cannot be expanded."""
    followed = tuple(_followed(procedure, library, {procedure.address.id}))
    machine = _machine(procedure, followed)
    planner = _Planner(Bench(procedure, machine, library))
    planner.work(procedure.steps, Frame(following=(procedure.address.id,)))
    plan = Plan(
        procedure=procedure,
        machine=machine,
        steps=tuple(planner.bench.course.steps),
        choices=dict(planner.bench.choices.values),
        outcomes=planner.bench.outcomes,
        unreached=tuple(planner.unreached),
        damaged=procedure.damaged or any(each.damaged for each in followed) or planner.is_cut_short,
    )
    return plan, tuple(planner.findings)


def _followed(procedure: Procedure, library: Library, seen: set[str]) -> Iterator[Procedure]:
    """Every procedure that this one follows, however deep."""
    for step in procedure.every_step():
        target = library.procedures.get(step.follow.procedure) if step.follow else None
        if target and target.address.id not in seen:
            seen.add(target.address.id)
            yield target
            yield from _followed(target, library, seen)


def _machine(procedure: Procedure, followed: tuple[Procedure, ...]) -> Machine:
    """The procedure's machine, which knows also what the followed procedures declare themselves."""
    machine = procedure.machine
    if procedure.is_bare:
        machine = next((each.machine for each in followed if not each.is_bare), machine)
    items: dict[str, Item] = {}
    for each in (*followed, procedure):
        # A job implies what any of its procedures names, of which its own machine knows nothing.
        own = (*each.local_items, *sorted(each.implied_items))
        items.update({name: each.machine.items[name] for name in own if name in each.machine.items})
    if all(name in machine.items for name in items):
        return machine
    return replace(machine, items={**machine.items, **items})


class _Planner:
    """Works through lists of steps."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.changes = Changes(bench, self.work)
        self.access = Access(bench, self.changes)
        self.findings: list[Finding] = []
        self.unreached: list[Step] = []
        self.is_cut_short = False
        self._done_once: dict[str, Cases] = {}

    def work(self, steps: tuple[Step, ...], frame: Frame) -> None:
        """Plan a list of steps."""
        for position, step in enumerate(steps):
            self._step(step, frame, (*steps[position + 1 :], *frame.rest))

    def _step(self, step: Step, around: Frame, rest: tuple[Step, ...]) -> None:
        when = self._when(step, around)
        if when is None:
            return
        key = "-".join(part for part in (around.key, step.id or step.number.replace(".", "-")) if part)
        frame = around.at(step, key, led_by(step), rest)
        if around.author is None and self._is_unreached(when, around):
            self.unreached.append(step)
        if step.id:
            self.bench.name_next(around.ids, step.id)
        before = self.bench.count
        if step.follow:
            self._follow(step, step.follow, frame, when)
        elif any(action.verb in (Verb.OPEN, Verb.CLOSE) for action in step.actions):
            self._open_or_close(step, frame, when)
        elif step.do is None and any(self._is_expanded(action) for action in step.actions):
            self._changes(step, frame, when)
        else:
            self._plain(step, around, frame, when)
            return
        if self.bench.count > before and _closes_with_something(step):
            self._branch(step, around, rest)

    @staticmethod
    def _when(step: Step, around: Frame) -> Condition | None:
        """The path condition of a step; None where the options that are fixed here rule it out."""
        if isinstance(step.when, All) and not step.when.of:
            return around.when
        own = settled(step.when, around.chosen)
        return None if own == NEVER else both(around.when, own)

    def _is_unreached(self, when: Condition, around: Frame) -> bool:
        """Whether no way through comes to a step, though one comes to the step that it branches from."""
        if self.bench.where(when, around) is not NONE:
            return False
        if around.branch_of is None:
            return True
        index = next(i for i, each in enumerate(self.bench.course.steps) if each.key == around.branch_of)
        return self.bench.course.walked[index] is not NONE

    def _branch(self, step: Step, around: Frame, rest: tuple[Step, ...]) -> None:
        planned = self.bench.close_with(step, around)
        if step.branch:
            self.work(step.branch, self.bench.branch(planned, around, rest))

    def _plain(self, step: Step, around: Frame, frame: Frame, when: Condition) -> None:
        actions = step.actions
        if frame.changing:
            left = self._not_yet(step, frame, when)
            if left is None:
                return
            when, actions = left
        planned = self.bench.plan(step, frame, when, actions=actions)
        if step.branch:
            self.work(step.branch, self.bench.branch(planned, around, frame.rest))

    def _not_yet(self, step: Step, frame: Frame, when: Condition) -> tuple[Condition, tuple[Action, ...]] | None:
        """What is left to do of a step of a component's own; None where nothing is left anywhere."""
        where = self.bench.where(when, frame)
        changing = [
            action
            for action in step.actions
            if (action.verb in DISTURBS or action.verb in RESTORES) and (action.verb, action.item) not in frame.changing
        ]
        todo = {action: where - self.bench.course.world.already(action) for action in changing}
        left = tuple(action for action in step.actions if todo.get(action) is not NONE)
        if len(changing) < len(step.actions) or not changing or where is NONE:
            return when, left
        anything = NONE
        for table in todo.values():
            anything = anything | table
        if anything is NONE:
            return None
        return self.bench.narrowed(when, where, anything), left

    @staticmethod
    def _is_expanded(action: Action) -> bool:
        return action.verb in (Verb.REMOVE, Verb.FIT)

    def _changes(self, step: Step, frame: Frame, when: Condition) -> None:
        """A step without words that takes components off or puts them back, beside what else it does."""
        left = step
        for position, action in enumerate(step.actions):
            later = replace(step, actions=step.actions[position + 1 :])
            inner = replace(frame, rest=(later, *frame.rest))
            if self._is_expanded(action):
                self.changes.change(action.verb, action.item, left, inner, when)
            else:
                alone = replace(left, actions=(action,), sets=(), sign=(), record=(), accept=None, limits=None)
                self.bench.plan(alone, inner, when, actions=(action,), hint=action.item, decides=False)
            left = Step(number=step.number, origin=step.origin, accepting=step.accepting)

    def _open_or_close(self, step: Step, frame: Frame, when: Condition) -> None:
        """A step that opens or closes; its own words, where it has any, come first."""
        left = step
        if step.do is not None or step.notices:
            alone = replace(step, actions=(), sets=(), sign=(), record=(), accept=None, limits=None)
            self.bench.plan(alone, frame, when, actions=(), decides=False)
            left = Step(number=step.number, origin=step.origin, actions=step.actions, accepting=step.accepting)
        aims = tuple(action.item for action in step.actions if action.verb is Verb.OPEN)
        if aims:
            self.access.open(aims, left, frame, when)
        aims = tuple(action.item for action in step.actions if action.verb is Verb.CLOSE)
        if aims and not self.access.close(aims, left, frame, when):
            self._nothing_to_close(step, aims[0])

    def _nothing_to_close(self, step: Step, aim: str) -> None:
        name = the(self.bench.machine.items, aim)
        self.findings.append(
            Finding(
                check="already-so",
                severity=Severity.ERROR,
                place=step.actions[0].place,
                message=f"Step {step.number} closes up over {name}, and nothing in front of it is off.",
                remedy=f'put "- open: {aim}" before the work, or take step {step.number} out',
            )
        )

    def _follow(self, step: Step, follow: Follow, frame: Frame, when: Condition) -> None:
        target = self.bench.library.procedures.get(follow.procedure)
        if target is None:
            return
        if follow.procedure in frame.following:
            self._circle(follow, frame)
            return
        if self.bench.count > LONGEST or len(frame.following) > DEEPEST:
            self._too_long(follow)
            return
        when = both(when, target.only_for)
        where = self.bench.where(when, frame)
        if target.once_per_job:
            done = self._done_once.get(follow.procedure, NONE)
            todo = where - done
            if todo is NONE:
                return
            when = self.bench.narrowed(when, where, todo)
            self._done_once[follow.procedure] = done | where
        self.bench.waiting_assumptions = tuple(Assumed(state=state, when=when) for state in target.starts_with)
        key = f"{frame.key}-{follow.procedure}"
        author = frame.author or step
        group = Group(key=key, verb=Verb.FOLLOW, item=None, title=target.title, number=author.number)
        inner = replace(
            frame.within(group, Because(message=target.title, place=target.origin.place)),
            when=when,
            chosen={**{option.id: option.default for option in target.options.values()}, **follow.options},
            key=key,
            ids={},
            following=(*frame.following, follow.procedure),
        )
        self.work(_with_what_follows(target.steps, step), inner)

    def _too_long(self, follow: Follow) -> None:
        if not self.is_cut_short:
            self.is_cut_short = True
            self.findings.append(
                Finding(
                    check="order-undecided",
                    severity=Severity.ERROR,
                    place=follow.place,
                    message=f"With what it follows it comes to over {LONGEST} steps, or lies over {DEEPEST} procedures "
                    "deep, and is planned no further.",
                    remedy="follow fewer procedures, or each of them once",
                )
            )

    def _circle(self, follow: Follow, frame: Frame) -> None:
        start = frame.following.index(follow.procedure)
        ring = (*frame.following[start:], follow.procedure)
        if frame.following[0] != min(ring):
            return  # every procedure that leads into the circle meets it; it is told once
        procedures = self.bench.library.procedures
        self.findings.append(
            Finding(
                check="circular-follow",
                severity=Severity.ERROR,
                place=follow.place,
                message=f"The procedures follow each other in a circle and never end: {' → '.join(ring)}.",
                because=tuple(
                    Because(message=f"{name} begins here", place=procedures[name].origin.place)
                    for name in ring[:-1]
                    if name in procedures
                ),
                remedy=f'take "follow: {follow.procedure}" out of one of them',
            )
        )


def _with_what_follows(steps: tuple[Step, ...], step: Step) -> tuple[Step, ...]:
    """The followed steps; what the one who follows them adds stands with the first."""
    if not steps:
        return ()
    first = steps[0]
    added = replace(
        first,
        notices=tuple(dict.fromkeys((*step.notices, *first.notices))),
        needs=tuple(dict.fromkeys((*step.needs, *first.needs))),
        tools=tuple(dict.fromkeys((*step.tools, *first.tools))),
        note=step.note or first.note,
        why=step.why or first.why,
    )
    return (added, *steps[1:])


def _closes_with_something(step: Step) -> bool:
    """Whether an author wants something done when all that a step stands for is done."""
    return bool(step.sets or step.record or step.sign or step.accept or step.limits or step.branch or step.go_back_to)
