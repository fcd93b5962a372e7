"""The states that items can be in, the words for them, and the verbs that change them: planning.md's table as data."""

from dataclasses import dataclass
from enum import StrEnum

from procgen.finding import Place
from procgen.library.origin import ItemId, Kind


class Verb(StrEnum):
    """What a step does."""

    OPEN = "open"
    CLOSE = "close"
    FOLLOW = "follow"
    REMOVE = "remove"
    FIT = "fit"
    LOOSEN = "loosen"
    TIGHTEN = "tighten"
    DISCONNECT = "disconnect"
    CONNECT = "connect"
    DRAIN = "drain"
    FILL = "fill"
    ISOLATE = "isolate"
    RESTORE = "restore"
    RELEASE = "release"
    PLACE = "place"
    WITHDRAW = "withdraw"
    INSPECT = "inspect"
    MEASURE = "measure"
    MARK = "mark"
    CLEAN = "clean"
    LUBRICATE = "lubricate"
    ADJUST = "adjust"
    TURN = "turn"
    SET = "set"
    CHECK = "check"
    RUN = "run"
    WAIT = "wait"
    RENEW = "renew"


DISTURBS: dict[Verb, Kind] = {
    Verb.REMOVE: Kind.COMPONENT,
    Verb.LOOSEN: Kind.FASTENER,
    Verb.DISCONNECT: Kind.LINE,
    Verb.DRAIN: Kind.FLUID,
    Verb.ISOLATE: Kind.ENERGY,
    Verb.RELEASE: Kind.ENERGY,
    Verb.PLACE: Kind.AID,
}
"""Verbs that take an item out of service, and the kind of item that they act on."""

RESTORES: dict[Verb, Kind] = {
    Verb.FIT: Kind.COMPONENT,
    Verb.TIGHTEN: Kind.FASTENER,
    Verb.CONNECT: Kind.LINE,
    Verb.FILL: Kind.FLUID,
    Verb.RESTORE: Kind.ENERGY,
    Verb.WITHDRAW: Kind.AID,
}
"""Verbs that put an item back in service, and the kind of item that they act on."""

EXPANDED = frozenset({Verb.OPEN, Verb.CLOSE, Verb.FOLLOW})
"""Verbs that the compiler turns into other steps."""

SUPPLIED = frozenset({"electrical", "fuel", "air", "hydraulic"})
"""Energies that come from a supply: isolated and restored."""

STORED = frozenset({"heat", "pressure", "spring", "raised-load", "motion", "chemical"})
"""Energies that are stored in the machine: released, and gone until something brings them back."""

WORDS: dict[Kind, dict[str, bool]] = {
    Kind.COMPONENT: {"on": False, "off": True},
    Kind.FASTENER: {"tight": False, "loose": True},
    Kind.LINE: {"joined": False, "parted": True},
    Kind.FLUID: {"full": False, "drained": True},
    Kind.ENERGY: {"live": False, "isolated": True, "present": False, "released": True},
    Kind.AID: {"out": False, "in": True},
    Kind.CONDITION: {"false": False, "true": True},
    Kind.CHECK: {"done": True},
}
"""For each kind of item its state words, and whether the word means disturbed."""

BARE_MEANS: dict[Kind, bool] = {
    Kind.FLUID: True,
    Kind.ENERGY: True,
    Kind.AID: True,
    Kind.CONDITION: True,
    Kind.CHECK: True,
}
"""What a name without a state word means: drained, isolated or released, in, true, done."""


@dataclass(frozen=True, slots=True)
class State:
    """A state that something asks for: `timing-belt off`."""

    item: ItemId
    disturbed: bool
    """Which of its two states: True for off, loose, parted, drained, isolated, released, in, true, done."""
    place: Place


@dataclass(frozen=True, slots=True)
class Act:
    """Something done to an item: `turn crankshaft`."""

    verb: Verb
    item: ItemId
    place: Place


def state_word(kind: Kind, *, disturbed: bool, supplied: bool = True) -> str:
    """The trade's word for a state: "off", "tight", "isolated". `supplied` matters for energies only."""
    words = [word for word, value in WORDS[kind].items() if value is disturbed]
    if kind is Kind.ENERGY and not supplied:
        return words[-1]
    return words[0] if words else "not done"
