"""Names that an author may have meant."""

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 60
"""Characters; nobody mistypes more, and the comparison is quadratic."""


def near(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known names most like `word`, nearest first, at most three; case and spaces do not matter."""
    by_folded = {name.casefold(): name for name in known}
    folded = word[:_LONGEST].casefold().replace("_", "-").replace(" ", "-")
    return tuple(by_folded[each] for each in get_close_matches(folded, by_folded, n=3, cutoff=0.7))


def did_you_mean(names: Iterable[str]) -> str:
    """The question that offers `names`; empty where there are none."""
    offered = " or ".join(f'"{name}"' for name in names)
    return f"did you mean {offered}?" if offered else ""
