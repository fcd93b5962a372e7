"""`open` and `close`: everything in front of an item taken off, outermost first, and put back in reverse."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from procgen.finding import Because
from procgen.library.condition import Condition
from procgen.library.items import Component, Line
from procgen.library.origin import ItemId
from procgen.library.procedure import Step
from procgen.library.state import Verb
from procgen.plan.bench import Bench
from procgen.plan.cases import NONE, Cases
from procgen.plan.changes import Changes
from procgen.plan.frames import Frame
from procgen.plan.naming import the
from procgen.plan.steps import Group
from procgen.plan.structure import Structure


def in_front(structure: Structure, item: str) -> Iterator[ItemId]:
    """The transitive closure of `behind`, outermost first: an order in which all of it can come off.

    What must be off before the lines and fasteners of something in it are reached belongs to it too.
    """
    yield from _in_front(structure, item, {item})


def _in_front(structure: Structure, item: str, seen: set[str]) -> Iterator[ItemId]:
    for front in structure.front_of(item):
        if front in seen:
            continue
        seen.add(front)
        yield from _in_front(structure, front, seen)
        for attached in (*structure.lines_of(front), *structure.held_by(front)):
            yield from _in_front(structure, attached, seen)
        yield front


@dataclass(slots=True)
class _Opened:
    """Something that an `open` took off."""

    aim: ItemId
    """What was to be got at."""
    item: ItemId
    where: Cases
    """Where it was taken off and has not been put back."""


class Access:
    """Plans `open` and `close` on a bench."""

    def __init__(self, bench: Bench, changes: Changes) -> None:
        self.bench = bench
        self.changes = changes
        self._opened: list[_Opened] = []
        self._aims: set[ItemId] = set()

    def open(self, aims: Iterable[ItemId], step: Step, frame: Frame, when: Condition) -> bool:
        """Take off all that is in front of each of `aims`. Tells whether there was anything to take off."""
        before = self.bench.count
        for aim in aims:
            self._aims.add(aim)
            inner = self._group(Verb.OPEN, aim, f"Get at {the(self.bench.machine.items, aim)}", step, frame)
            for item in in_front(self.bench.structure, aim):
                where = self.bench.where(when, inner)
                todo = where - self.bench.course.world.disturbed(item)
                narrowed = self.bench.narrowed(when, where, todo)
                if todo is not NONE and self._move(off=True, item=item, step=step, frame=inner, when=narrowed):
                    self._opened.append(_Opened(aim, item, todo))
                    step = Step(number=step.number, origin=step.origin, accepting=step.accepting)
        return self.bench.count > before

    def close(self, aims: Iterable[ItemId], step: Step, frame: Frame, when: Condition) -> bool:
        """Put back what the opening of `aims` took off, the last first. Tells whether anything was ever opened."""
        wanted = tuple(aims)
        known = all(aim in self._aims for aim in wanted)
        if not known:
            self._take_over(aim for aim in wanted if aim not in self._aims)
        inner = self._group(
            Verb.CLOSE, wanted[0], f"Close up over {the(self.bench.machine.items, wanted[0])}", step, frame
        )
        found = False
        for opened in reversed([each for each in self._opened if each.aim in wanted]):
            found = True
            where = self.bench.where(when, inner)
            todo = where & opened.where & self.bench.course.world.own(opened.item)
            if todo is not NONE:
                narrowed = self.bench.narrowed(when, where, todo)
                self._move(off=False, item=opened.item, step=step, frame=inner, when=narrowed)
                step = Step(number=step.number, origin=step.origin, accepting=step.accepting)
            opened.where = opened.where - where
        self._opened = [each for each in self._opened if each.where is not NONE]
        return known or found

    def _take_over(self, aims: Iterable[ItemId]) -> None:
        """Where nothing was opened: what is off in front, for whatever reason, is what there is to put back."""
        for aim in aims:
            for item in in_front(self.bench.structure, aim):
                off = self.bench.course.world.own(item)
                if off is not NONE:
                    self._opened.append(_Opened(aim, item, off))

    def _group(self, verb: Verb, aim: ItemId, title: str, step: Step, frame: Frame) -> Frame:
        author = frame.author or step
        key = f"{frame.key}-{aim}" if sum(1 for action in step.actions if action.verb is verb) > 1 else frame.key
        group = Group(key=key, verb=verb, item=aim, title=title, number=author.number)
        place = next((action.place for action in step.actions if action.item == aim), step.place)
        return frame.within(group, Because(message=f"{verb}: {aim}", place=place))

    def _move(self, *, off: bool, item: ItemId, step: Step, frame: Frame, when: Condition) -> bool:
        match self.bench.machine.items.get(item):
            case Component():
                self.changes.change(Verb.REMOVE if off else Verb.FIT, item, step, frame, when)
            case Line():
                move = self.changes.part if off else self.changes.join
                move(item, step, frame, when)
            case _:
                return False
        return True
