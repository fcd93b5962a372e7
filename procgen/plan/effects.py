"""What an act changes. Facts are words, so that one table of states holds them all.

A fact is the id of an item (True: disturbed; of a condition: true; of a check: done), or one of those that are kept for
a check: "unchecked ID" (a vital item was changed and not yet checked), "seal ID PART" (a single-use part has been
disturbed), "owed N" (what rule N still demands), "warned KIND" (a notice has announced that kind of energy).

Removing a component and parting a line leaves their fasteners loose, and so does fitting and connecting. A check counts
no more once an item in its `of`, or a fastener of that, is changed. What an `after` rule demands lapses when its act is
undone.
"""

from collections.abc import Iterator

from procgen.library.items import Check, Component
from procgen.library.machine import After
from procgen.library.state import DISTURBS, RESTORES, Verb
from procgen.plan.structure import Structure

Effect = tuple[str, bool]
"""A fact, and what it becomes."""

UNDOES: dict[Verb, Verb] = {
    verb: back
    for one, other in (
        (Verb.REMOVE, Verb.FIT),
        (Verb.LOOSEN, Verb.TIGHTEN),
        (Verb.DISCONNECT, Verb.CONNECT),
        (Verb.DRAIN, Verb.FILL),
        (Verb.ISOLATE, Verb.RESTORE),
        (Verb.PLACE, Verb.WITHDRAW),
    )
    for verb, back in ((one, other), (other, one))
}
"""For each verb that changes a state the verb that changes it back; what is released is not put back."""

_ON_FASTENED = frozenset({Verb.REMOVE, Verb.FIT, Verb.DISCONNECT, Verb.CONNECT})


def unchecked(item: str) -> str:
    """The fact that a vital item was changed and has not had its check since."""
    return f"unchecked {item}"


def seal(item: str, part: str) -> str:
    """The fact that a single-use part of an item has been disturbed and not renewed."""
    return f"seal {item} {part}"


def owed(rule: int) -> str:
    """The fact that what the rule of that number demands has not been done yet."""
    return f"owed {rule}"


def warned(kind: str) -> str:
    """The fact that a notice has announced that kind of energy."""
    return f"warned {kind}"


def effects(structure: Structure, verb: Verb, item: str) -> Iterator[Effect]:
    """What an act makes true and false, in order."""
    if verb in DISTURBS or verb in RESTORES:
        yield from _changed(structure, verb, item)
    check = structure.items.get(item)
    if verb is Verb.CHECK and isinstance(check, Check):
        yield item, True
        yield from ((unchecked(each), False) for each in check.of)
    yield from ((condition, False) for condition in structure.lost_by((verb, item)))
    yield from ((energy, False) for energy in structure.back_by((verb, item)))
    for number, rule in enumerate(structure.rules):
        if isinstance(rule, After):
            if (rule.act.verb, rule.act.item) == (verb, item):
                yield owed(number), True
            elif (verb, item) in ((rule.must.verb, rule.must.item), (UNDOES.get(rule.act.verb), rule.act.item)):
                yield owed(number), False


def _changed(structure: Structure, verb: Verb, item: str) -> Iterator[Effect]:
    yield item, verb in DISTURBS
    fasteners = structure.held_by(item) if verb in _ON_FASTENED else ()
    yield from ((fastener, True) for fastener in fasteners)
    for touched in _touched(structure, item, fasteners):
        yield from ((check, False) for check in structure.checks_of(touched))
        component = structure.items.get(touched)
        if isinstance(component, Component) and component.vital:
            yield unchecked(touched), True
    if verb in DISTURBS:
        yield from ((seal(item, part), True) for part in structure.renewed_with(item))


def _touched(structure: Structure, item: str, fasteners: tuple[str, ...]) -> tuple[str, ...]:
    """The item, and whatever else its own fasteners, or it as a fastener, hold."""
    held = (holder for fastener in (item, *fasteners) for holder in structure.holders(fastener))
    return tuple(dict.fromkeys((item, *held)))
