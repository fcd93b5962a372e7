"""Reads what people write about states and acts: `timing-belt off`, `not at-tdc`, `turn crankshaft`."""

from procgen.finding import Place
from procgen.library.fields import Fields
from procgen.library.near import offer
from procgen.library.origin import ItemId, Kind
from procgen.library.state import BARE_MEANS, WORDS, Act, State, Verb

VERB_TAKES: dict[Verb, tuple[Kind, ...]] = {
    Verb.REMOVE: (Kind.COMPONENT,),
    Verb.FIT: (Kind.COMPONENT,),
    Verb.LOOSEN: (Kind.FASTENER,),
    Verb.TIGHTEN: (Kind.FASTENER,),
    Verb.DISCONNECT: (Kind.LINE,),
    Verb.CONNECT: (Kind.LINE,),
    Verb.DRAIN: (Kind.FLUID,),
    Verb.FILL: (Kind.FLUID,),
    Verb.ISOLATE: (Kind.ENERGY,),
    Verb.RESTORE: (Kind.ENERGY,),
    Verb.RELEASE: (Kind.ENERGY,),
    Verb.PLACE: (Kind.AID,),
    Verb.WITHDRAW: (Kind.AID,),
}
"""The kinds of item that a verb acts on; a verb that is not here takes any."""

_IMPLIES: dict[Verb, tuple[Kind, ...]] = {Verb.CHECK: (Kind.CHECK,), Verb.MEASURE: (Kind.SPEC,)}
"""What a verb that takes any item says of one that nothing declares."""


def takes(verb: Verb, *, implies: bool) -> tuple[Kind, ...]:
    """The kinds that `verb` acts on; where `implies`, also what it says of an item that nothing declares."""
    return VERB_TAKES.get(verb) or (_IMPLIES.get(verb, ()) if implies else ())


def states(fields: Fields, key: str) -> tuple[State, ...]:
    """The states in the value of `key`."""
    if key not in fields.data:
        return ()
    found = (_state(fields, key, str(value), place) for value, place in fields.each(key))
    return tuple(state for state in found if state)


def acts(fields: Fields, key: str) -> tuple[Act, ...]:
    """The acts in the value of `key`."""
    if key not in fields.data:
        return ()
    found = (_act(fields, key, str(value), place) for value, place in fields.each(key))
    return tuple(act for act in found if act)


def _state(fields: Fields, key: str, text: str, place: Place) -> State | None:
    words = text.split()
    negated = bool(words) and words[0] == "not"
    name, *rest = words[1:] if negated else words or [""]
    if not name or len(rest) > 1:
        _bad(fields, key, place, f'"{text}" is no state.', 'write an item and its state: "timing-belt off"')
        return None
    item = fields.item(name, key, place, *_implied_kind(fields, name, rest))
    if item is None:
        return None
    kind = _kind(fields, item)
    disturbed = WORDS.get(kind, {}).get(rest[0]) if rest else BARE_MEANS.get(kind)
    if disturbed is None:
        allowed = " or ".join(f'"{name} {word}"' for word in WORDS.get(kind, {}))
        said = f'"{rest[0]}" is no state of a {kind}' if rest else f'"{name}" is a {kind}, and its state is not given'
        _bad(fields, key, place, f"{said}.", f"write {allowed}" if allowed else f"a {kind} has no states")
        return None
    return State(ItemId(item), disturbed is not negated, place)


def _implied_kind(fields: Fields, name: str, rest: list[str]) -> tuple[Kind, ...]:
    # Only where nothing declares the item does its state word tell what it is.
    if fields.reader.scope.find(name):
        return ()
    if not rest:
        return (Kind.CONDITION,)
    return tuple(kind for kind, words in WORDS.items() if rest[0] in words)[:1]


def _kind(fields: Fields, item: str) -> Kind:
    scope = fields.reader.scope
    declared = scope.find(item)
    return declared.address.kind if declared else scope.implied[item]


def _act(fields: Fields, key: str, text: str, place: Place) -> Act | None:
    verb_text, _, name = text.strip().partition(" ")
    if not name:
        _bad(fields, key, place, f'"{text}" is no act.', 'write a verb and an item: "turn crankshaft"')
        return None
    if verb_text not in frozenset(Verb):
        remedy = offer(verb_text, list(Verb), "use one of " + ", ".join(Verb))
        _bad(fields, key, place, f'"{verb_text}" is no verb of a step.', remedy)
        return None
    verb = Verb(verb_text)
    item = fields.item(name.strip(), key, place, *takes(verb, implies=bool(fields.reader.scope.implies)))
    return Act(verb, item, place) if item else None


def _bad(fields: Fields, key: str, place: Place, message: str, remedy: str) -> None:
    fields.fail("bad-condition", key, place, f"`{key}`: {message}", remedy)
