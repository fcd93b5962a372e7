"""A moment at which the work rests: what is not in service, what must not be done, what comes next."""

from collections.abc import Iterator

from procgen.library.items import Aid, Component, Energy, Fastener, Fluid, Item, Line, MachineCondition
from procgen.library.machine import Machine, Never
from procgen.library.origin import ItemId
from procgen.manual.sheet_view import PauseGroup, PauseLine, PauseView, RuleLine
from procgen.manual.state_words import state_words
from procgen.manual.step_writer import StepWriter
from procgen.plan.naming import in_sentence, the
from procgen.plan.pause import Pause

LABELS: tuple[tuple[type, str], ...] = (
    (Component, "Off"),
    (Fastener, "Loose"),
    (Line, "Parted"),
    (Fluid, "Drained"),
    (Energy, "Isolated"),
    (Aid, "In place"),
    (MachineCondition, "Holds"),
)
"""What the state of each kind of item is called on a pause sheet, in the order in which it is told."""


def label_of(item: Item) -> str:
    """What the disturbed state of an item is called."""
    return next(label for kind, label in LABELS if isinstance(item, kind))


def rule_words(rule: Never, machine: Machine) -> str:
    """A rule that is armed, as an order: "Do not turn the crankshaft"."""
    words = f"Do not {rule.act.verb.value} {the(machine.items, rule.act.item)}"
    lifted = " or ".join(in_sentence(state_words(state, machine)) for state in rule.unless)
    return f"{words}, unless {lifted}" if lifted else words


def pause_view(pause: Pause, why: str, writer: StepWriter) -> PauseView:
    """The work at rest. why: why it rests well there."""
    return PauseView(
        number=pause.next.number if pause.next else "",
        why=why,
        groups=tuple(_groups(pause, writer)),
        rules=tuple(
            RuleLine(words=rule_words(rule, writer.plan.machine), because=_because(rule, writer))
            for rule in pause.state.armed
        ),
    )


def _because(rule: Never, writer: StepWriter) -> str:
    return writer.leaf.plain(rule.because, writer.plan.machine)


def _groups(pause: Pause, writer: StepWriter) -> Iterator[PauseGroup]:
    state = pause.state
    found = (state.off, state.loose, state.parted, state.drained, state.isolated, state.placed, state.true)
    left_by = _left_by(pause, writer)
    for (_, label), items in zip(LABELS, found, strict=True):
        if items:
            titles = writer.plan.machine.items
            lines = (PauseLine(title=titles[item].title, step=left_by.get(item, "")) for item in items)
            yield PauseGroup(label=label, lines=tuple(lines))


def _left_by(pause: Pause, writer: StepWriter) -> dict[ItemId, str]:
    """For each item the number of the step that left it so: its bag or its tag has that number."""
    numbers: dict[ItemId, str] = {}
    for planned in writer.plan.steps:
        if pause.next and planned.key == pause.next.key:
            break
        if planned.branch_of is None:
            numbers.update(dict.fromkeys((action.item for action in planned.actions), planned.number))
            numbers.update(dict.fromkeys(planned.step.sets, planned.number))
    for bag in pause.bags:
        number = writer.by_key[bag.step].number
        numbers.update(dict.fromkeys((bag.component, *bag.fasteners), number))
    return numbers
