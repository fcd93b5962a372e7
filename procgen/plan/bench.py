"""Where planned steps are laid down one after the other: numbers, keys, path conditions, and the state so far."""

from collections.abc import Sequence
from dataclasses import replace

from procgen.finding import Because
from procgen.library.condition import Condition, Is, Not, both
from procgen.library.items import Aid, Check, Spec
from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.library.origin import ItemId, Prose, ToolId
from procgen.library.procedure import Action, Step
from procgen.library.state import Verb
from procgen.plan.cases import Cases
from procgen.plan.choices import Choices
from procgen.plan.course import Course
from procgen.plan.frames import Frame
from procgen.plan.naming import said
from procgen.plan.steps import Assumed, Maker, PlannedStep
from procgen.plan.structure import structure_of
from procgen.plan.wording import words_for


class Bench:
    """The steps planned so far, and the state that they lead to."""

    def __init__(self, procedure: Procedure, machine: Machine, library: Library) -> None:
        self.machine = machine
        self.library = library
        self.structure = structure_of(machine, library, procedure.implied_items)
        self.choices = Choices(
            {**{option.id: option.values for option in procedure.options.values()}, **machine.variants}
        )
        self.course = Course(self.structure, library.notices, self.choices)
        self.course.begin(procedure)
        self.outcomes: dict[str, str] = {}
        self.waiting_assumptions: tuple[Assumed, ...] = ()
        """What the next step that is planned must carry: a followed procedure begins with it."""
        self._naming: list[tuple[dict[str, str], str]] = []
        self._counts: dict[str, int] = {}
        self._keys: set[str] = set()

    @property
    def count(self) -> int:
        """How many steps are planned."""
        return len(self.course.steps)

    def name_next(self, ids: dict[str, str], name: str) -> None:
        """The next step that is planned is the one to go back to under that name."""
        self._naming.append((ids, name))

    def where(self, when: Condition, frame: Frame) -> Cases:
        """The ways through that reach a step with that path condition, planned next."""
        return self.course.reach(when, frame.branch_of)

    def narrowed(self, when: Condition, where: Cases, todo: Cases) -> Condition:
        """The path condition that, where `when` leads, leaves only `todo`."""
        return both(when, self.choices.condition(todo, within=where))

    def plan(
        self,
        step: Step,
        frame: Frame,
        when: Condition,
        *,
        actions: Sequence[Action],
        maker: Maker | None = None,
        hint: str = "",
        decides: bool = True,
    ) -> PlannedStep:
        """Lay down one step. `hint` tells its key from others of the same author's step; where it does not `decide`,
        outcome and jump are left to a later one.
        """
        worded = self._with_words(step, actions)
        made = worded.do is not None and step.do is None
        planned = PlannedStep(
            key=self._key(frame, hint),
            number=self._number(frame),
            step=worded,
            actions=tuple(actions),
            maker=maker or (Maker.DATA if made else frame.maker),
            when=when,
            outcome=self._outcome(step) if decides and step.branch else None,
            branch_of=frame.branch_of,
            depth=frame.depth,
            groups=frame.groups,
            led_by=frame.led_by,
            author=frame.author or step,
            go_back_to=frame.ids.get(step.go_back_to) if decides and step.go_back_to else None,
            assumes=self.waiting_assumptions,
        )
        self.waiting_assumptions = ()
        if planned.outcome:
            self.outcomes[planned.outcome] = planned.key
        for ids, name in self._naming:
            ids[name] = planned.key
        self._naming.clear()
        self.course.take(planned)
        return planned

    def close_with(self, author: Step, frame: Frame) -> PlannedStep:
        """Give the last step what its author wanted done when all of it is done: set, sign, record, decide, go back."""
        last = self.course.steps[-1]
        step = replace(
            last.step,
            sets=(*last.step.sets, *author.sets),
            record=(*last.step.record, *author.record),
            sign=tuple(dict.fromkeys((*last.step.sign, *author.sign))),
            accept=author.accept or last.step.accept,
            limits=author.limits or last.step.limits,
            reject=author.reject or last.step.reject,
            out_of_limits=author.out_of_limits or last.step.out_of_limits,
            go_back_to=author.go_back_to or last.step.go_back_to,
        )
        outcome = last.outcome or (self._outcome(author) if author.branch else None)
        changed = replace(
            last,
            step=step,
            outcome=outcome,
            go_back_to=last.go_back_to or (frame.ids.get(author.go_back_to) if author.go_back_to else None),
        )
        if outcome:
            self.outcomes[outcome] = last.key
        self.course.amend(changed, author.sets)
        return changed

    def branch(self, planned: PlannedStep, frame: Frame, rest: tuple[Step, ...]) -> Frame:
        """What holds for the steps in the branch of a planned step; `rest` is what comes after that step."""
        return replace(
            frame,
            when=both(planned.when, Not(Is(planned.outcome or ""))),
            branch_of=planned.key,
            depth=frame.depth + 1,
            prefix=planned.number + ".",
            rest=rest,
        )

    def _with_words(self, step: Step, actions: Sequence[Action]) -> Step:
        """The step with words and tools from the data where its author gave none."""
        items = self.machine.items
        changed: dict[str, object] = {}
        if step.do is None:
            text = words_for(items, step, actions)
            if text:
                changed["do"] = Prose(text, step.place)
        tools: dict[ToolId, None] = dict.fromkeys(step.tools)
        for action in actions:
            item = items.get(action.item)
            if action.verb is Verb.PLACE and isinstance(item, Aid) and item.tool:
                tools[item.tool] = None
            elif action.verb is Verb.MEASURE and isinstance(item, Spec) and not step.tools:
                tools.update(dict.fromkeys(item.tools))
            elif action.verb is Verb.CHECK and isinstance(item, Check) and not step.sign and item.sign:
                changed["sign"] = item.sign
        if len(tools) != len(step.tools):
            changed["tools"] = tuple(tools)
        return replace(step, **changed) if changed else step  # type: ignore[arg-type]

    def _outcome(self, step: Step) -> str:
        """A name for what the step decides, in words that say which way is True."""
        subject = step.actions[0].item if step.actions else f"step {step.number}"
        name = f"{subject} {'accepted' if step.reject else 'within limits'}"
        unique, again = name, 2
        while unique in self.choices.values:
            unique, again = f"{name} ({again})", again + 1
        self.choices.add(unique, (True, False))
        return unique

    def _number(self, frame: Frame) -> str:
        self._counts[frame.prefix] = self._counts.get(frame.prefix, 0) + 1
        return f"{frame.prefix}{self._counts[frame.prefix]}"

    def _key(self, frame: Frame, hint: str) -> str:
        key = "-".join(part for part in (frame.key, hint) if part)
        unique, again = key, 2
        while unique in self._keys:
            unique, again = f"{key}-{again}", again + 1
        self._keys.add(unique)
        return unique


def led_by(step: Step) -> Because:
    """The author's own line, as one of the things that led to a planned step."""
    words = said(step)
    return Because(message=f"step {step.number}: {words}" if words else f"step {step.number}", place=step.place)


def action_on(verb: Verb, item: ItemId, like: Step) -> Action:
    """An action that nobody wrote, at the place of the step that asked for it."""
    return Action(verb, item, like.place)
