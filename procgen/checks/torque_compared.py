"""One joint, one figure: what else in the library says how tight something is.

What other sources say (`other-values`) is compared by sources-disagree.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from itertools import chain

from procgen.checks.check import Subject
from procgen.checks.prose import tightening_in_prose
from procgen.checks.tightenings import stage_place
from procgen.checks.written_steps import written_steps
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Check, Component, Energy, Fastener, Item
from procgen.library.library import Library
from procgen.library.origin import Kind, Prose
from procgen.library.procedure import Step
from procgen.library.references import references
from procgen.measure.error import MeasureError
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.measure.torque import To, Torque, Turn
from procgen.measure.typeset import show
from procgen.measure.unit_table import UNITS, Dimension
from procgen.measure.units import spellings_of


def torque_differs(subject: Subject) -> Iterator[Finding]:
    """The same fastener, declared in two places, with two figures."""
    first: dict[tuple[str, ...], Fastener] = {}
    for machine, fastener in _by_machine(subject.library):
        if fastener.torque is None:
            continue
        keys = tuple(_names(machine, fastener))
        other = next((first[key] for key in keys if key in first), None)
        for key in keys:
            first.setdefault(key, fastener)
        if other and other.torque and not _agree(other.torque, fastener.torque):
            yield Finding(
                check="torque-differs",
                severity=Severity.WARNING,
                place=stage_place(fastener, 0),
                message=f"{fastener.id} is tightened to {fastener.torque.text} here and to {other.torque.text} "
                "elsewhere: one of the two is wrong, or they are not the same joint.",
                because=(Because(message=f"{other.id}, {other.torque.text}", place=stage_place(other, 0)),),
                remedy="declare it once, in the machine's files, with the figure that holds; "
                "where they are two joints, give them two titles",
            )


def _by_machine(library: Library) -> Iterator[tuple[str, Fastener]]:
    """Every declared fastener with the machine that it is on; empty for procedures that name none."""
    for name, machine in library.machines.items():
        yield from ((name, item) for item in machine.items.values() if isinstance(item, Fastener))
    for name, head in library.heads.items():
        # A procedure that declares no fastener need not be opened to look for one.
        own = [address.id for address, _ in head.declares if address.kind is Kind.FASTENER]
        items = library.procedures[name].machine.items if own else {}
        for fastener in (items[id_] for id_ in own):
            if isinstance(fastener, Fastener):
                yield (head.machine if head.machine in library.machines else ""), fastener


def _names(machine: str, fastener: Fastener) -> Iterator[tuple[str, ...]]:
    """What it would be taken for the same by: its name or its title, on one machine, with the same thread and class."""
    kind = (machine, fastener.thread, fastener.strength_class)
    if machine or fastener.thread:
        yield (*kind, "id", fastener.id)
        yield (*kind, "title", fastener.title.casefold())


def _agree(one: Torque, other: Torque) -> bool:
    """Whether two torques leave the same load, as far as their authors' digits tell."""
    ends, others = one.torque_stages[-1:], other.torque_stages[-1:]
    if len(ends) != len(others) or _angle(one) != _angle(other):
        return False
    return all(_same_figure(end.quantity, mate.quantity) for end, mate in zip(ends, others, strict=True))


def _angle(torque: Torque) -> float:
    return sum(stage.angle.middle_in("°") for stage in torque.stages if isinstance(stage, Turn))


def _same_figure(one: Quantity, other: Quantity) -> bool:
    """Whether two figures are one, rounded: 22 N·m and 16 lbf·ft."""
    theirs = other.to(one.unit)
    return abs(one.middle - theirs.middle) <= max(one.resolution, theirs.resolution) / 2


# A torque typed in a text


def torque_number_in_prose(subject: Subject) -> Iterator[Finding]:
    """A torque typed in a text: it stays behind when the figure is changed."""
    reported = {finding.place for finding in subject.worked_out(tightening_in_prose)}
    for prose, commands, near in _texts(subject):
        for figure in typed_torques(prose.text):
            finding = _judged(prose, figure, commands=commands, near=near)
            if finding and (near or prose.place not in reported):
                yield finding
                break


