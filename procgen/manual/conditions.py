"""Path conditions on a page: in words for everyone, and as data for the switches.

What an inspection will say is not known while reading, so a step is hidden only where the options and variants alone
rule it out.
"""

from collections.abc import Callable, Mapping
from typing import assert_never

from procgen.library.condition import ALWAYS, All, Any, Condition, Is, Not

Word = Callable[[Is], str]
"""One comparison in words: "flush", "step 14 not accepted"."""


def without(condition: Condition, known: Condition) -> Condition:
    """What `condition` asks for beyond `known`, which the place on the page says already."""
    given = set(_parts(known))
    left = tuple(part for part in _parts(condition) if part not in given)
    return left[0] if len(left) == 1 else All(left)


def _parts(condition: Condition) -> tuple[Condition, ...]:
    return condition.of if isinstance(condition, All) else (condition,)


def is_always(condition: Condition) -> bool:
    """Whether nothing is asked for."""
    return condition == ALWAYS


def in_words(condition: Condition, word: Word) -> str:
    """The condition as a reader would say it; empty where it always holds."""
    match condition:
        case Is():
            return word(condition)
        case Not(Is(name, bool(value))):
            return word(Is(name, not value))
        case Not(of):
            return f"not ({in_words(of, word)})"
        case All(of):
            return " and ".join(_grouped(part, word) for part in of)
        case Any(of):
            return " or ".join(_grouped(part, word) for part in of) or "never"
        case _:
            assert_never(condition)


def _grouped(condition: Condition, word: Word) -> str:
    words = in_words(condition, word)
    return f"({words})" if isinstance(condition, Any) and len(condition.of) > 1 else words


def as_data(condition: Condition, chosen: frozenset[str]) -> str:
    """The condition for the switches, in Polish notation; empty where the names in `chosen` can never rule it out.

    `&2 flush=true !1 cooling=keel-cooler`: "and" of two, "not" of one. A question mark stands for what only an
    inspection can tell.
    """
    parts = [_tokens(part, chosen) for part in _parts(condition)]
    # Where all must hold, what cannot be known never rules a step out.
    telling = [part for part in parts if part != ["?"]]
    return " ".join(_joined("&", telling)) if telling else ""


def _tokens(condition: Condition, chosen: frozenset[str]) -> list[str]:
    match condition:
        case Is(name, value):
            return [f"{name}={str(value).lower() if isinstance(value, bool) else value}"] if name in chosen else ["?"]
        case Not(of):
            inner = _tokens(of, chosen)
            return inner if inner == ["?"] else ["!1", *inner]
        case All(of) | Any(of):
            parts = [_tokens(part, chosen) for part in of]
            if parts and all(part == ["?"] for part in parts):
                return ["?"]
            return _joined("&" if isinstance(condition, All) else "|", parts)
        case _:
            assert_never(condition)


def _joined(mark: str, parts: list[list[str]]) -> list[str]:
    return parts[0] if len(parts) == 1 else [f"{mark}{len(parts)}", *(token for part in parts for token in part)]


def may_hold(condition: Condition, known: Mapping[str, bool | str]) -> bool | None:
    """Whether a condition holds when only some choices are known; None where these do not decide it."""
    match condition:
        case Is(name, value):
            return known[name] == value if name in known else None
        case Not(of):
            inner = may_hold(of, known)
            return None if inner is None else not inner
        case All(of):
            answers = {may_hold(part, known) for part in of}
            return False if False in answers else (None if None in answers else True)
        case Any(of):
            answers = {may_hold(part, known) for part in of}
            return True if True in answers else (None if None in answers else False)
        case _:
            assert_never(condition)
