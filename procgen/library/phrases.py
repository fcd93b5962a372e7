"""How a value, and the place where it stands in a file, are called in messages."""

import re
from collections.abc import Mapping

from procgen.library.origin import Kind
from procgen.library.schema import wanted

Path = tuple[str | int, ...]
"""Keys and positions (from 0) that lead from the top of a file to a value."""

_COUNTED = {
    "steps": "step",
    "reject": "branch step",
    "out-of-limits": "branch step",
    "rules": "rule",
    "entries": "entry",
    "meter": "reading",
    "callouts": "callout",
    "other-values": "other value",
}
"""What the members of a list are called, by the key of the list."""

_LONGEST = 40


def owner(kind: Kind, path: Path) -> str:
    """Whom a value at `path` belongs to, as the author would say: "step 3, branch step 1"; empty at the top."""
    words: list[str] = []
    for end, part in enumerate(path, start=1):
        above = path[end - 2] if end > 1 else None
        if isinstance(part, int):
            if above in _COUNTED:
                words.append(f"{_COUNTED[str(above)]} {part + 1}")
        elif _is_table(kind, path[: end - 1]):
            words.append(f'"{part}"')
        elif part in ("remove", "fit") and _is_map(kind, path[:end]):
            words.append(part)
    return ", ".join(words)


def place_name(kind: Kind, path: Path) -> str:
    """What stands at `path`: `step 3`, `"pump-bolts"`, `"count" of "pump-bolts"`, `value 2 of "tools" of step 3`."""
    if not path:
        return "the file"
    *above, last = path
    before = tuple(above)
    if isinstance(last, int):
        if before and before[-1] in _COUNTED:
            return owner(kind, path)
        return f"value {last + 1} of {place_name(kind, before)}"
    if _is_table(kind, before):
        return owner(kind, path)
    belongs = owner(kind, before)
    return f'"{last}" of {belongs}' if belongs else f'"{last}"'


def _is_table(kind: Kind, path: Path) -> bool:
    """Whether the keys at `path` are the author's own names and not the format's."""
    found = wanted(kind, path)
    return isinstance(found.first("additionalProperties"), Mapping) and not found.keys


def _is_map(kind: Kind, path: Path) -> bool:
    return bool(wanted(kind, path).keys)


def called(value: object) -> str:
    """A value as it is called in a message: the text "six", the number 12, a list."""
    match value:
        case None:
            return "nothing"
        case bool():
            return "true" if value else "false"
        case str():
            short = " ".join(value.split())
            return f'the text "{short[:_LONGEST]}{"…" if len(short) > _LONGEST else ""}"'
        case int() | float():
            return f"the number {value}"
        case Mapping():
            return "a map"
        case _:
            return "a list"


def sentence(text: str) -> str:
    """`text` with a capital where it begins with a word."""
    return text[:1].upper() + text[1:]


def as_id(text: str) -> str:
    """The id that an author may have meant; empty where no letter is left."""
    words = re.findall(r"[a-z0-9]+", text.lower())
    return "-".join(words) if any(character.isalpha() for character in "".join(words)) else ""