def _judged(prose: Prose, figure: Quantity, *, commands: bool, near: tuple[Fastener, ...]) -> Finding | None:
    own = next((fastener for fastener in near if any(_same_figure(each, figure) for each in _own(fastener))), None)
    because: tuple[Because, ...] = ()
    if own:
        message = f"{show(figure)} is typed in the text; when {own.id} gets another figure, the text keeps this one."
        remedy = f"write {{{own.id}.torque}}: the manual puts the figure in, in both units"
    elif not commands and any(_same_figure(each, figure) for fastener in near for each in _others(fastener)):
        return None  # the text tells of another source's value, which stands beside it under `other-values`
    elif near:
        other = near[0]
        given = other.torque.text if other.torque else "none at all"
        message = f"The text says {show(figure)}, and the torque of {other.id} is {given}."
        because = (Because(message=f"the torque of {other.id}", place=stage_place(other, 0)),)
        remedy = f"see which of the two is right, and write {{{other.id}.torque}} in the text"
    else:
        message = f"{show(figure)} is typed in the text, and no fastener is named that it could belong to."
        remedy = "give the fastener the figure as its `torque:`, and write its name with .torque in braces here"
    return Finding(
        check="torque-number-in-prose",
        severity=Severity.WARNING,
        place=prose.place,
        message=message,
        because=because,
        remedy=remedy,
    )


def _own(fastener: Fastener) -> Iterator[Quantity]:
    return (
        (stage.quantity for stage in fastener.torque.stages if isinstance(stage, To)) if fastener.torque else iter(())
    )


def _others(fastener: Fastener) -> Iterator[Quantity]:
    for other in fastener.other_values:
        if other.torque:
            yield from (stage.quantity for stage in other.torque.stages if isinstance(stage, To))


Items = Mapping[str, Item]

_DIGIT = re.compile(r"\d")
Text = tuple[Prose, bool, tuple[Fastener, ...]]
"""A text with a figure in it, whether it tells what to do, and the fasteners that it is near to, the nearest first."""


def _texts(subject: Subject) -> Iterator[Text]:
    for written in written_steps(subject):
        yield from _of_step(written.step, written.items)
    for machine in subject.machines:
        for item in machine.items.values():
            yield from _of_item(item, machine.items)
    for procedure in subject.procedures:
        for name in procedure.local_items:
            yield from _of_item(procedure.machine.items[name], procedure.machine.items)
        yield from _near(((procedure.summary, False), (procedure.note, False)), (), procedure.machine.items)


def _of_step(step: Step, items: Items) -> Iterator[Text]:
    acted = tuple(action.item for action in reversed(step.actions))  # what is tightened comes last in a step
    texts = ((step.do, True), (step.accept, True), (step.proof, True), (step.why, False), (step.note, False))
    return _near(texts, acted, items)


def _of_item(item: Item, items: Items) -> Iterator[Text]:
    do: Prose | None = None
    named: tuple[str, ...] = (item.id,)
    match item:
        case Check(of=of):
            do, named = item.do, of
        case Energy():
            do = item.isolated_by
        case _:
            pass
    return _near(((do, True), (item.note, False)), named, items)


def _near(texts: Iterable[tuple[Prose | None, bool]], named: Iterable[str], items: Items) -> Iterator[Text]:
    for prose, commands in texts:
        if prose is None or not _DIGIT.search(prose.text):
            continue
        in_text = (reference.name for reference in references(prose.text))
        ids = dict.fromkeys(each for name in chain(named, in_text) for each in _meant(name, items))
        found = (items.get(name) for name in ids)
        yield prose, commands, tuple(item for item in found if isinstance(item, Fastener))


def _meant(name: str, items: Items) -> tuple[str, ...]:
    """The fasteners that a name leads to: itself, or those that hold it."""
    item = items.get(name)
    return item.held_by if isinstance(item, Component) else (name,)


def typed_torques(text: str) -> Iterator[Quantity]:
    """Every torque that is typed in a text, with a unit that people write."""
    for match in _typed().finditer(text):
        try:
            yield parse_quantity(match[0], dimension=Dimension.TORQUE)
        except MeasureError:
            continue


@cache
def _typed() -> re.Pattern[str]:
    """A number, a range or a tolerance, and any spelling of a unit of torque."""
    spellings = [word for unit in UNITS if unit.dimension is Dimension.TORQUE for word in spellings_of(unit)]
    units = "|".join(re.escape(word).replace("·", r"[·.\-‑* ]?") for word in sorted(spellings, key=len, reverse=True))
    number = r"\d+(?:[.,]\d+)?"
    return re.compile(
        rf"(?<![\w.,]){number}(?:\s?(?:–|-|\.\.|±|to)\s?{number})?\s?(?:{units.replace(chr(92) + ' ', '[ -]')})(?!\w)",
        re.IGNORECASE,
    )
