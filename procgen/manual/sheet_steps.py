"""The steps of a sheet: each as its procedure's page shows it, with the boxes that it asks for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from markupsafe import Markup

from procgen.library.condition import ALWAYS, Condition, renamed
from procgen.manual.conditions import as_data
from procgen.manual.fingerprint import fingerprint
from procgen.manual.notice_view import NoticeView
from procgen.manual.sheet_view import (
    Message,
    PauseView,
    ReadingView,
    RunDownView,
    SheetGroup,
    SheetRun,
    SheetStep,
    StopLine,
)
from procgen.manual.sheet_words import own_words
from procgen.manual.step_view import GroupView, Run, StepView
from procgen.manual.step_writer import StepWriter
from procgen.manual.work import anchor_of
from procgen.measure.quantity import Quantity
from procgen.measure.typeset import show
from procgen.plan.steps import PlannedStep
from procgen.sheet.boxes import Form, ReadingBox, RunDownBox, StepBoxes
from procgen.sheet.reading import Scale, scale_of


@dataclass(frozen=True)
class SheetWriter:
    """Puts boxes to the steps of one plan on one leaf."""

    steps: StepWriter
    form: Form
    stops: Mapping[str, StopLine]
    """Points of no return, by the key of the step before which they stand."""
    pauses: Mapping[str, PauseView]
    """Natural stops, by the key of the step before which they stand."""
    anyway: Mapping[str, str]
    """That what a step looks at is renewed whatever is found, by the key of that step."""

    def runs(self) -> tuple[SheetRun, ...]:
        """All steps, in the order of the work."""
        return self._runs(self.steps.runs, set())

    @cached_property
    def codes(self) -> Mapping[str, str]:
        """A short name for each choice, fit for the script."""
        return {name: f"c{place}" for place, name in enumerate(self.form.choices)}

    def coded(self, condition: Condition) -> str:
        """A condition for the script; empty where it always holds."""
        if condition == ALWAYS:
            return ""
        return as_data(renamed(condition, self.codes), frozenset(self.codes.values()))

    @cached_property
    def _by_anchor(self) -> Mapping[str, PlannedStep]:
        return {anchor_of(planned): planned for planned in self.steps.plan.steps}

    def _runs(self, runs: tuple[Run, ...], warned: set[str]) -> tuple[SheetRun, ...]:
        """warned: the messages that have been printed in full; grows on the way."""
        return tuple(
            self._group(run, warned) if isinstance(run, GroupView) else self._step(run, warned) for run in runs
        )

    def _group(self, group: GroupView, warned: set[str]) -> SheetGroup:
        first, *others = self._runs(group.steps, warned)
        # A rest before the first step stands before the heading of the group.
        return SheetGroup(
            title=group.title,
            span=group.span,
            when_words=group.when_words,
            pause=first.pause,
            steps=(replace(first, pause=None), *others),
        )

    @cached_property
    def _repeated(self) -> frozenset[str]:
        """Keys of the steps to which the work may come back."""
        order = [step.key for step in self.form.steps]
        found: set[str] = set()
        for place, step in enumerate(self.form.steps):
            if step.go_back_to:
                found.update(order[order.index(step.go_back_to) : place])
        return frozenset(found)

    def _step(self, view: StepView, warned: set[str]) -> SheetStep:
        key = self._by_anchor[view.anchor].key
        boxes = self.form.by_key[key]
        return SheetStep(
            view=view,
            messages=tuple(_message(notice, warned) for notice in view.notices),
            key=key,
            mark=fingerprint(own_words(view)),
            when=self.coded(boxes.when),
            outcome=self.codes.get(boxes.outcome or "", ""),
            by_reading=boxes.by_reading,
            go_back=boxes.go_back_to or "",
            times=_times(boxes.ticks, ""),
            readings=tuple(self._reading(box) for box in boxes.readings),
            comes_again=key in self._repeated,
            run_downs=tuple(self._run_down(box) for box in boxes.run_downs),
            written=self._written(boxes),
            signs=boxes.signs,
            stop=self.stops.get(key),
            pause=self.pauses.get(key),
            anyway=self.anyway.get(key, ""),
            branch=self._runs(view.branch, warned),
        )

    def _written(self, boxes: StepBoxes) -> tuple[Markup, ...]:
        leaf, machine = self.steps.leaf, self.steps.plan.machine
        return tuple(leaf.line(words, machine) for words in boxes.words_to_write)

    def _scale(self, quantity: Quantity) -> Scale:
        return scale_of(quantity, self.steps.leaf.library.manual.units)

    def _reading(self, box: ReadingBox) -> ReadingView:
        scale = box.scale(self.steps.leaf.library.manual.units)
        return ReadingView(
            id=box.id,
            title=box.title,
            limits=self.steps.leaf.book.measures.view(box.limits) if box.limits else None,
            scale=scale_data(scale) if scale else "",
            unit=scale.units[0].symbol if scale else box.unit,
            times=_times(box.count, "Reading"),
        )

    def _run_down(self, box: RunDownBox) -> RunDownView:
        scale = self._scale(box.figures[0])
        unit = scale.units[0]
        adds = (figure.to(unit) for figure in box.figures)
        return RunDownView(
            fastener=box.fastener,
            title=box.title,
            unit=unit.symbol,
            scale="|".join(f"{each.symbol} - -" for each in scale.units),
            figures=tuple(show(figure) for figure in box.figures),
            adds=" ".join(f"{_exact(figure.low)}:{_exact(figure.high)}" for figure in adds),
            times=_times(box.count, ""),
        )


def _message(notice: NoticeView, warned: set[str]) -> Message:
    """A safety message in full where it stands first; after that its word, its title and what to do."""
    again = notice.title.title in warned
    warned.add(notice.title.title)
    return Message(notice=notice, again=again)


def _times(count: int, alone: str) -> tuple[str, ...]:
    """A label for each of several boxes."""
    return (alone,) if count == 1 else tuple(str(number) for number in range(1, count + 1))


def scale_data(scale: Scale) -> str:
    """A scale for the script: each unit with its limits as exact fractions, a dash for an open end."""
    parts = []
    for unit in scale.units:
        low, high = scale.limits_in(unit)
        parts.append(f"{unit.symbol.replace(' ', '_')} {_exact(low)} {_exact(high)}")
    return "|".join(parts)


def _exact(value: Fraction | None) -> str:
    return "-" if value is None else str(value)


def every_step(runs: tuple[SheetRun, ...]) -> Iterator[SheetStep]:
    """All steps of a sheet, branches after the step that they belong to."""
    for run in runs:
        if isinstance(run, SheetGroup):
            yield from every_step(run.steps)
        else:
            yield run
            yield from every_step(run.branch)
