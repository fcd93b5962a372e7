"""The one error of this layer: a figure that cannot be read, told so that its author can mend it."""

import difflib
from collections.abc import Iterable


class MeasureError(ValueError):
    """An author's figure that cannot be read. `str(error)` is for people and complete.

    path: the keys and indices that lead from the value given to the part at fault; () is the value itself.
    at_key: the fault is the last key of the path, not what stands behind it.
    """

    def __init__(self, message: str, path: tuple[str | int, ...] = (), *, at_key: bool = False) -> None:
        super().__init__(message)
        self.path = path
        self.at_key = at_key


def near_names(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """Up to three known names that look like the word, the nearest first, capitals ignored."""
    by_folded: dict[str, str] = {}
    for name in known:
        by_folded.setdefault(name.casefold(), name)
    return tuple(by_folded[near] for near in difflib.get_close_matches(word.casefold()[:60], by_folded, cutoff=0.65))


def either(names: Iterable[str]) -> str:
    """The names as a choice: "a", "a or b", "a, b or c"."""
    *most, last = names
    return f"{', '.join(most)} or {last}" if most else last


def excerpt(text: str) -> str:
    """The author's text in quotes; a long one cut short so that the message stays readable."""
    return f'"{text}"' if len(text) <= 60 else f'"{text[:45]}…"'
