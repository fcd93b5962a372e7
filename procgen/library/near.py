"""Names that an author may have meant."""

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 60
"""Characters; nobody mistypes more, and the comparison is quadratic."""


def near(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known names most like `word`, nearest first, at most three; case and spaces do not matter.

    Where none is like it, those that begin with it: "guard" for "guard-bolts".
    """
    by_folded = {name.casefold(): name for name in known}
    folded = word[:_LONGEST].casefold().replace("_", "-").replace(" ", "-")
    close = get_close_matches(folded, by_folded, n=3, cutoff=0.7)
    longer = [name for name in by_folded if name.startswith(f"{folded}-")][:3]
    return tuple(by_folded[each] for each in close or longer)


def did_you_mean(names: Iterable[str]) -> str:
    """The question that offers `names`; empty where there are none."""
    offered = " or ".join(f'"{name}"' for name in names)
    return f"did you mean {offered}?" if offered else ""


def offer(word: str, known: Iterable[str], otherwise: str) -> str:
    """A remedy that offers the names most like `word`, or `otherwise` where none is near."""
    return did_you_mean(near(word, known)) or otherwise
