"""Words for steps whose authors wrote none, made from the data of the items: count, thread, spanner, torque.

Figures are named in braces and never typed, so that they cannot go stale: `{pump-bolts.torque}`.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from procgen.fasteners.head_sizes import Head as StandardHead
from procgen.fasteners.spanners import Grip, spanner_for
from procgen.fasteners.threads import ThreadError, parse_thread
from procgen.library.items import Aid, Check, Energy, Fastener, Fluid, Head, Item, Spec
from procgen.library.procedure import Action, Step
from procgen.library.state import Verb

_SENTENCES: dict[Verb, str] = {
    Verb.REMOVE: "Take off the {item}.",
    Verb.FIT: "Put the {item} in place.",
    Verb.LOOSEN: "Loosen the {item}.",
    Verb.TIGHTEN: "Tighten the {item}.",
    Verb.DISCONNECT: "Disconnect the {item}.",
    Verb.CONNECT: "Connect the {item}.",
    Verb.DRAIN: "Drain the {item}.",
    Verb.FILL: "Fill in the {item}.",
    Verb.ISOLATE: "Isolate the {item}.",
    Verb.RESTORE: "Restore the {item}.",
    Verb.RELEASE: "Release the {item}.",
    Verb.PLACE: "Put the {item} in place.",
    Verb.WITHDRAW: "Take the {item} out.",
    Verb.INSPECT: "Inspect the {item}.",
    Verb.MEASURE: "Measure the {item}.",
    Verb.MARK: "Mark the {item}.",
    Verb.CLEAN: "Clean the {item}.",
    Verb.LUBRICATE: "Lubricate the {item}.",
    Verb.ADJUST: "Adjust the {item}.",
    Verb.TURN: "Turn the {item}.",
    Verb.SET: "Set the {item}.",
    Verb.CHECK: "Check the {item}.",
    Verb.RUN: "Run the {item}.",
    Verb.RENEW: "Renew the {item}.",
}


def words_for(items: Mapping[str, Item], step: Step, actions: Sequence[Action]) -> str:
    """The text of a step, from its actions; empty where there is nothing to say."""
    if step.wait:
        return f"Wait {step.wait.text}."
    loosened = [action.item for action in actions if action.verb is Verb.LOOSEN]
    freed = [action for action in actions if action.verb in (Verb.REMOVE, Verb.DISCONNECT)]
    if loosened and freed:
        off = _SENTENCES[freed[0].verb].replace("{item}", _listed([action.item for action in freed]))
        return f"Undo the {_listed(loosened, items)}. {off}"
    by_verb: dict[Verb, list[str]] = {}
    for action in actions:
        by_verb.setdefault(action.verb, []).append(action.item)
    return " ".join(_sentence(items, verb, named) for verb, named in by_verb.items())


def _sentence(items: Mapping[str, Item], verb: Verb, named: list[str]) -> str:
    own = [_own_words(items.get(name), verb, name) for name in named]
    if all(own):
        return " ".join(own)
    return _SENTENCES[verb].replace("{item}", _listed(named, items if verb is Verb.LOOSEN else None))


def _own_words(item: Item | None, verb: Verb, item_id: str) -> str:
    """What an item's own data say about doing that; empty where they say nothing."""
    match item, verb:
        case Fastener(torque=torque), Verb.TIGHTEN if torque is not None:
            return f"Tighten the {{{item_id}}}: {{{item_id}.torque}}.{_sizes(item)}"
        case Fastener(), Verb.TIGHTEN:
            return f"Tighten the {{{item_id}}}.{_sizes(item)}"
        case Fluid(capacity=capacity), Verb.FILL if capacity is not None:
            return f"Fill in {{{item_id}.capacity}} of {{{item_id}}}."
        case Energy(isolated_by=how), Verb.ISOLATE if how is not None:
            return f"Isolate the {{{item_id}}}. {how}"
        case Spec(limits=limits), Verb.MEASURE if limits is not None:
            return f"Measure the {{{item_id}}}: {{{item_id}.limits}}."
        case Check(do=do), Verb.CHECK if do is not None:
            return str(do)
        case Aid(supports=supports), Verb.PLACE if supports:
            return f"Put the {{{item_id}}} in place, so that it carries the {_listed(list(supports))}."
        case _:
            return ""


def _sizes(fastener: Fastener) -> str:
    told = fastener_words(fastener)
    return f" {told[0].upper()}{told[1:]}." if told else ""


def _listed(named: Sequence[str], items: Mapping[str, Item] | None = None) -> str:
    """Names in braces as English lists them; with `items`, each fastener with its count, thread and spanner."""
    parts = []
    for name in named:
        item = items.get(name) if items else None
        told = fastener_words(item) if isinstance(item, Fastener) else ""
        parts.append(f"{{{name}}} ({told})" if told else f"{{{name}}}")
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def fastener_words(fastener: Fastener) -> str:
    """Count, thread and spanner of a fastener: "6 × M8x1.25, 13 mm spanner"; empty where nothing is known."""
    thread = f"{fastener.count} × {fastener.thread}" if fastener.count > 1 and fastener.thread else fastener.thread
    return ", ".join(part for part in (thread, spanner_words(fastener)) if part)


def spanner_words(fastener: Fastener) -> str:
    """The tool for the head: "13 mm spanner", "6 mm hexagon key"; empty where it is not known."""
    is_socket = fastener.head is Head.SOCKET
    tool = "hexagon key" if is_socket else "spanner"
    if fastener.across_flats is not None:
        return f"{fastener.across_flats.text} {tool}"
    return _standard_spanner(fastener.thread, fastener.head) if fastener.thread and fastener.head else ""


_STANDARD = frozenset({Head.HEX, Head.NUT, Head.FLANGE, Head.SOCKET})
"""Heads whose spanner or key follows from the thread."""


@lru_cache(maxsize=512)
def _standard_spanner(designation: str, head: Head) -> str:
    if head not in _STANDARD:
        return ""
    try:
        thread = parse_thread(designation)
    except ThreadError:
        return ""
    found = spanner_for(thread, StandardHead(str(head)))
    if found is None:
        return ""
    return f"{found.size} {'hexagon key' if found.grip is Grip.HEXAGON_KEY else 'spanner'}"
