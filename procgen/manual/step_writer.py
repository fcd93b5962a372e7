"""Turns an expanded procedure into the steps of its page: folds, branches under their step, figures where named."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from markupsafe import Markup

from procgen.library.condition import ALWAYS, All, Condition, Is, Not
from procgen.library.items import Check, Fastener, Item, Spec
from procgen.library.machine import Figure, Procedure
from procgen.library.origin import Address, ItemId, Kind, Prose
from procgen.library.procedure import Step
from procgen.library.state import EXPANDED, State, Verb
from procgen.manual import conditions
from procgen.manual.book import Leaf, Link
from procgen.manual.check_view import guarded, reasons
from procgen.manual.facts import duration
from procgen.manual.fastener_view import LoosenPlate, TorquePlate, loosen_plate, torque_plate
from procgen.manual.figure_view import FigureView, callout_anchor, figure_view
from procgen.manual.notice_view import NoticeView, notice_view
from procgen.manual.paths import safe_name
from procgen.manual.state_words import state_words
from procgen.manual.step_view import CalloutMark, Consumed, Doing, GroupView, Limits, Run, StepView
from procgen.manual.work import StepMark, anchor_of, mark_of
from procgen.plan.steps import Group, Maker, Plan, PlannedStep
from procgen.plan.tooling import tools_at


@dataclass(frozen=True)
class StepWriter:
    """Writes the steps of one plan, for its own leaf and for others that lie as deep."""

    plan: Plan
    leaf: Leaf

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """All steps, in the order of the work."""
        top = [planned for planned in self.plan.steps if planned.branch_of is None]
        return tuple(self._runs(top, depth=0, known=ALWAYS))

    @property
    def procedure(self) -> Procedure:
        """Whose steps these are."""
        return self.plan.procedure

    @cached_property
    def by_key(self) -> Mapping[str, PlannedStep]:
        """Every step by its key."""
        return {planned.key: planned for planned in self.plan.steps}

    @cached_property
    def _branches(self) -> Mapping[str, list[PlannedStep]]:
        """The steps of each branch, by the key of the step at which it begins."""
        branches: dict[str, list[PlannedStep]] = {}
        for planned in self.plan.steps:
            if planned.branch_of is not None:
                branches.setdefault(planned.branch_of, []).append(planned)
        return branches

    @cached_property
    def steps_of(self) -> Mapping[str, tuple[StepMark, ...]]:
        """For each item, the steps that are about it."""
        marks: dict[str, list[StepMark]] = {}
        for planned in self.plan.steps:
            for action in planned.actions:
                if mark_of(planned) not in marks.setdefault(action.item, []):
                    marks[action.item].append(mark_of(planned))
        return {item: tuple(found) for item, found in marks.items()}

    def word(self, atom: Is) -> str:
        """One comparison of a path condition in the reader's words."""
        decided_by = self.plan.outcomes.get(atom.name)
        if decided_by is not None and decided_by in self.by_key:
            step = self.by_key[decided_by]
            good = "within its limits" if step.step.out_of_limits else "accepted"
            return f"step {step.number} was {good if atom.value is True else 'not ' + good}"
        words = atom.name.replace("-", " ")
        if isinstance(atom.value, bool):
            return f"{words}: {'yes' if atom.value else 'no'}"
        return f"{words}: {atom.value.replace('-', ' ')}"

    def when_words(self, condition: Condition) -> str:
        """A condition in words; empty where it always holds."""
        return "" if conditions.is_always(condition) else conditions.in_words(condition, self.word)

    def when_data(self, condition: Condition) -> str:
        """A condition for the switches; empty where it always holds."""
        return conditions.as_data(condition, self._chosen)

    @cached_property
    def _chosen(self) -> frozenset[str]:
        """The names that switches set."""
        return frozenset((*self.procedure.options, *self.plan.machine.variants))

    # Folds and branches

    def _runs(self, steps: list[PlannedStep], depth: int, known: Condition) -> Iterator[Run]:
        """depth: how many folds these steps already stand in. known: the condition that their place says already."""
        for group, members in groupby(steps, key=lambda planned: self._group_at(planned, depth)):
            run = list(members)
            if group is None:
                yield from (self._step(planned, known) for planned in run)
            else:
                yield self._group(group, run, depth, known)

    @staticmethod
    def _group_at(planned: PlannedStep, depth: int) -> Group | None:
        folds = folds_of(planned)
        return folds[depth] if depth < len(folds) else None

    def _group(self, group: Group, run: list[PlannedStep], depth: int, known: Condition) -> GroupView:
        shared = self._shared_condition(run)
        asked = conditions.without(shared, known)
        first, last = run[0].number, run[-1].number
        item = self.plan.machine.items.get(group.item) if group.item else None
        return GroupView(
            anchor=f"group-{safe_name(group.key)}",
            title=group.title,
            kind=group.verb.value,
            item=self.leaf.record(item) if item else None,
            span=f"step {first}" if first == last else f"steps {first} to {last}",
            steps=tuple(self._runs(run, depth + 1, shared)),
            when_words=self.when_words(asked),
            when_data=self.when_data(asked),
        )

    @staticmethod
    def _shared_condition(run: list[PlannedStep]) -> Condition:
        """What every step of a run asks for."""
        parts = [planned.when.of if isinstance(planned.when, All) else (planned.when,) for planned in run]
        shared = tuple(part for part in parts[0] if all(part in other for other in parts[1:]))
        return shared[0] if len(shared) == 1 else All(shared)

    def _branch(self, planned: PlannedStep) -> tuple[Run, ...]:
        members = self._branches.get(planned.key)
        if not members:
            return ()
        known = self._with_failed_outcome(planned)
        return tuple(self._runs(members, depth=self._shared_folds(planned, members), known=known))

    @staticmethod
    def _shared_folds(planned: PlannedStep, members: list[PlannedStep]) -> int:
        """How many folds the step and its branch share."""
        shared = 0
        for own, theirs in zip(folds_of(planned), folds_of(members[0]), strict=False):
            if own.key != theirs.key:
                break
            shared += 1
        return shared

    @staticmethod
    def _with_failed_outcome(planned: PlannedStep) -> Condition:
        own = planned.when.of if isinstance(planned.when, All) else (planned.when,)
        failed: tuple[Condition, ...] = ()
        if planned.outcome is not None:
            failed = (Not(Is(planned.outcome)), Is(planned.outcome, False))
        return All((*own, *failed))

    # One step

    def _step(self, planned: PlannedStep, known: Condition) -> StepView:
        step, leaf, machine = planned.step, self.leaf, self.plan.machine
        asked = conditions.without(planned.when, known)
        figure, figure_again = self._figure(planned)
        return StepView(
            number=planned.number,
            anchor=anchor_of(planned),
            doings=tuple(self._doings(planned)),
            text=self._text(planned),
            why=leaf.block(step.why, machine),
            note=leaf.block(step.note, machine),
            proof=leaf.block(step.proof, machine),
            notices=tuple(self._notices(planned)),
            tools=leaf.shelf(Kind.TOOL, step.tools),
            uses=tuple(self._uses(step)),
            new=leaf.shelf(Kind.PART, step.new),
            torques=tuple(self._torques(planned)),
            loosenings=tuple(self._loosenings(planned)),
            limits=tuple(self._limits(planned)),
            records=tuple(self._record(text) for text in step.record),
            signs=self._signs(planned),
            guards=guarded(self._checks(planned), machine, leaf),
            because=tuple(reasons((check.id for check in self._checks(planned)), machine, leaf)),
            accept=leaf.block(step.accept, machine),
            branch_head=self._branch_head(step),
            branch=self._branch(planned),
            go_back=self._go_back(planned),
            repeat=self._repeat(step),
            needs=tuple(self.state_words(state) for state in step.needs),
            sets=leaf.items(step.sets, machine),
            see=tuple(leaf.to(Address(Kind.PROCEDURE, id_)) for id_ in step.see),
            time=duration(step.minutes) if step.minutes else "",
            minutes=f"{step.minutes:g}" if step.minutes else "",
            wait=(step.wait.text or duration(step.wait.minutes)) if step.wait else "",
            figure=figure,
            figure_again=figure_again,
            callouts=tuple(self._callouts(planned)),
            when_words=self.when_words(asked),
            when_data=self.when_data(asked),
        )

    def _text(self, planned: PlannedStep) -> Markup:
        step = planned.step
        text: Prose | None = step.do
        if text is None:
            text = next((check.do for check in self._checks(planned) if check.do), None)
        return self.leaf.block(text, self.plan.machine)

    def _items(self, planned: PlannedStep) -> Iterator[Item]:
        items = self.plan.machine.items
        yield from (items[action.item] for action in planned.actions if action.item in items)

    def _checks(self, planned: PlannedStep) -> Iterator[Check]:
        yield from (item for item in self._items(planned) if isinstance(item, Check))

    def _doings(self, planned: PlannedStep) -> Iterator[Doing]:
        if planned.maker is Maker.DATA:
            return  # the words are made from these very actions and say the same
        for verb, actions in groupby(planned.actions, key=lambda action: action.verb):
            ids = tuple(action.item for action in actions)
            yield Doing(verb.value.capitalize(), self.leaf.items(ids, self.plan.machine))

    def _notices(self, planned: PlannedStep) -> Iterator[NoticeView]:
        for id_ in planned.step.notices:
            notice = self.leaf.library.notices.get(id_)
            if notice:
                yield notice_view(notice, self.leaf, again=(planned.key, id_) in self._said_before)

    @cached_property
    def _said_before(self) -> frozenset[tuple[str, str]]:
        """Step and notice, where the notice stands in full at an earlier step that is done whenever this one is.

        ANSI Z535.6 lets a message inside a procedure be short where it is given in full before.
        """
        in_full: dict[str, set[Condition]] = {}
        again = set()
        for planned in self.plan.steps:
            for id_ in planned.step.notices:
                said_at = in_full.setdefault(id_, set())
                if said_at & {ALWAYS, planned.when}:
                    again.add((planned.key, id_))
                said_at.add(planned.when)
        return frozenset(again)

    def _uses(self, step: Step) -> Iterator[Consumed]:
        links = self.leaf.shelf(Kind.PART, tuple(amount.part for amount in step.uses))
        for amount, link in zip(step.uses, links, strict=True):
            quantity = amount.quantity
            yield Consumed(link, self.leaf.book.measures.text(quantity) if quantity else "")

    def _torques(self, planned: PlannedStep) -> Iterator[TorquePlate]:
        for action in planned.actions:
            item = self.plan.machine.items.get(action.item)
            if action.verb is Verb.TIGHTEN and isinstance(item, Fastener):
                tools = tools_at(planned, self.plan, self.leaf.library)
                yield torque_plate(item, self.leaf, tools, with_order=True)

    def _loosenings(self, planned: PlannedStep) -> Iterator[LoosenPlate]:
        for action in planned.actions:
            item = self.plan.machine.items.get(action.item)
            if action.verb is Verb.LOOSEN and isinstance(item, Fastener):
                plate = loosen_plate(item, planned.step, self.plan.machine, self.leaf)
                yield from (plate,) if plate else ()

    def _limits(self, planned: PlannedStep) -> Iterator[Limits]:
        measures = self.leaf.book.measures
        specs = [item for item in self._items(planned) if isinstance(item, Spec)]
        own = planned.step.limits
        if own:
            yield Limits(self.leaf.record(specs[0]) if specs else None, measures.view(own))
            return
        recorded = (self.plan.machine.items.get(ItemId(name)) for name in planned.step.record)
        specs.extend(item for item in recorded if isinstance(item, Spec))
        for spec in {spec.id: spec for spec in specs}.values():
            if spec.limits:
                yield Limits(self.leaf.record(spec), measures.view(spec.limits))

    def _record(self, text: str) -> Markup:
        item = self.plan.machine.items.get(ItemId(text))
        if item is None:
            return self.leaf.line(text, self.plan.machine)
        link = self.leaf.record(item)
        return Markup('<a href="{}">{}</a>').format(link.href, link.title)

    def _signs(self, planned: PlannedStep) -> tuple[str, ...]:
        if planned.step.sign:
            return planned.step.sign
        return next((check.sign for check in self._checks(planned) if check.sign), ())

    @staticmethod
    def _branch_head(step: Step) -> str:
        if step.out_of_limits:
            return "Outside these limits"
        return "If it is not so" if step.reject else ""

    def _go_back(self, planned: PlannedStep) -> Link | None:
        target = self.by_key.get(planned.go_back_to or "")
        return Link(f"step {target.number}", f"#{anchor_of(target)}") if target else None

    def _repeat(self, step: Step) -> Markup:
        if step.repeat == 1 and step.repeat_for is None:
            return Markup()
        times = f"{step.repeat} times" if step.repeat > 1 else ""
        reason = self.leaf.line(step.repeat_for, self.plan.machine)
        if not reason:
            return Markup("{}").format(times)
        return Markup("{}{}for {}").format(times, ", " if times else "", reason)

    def state_words(self, state: State) -> str:
        """A state as the trade says it: "timing belt off"."""
        return state_words(state, self.plan.machine)

    # Figures

    @cached_property
    def _first_shown(self) -> Mapping[str, str]:
        """For each figure the key of the step that shows it."""
        shown: dict[str, str] = {}
        for planned in self.plan.steps:
            if planned.step.figure:
                shown.setdefault(planned.step.figure, planned.key)
        return shown

    def figure_named(self, id_: str) -> Figure | None:
        """A figure of the procedure, else of its machine."""
        return self.procedure.figures.get(id_) or self.plan.machine.figures.get(id_)

    def _figure(self, planned: PlannedStep) -> tuple[FigureView | None, Link | None]:
        figure = self.figure_named(planned.step.figure) if planned.step.figure else None
        if figure is None:
            return None, None
        if self._first_shown[figure.id] == planned.key:
            return figure_view(figure, self.leaf, self.plan.machine, self.steps_of), None
        return None, Link(figure.title or "the figure", f"#figure-{safe_name(figure.id)}")

    def _callouts(self, planned: PlannedStep) -> Iterator[CalloutMark]:
        """The numbers in this procedure's figures that show what the step is about."""
        items = {action.item for action in planned.actions}
        for id_ in self._first_shown:
            figure = self.figure_named(id_)
            for callout in figure.callouts if figure and not figure.missing else ():
                if callout.item in items:
                    anchor = callout_anchor(f"figure-{safe_name(id_)}", callout.number)
                    yield CalloutMark(callout.number, f"#{anchor}")


def folds_of(planned: PlannedStep) -> tuple[Group, ...]:
    """The groups that a reader sees: what `open`, `close` and `follow` brought. A component's own steps are no fold."""
    return tuple(group for group in planned.groups if group.verb in EXPANDED)
