"""Taking a component off and putting it back: by its own steps where it has some, else by steps made from its data."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from procgen.finding import Because
from procgen.library.condition import Condition
from procgen.library.items import Change, Component, Fastener
from procgen.library.origin import ItemId, PartId
from procgen.library.procedure import Action, Step, walk
from procgen.library.state import RESTORES, Verb
from procgen.plan.bench import Bench, action_on
from procgen.plan.cases import NONE, Cases
from procgen.plan.frames import Frame, left_to_author
from procgen.plan.naming import the
from procgen.plan.steps import Group, Maker

_Id = TypeVar("_Id")
Work = Callable[[tuple[Step, ...], Frame], None]
"""Plans a list of steps."""


class Changes:
    """Plans changes of components and lines on a bench."""

    def __init__(self, bench: Bench, work: Work) -> None:
        self.bench = bench
        self.work = work

    def change(self, verb: Verb, item: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        """Take a component off or put it back. `step` carries what its author adds to it, words apart."""
        component = self.bench.machine.items.get(item)
        own = self._own_change(component, verb)
        if own is None or not own.steps or (verb, item) in frame.changing:
            made = self._taken_off if verb is Verb.REMOVE else self._put_back
            made(item, step, frame, when)
        else:
            self._by_own_steps(own, action_on(verb, item, step), step, frame, when)

    def _own_change(self, component: object, verb: Verb) -> Change | None:
        if not isinstance(component, Component):
            return None
        return component.remove if verb is Verb.REMOVE else component.fit

    # By the component's own steps

    def _by_own_steps(self, change: Change, action: Action, step: Step, frame: Frame, when: Condition) -> None:
        verb, item = action.verb, action.item
        items = self.bench.machine.items
        how = "comes off" if verb is Verb.REMOVE else "goes back"
        title = f"{'Take off' if verb is Verb.REMOVE else 'Fit'} {the(items, item)}"
        key = f"{frame.key}-{item}"
        group = Group(key=key, verb=verb, item=item, title=title, number=(frame.author or step).number)
        because = Because(message=f"how {the(items, item)} {how}", place=change.origin.place)
        inner = replace(
            frame.within(group, because),
            when=when,
            maker=Maker.COMPONENT,
            key=key,
            ids={},
            chosen={},
            changing=(*frame.changing, (verb, item)),
        )
        self.work(self._with_change(change, verb, item, step), inner)

    def _with_change(self, change: Change, verb: Verb, item: ItemId, step: Step) -> tuple[Step, ...]:
        """The component's steps, with what whoever asked for the change adds, and the change itself in one of them."""
        steps = list(change.steps)
        if not any(
            (action.verb, action.item) == (verb, item) for each in walk(change.steps) for action in each.actions
        ):
            last = steps[-1]
            steps[-1] = replace(last, actions=(*last.actions, action_on(verb, item, last)))
        fresh = self._new_parts(verb, item, change.steps, step)
        if fresh:
            index = _index_of(steps, verb, item)
            steps[index] = replace(steps[index], new=tuple(dict.fromkeys((*steps[index].new, *fresh))))
        timed = any(each.minutes is not None for each in walk(change.steps))
        steps[0] = with_first(
            replace(
                steps[0],
                notices=tuple(dict.fromkeys((*change.notices, *steps[0].notices))),
                tools=tuple(dict.fromkeys((*change.tools, *steps[0].tools))),
                minutes=steps[0].minutes if timed else change.minutes,
            ),
            step,
        )
        return tuple(steps)

    def _new_parts(self, verb: Verb, item: ItemId, steps: tuple[Step, ...], step: Step) -> tuple[PartId, ...]:
        """What is new when the item goes back: what the author says, and the single-use parts that nobody names."""
        if verb not in RESTORES:
            return step.new
        named = {part for each in walk(steps) for part in (*each.new, *(amount.part for amount in each.uses))}
        missing = (part for part in self.bench.structure.renewed_with(item) if part not in named)
        return tuple(dict.fromkeys((*step.new, *missing)))

    # By steps made from data

    def _taken_off(self, item: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        bench, structure = self.bench, self.bench.structure
        first = step
        for line in structure.lines_of(item):
            where = bench.where(when, frame)
            todo = where - bench.course.world.own(line)
            if todo is not NONE:
                self.part(line, first, frame, bench.narrowed(when, where, todo))
                first = _bare(step)
        loosened, rest = self._to_loosen(item, first, frame, when)
        actions = [*loosened, action_on(Verb.REMOVE, item, step)]
        bench.plan(with_first(_bare(step), rest), frame, when, actions=actions, maker=Maker.DATA, hint=item)

    def part(self, line: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        """Part a line, its own fasteners first."""
        loosened, rest = self._to_loosen(line, step, frame, when)
        actions = [*loosened, action_on(Verb.DISCONNECT, line, step)]
        self.bench.plan(with_first(_bare(step), rest), frame, when, actions=actions, maker=Maker.DATA, hint=line)

    def _to_loosen(self, item: ItemId, step: Step, frame: Frame, when: Condition) -> tuple[list[Action], Step]:
        """The fasteners that are loosened in one go with the removal; those loose in some cases get their own step."""
        bench = self.bench
        together: list[Action] = []
        for fastener in bench.structure.held_by(item):
            where = bench.where(when, frame)
            todo = where - bench.course.world.own(fastener)
            action = action_on(Verb.LOOSEN, fastener, step)
            if todo is not NONE and todo.covers(where):
                together.append(action)
            elif todo is not NONE:
                narrowed = bench.narrowed(when, where, todo)
                bench.plan(step, frame, narrowed, actions=[action], maker=Maker.DATA, hint=fastener)
                step = _bare(step)
        return together, step

    def _put_back(self, item: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        bench, structure = self.bench, self.bench.structure
        fresh = self._new_parts(Verb.FIT, item, (), step)
        fitting = _renewing(with_first(_bare(step), step), fresh)
        bench.plan(fitting, frame, when, actions=[action_on(Verb.FIT, item, step)], maker=Maker.DATA, hint=item)
        self.tighten_all(item, _bare(step), frame, when)
        for line in structure.lines_of(item):
            where = bench.where(when, frame)
            todo = where & bench.course.world.own(line) - self._any_off(structure.owners(line))
            if todo is not NONE and not left_to_author(structure, Verb.CONNECT, line, frame.rest):
                self.join(line, _bare(step), frame, bench.narrowed(when, where, todo))

    def join(self, line: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        """Join a line, its own fasteners last."""
        joining = _renewing(step, self._new_parts(Verb.CONNECT, line, (), step))
        action = action_on(Verb.CONNECT, line, step)
        self.bench.plan(joining, frame, when, actions=[action], maker=Maker.DATA, hint=line)
        self.tighten_all(line, _bare(step), frame, when)

    def tighten_all(self, item: ItemId, step: Step, frame: Frame, when: Condition) -> None:
        """Tighten what holds an item, as far as all that it holds is there and nobody does it later."""
        bench, structure = self.bench, self.bench.structure
        for fastener in structure.held_by(item):
            where = bench.where(when, frame)
            todo = where & bench.course.world.own(fastener) - self._any_off(structure.holders(fastener))
            if todo is NONE or left_to_author(structure, Verb.TIGHTEN, fastener, frame.rest):
                continue
            record = bench.machine.items.get(fastener)
            fresh = (record.part,) if isinstance(record, Fastener) and record.part and not record.reusable else ()
            narrowed = bench.narrowed(when, where, todo)
            action = action_on(Verb.TIGHTEN, fastener, step)
            bench.plan(_renewing(step, fresh), frame, narrowed, actions=[action], maker=Maker.DATA, hint=fastener)

    def _any_off(self, items: Iterable[str]) -> Cases:
        off = NONE
        for item in items:
            off = off | self.bench.course.world.own(item)
        return off


def with_first(step: Step, author: Step) -> Step:
    """The first step of a change, with what its author adds to the beginning."""
    if not _adds_anything(author):
        return step
    return replace(
        step,
        why=author.why or step.why,
        note=author.note or step.note,
        notices=_merged(author.notices, step.notices),
        tools=_merged(author.tools, step.tools),
        uses=(*step.uses, *author.uses),
        figure=author.figure or step.figure,
        see=tuple(dict.fromkeys((*step.see, *author.see))),
        minutes=author.minutes if author.minutes is not None else step.minutes,
        needs=tuple(dict.fromkeys((*author.needs, *step.needs))),
        accepting=(*step.accepting, *author.accepting),
    )


def _adds_anything(author: Step) -> bool:
    return bool(
        author.why
        or author.note
        or author.notices
        or author.tools
        or author.uses
        or author.figure
        or author.see
        or author.minutes is not None
        or author.needs
        or author.accepting
    )


def _merged(first: tuple[_Id, ...], second: tuple[_Id, ...]) -> tuple[_Id, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def _renewing(step: Step, parts: tuple[PartId, ...]) -> Step:
    return replace(step, new=parts) if parts != step.new else step


def _bare(step: Step) -> Step:
    """A step made from data where `step` asked for it: nothing of what its author added."""
    return Step(number=step.number, origin=step.origin, accepting=step.accepting)


def _index_of(steps: list[Step], verb: Verb, item: ItemId) -> int:
    """Which step makes the change; the last where it is only in a branch."""
    for index, step in enumerate(steps):
        if any((action.verb, action.item) == (verb, item) for action in step.actions):
            return index
    return len(steps) - 1
