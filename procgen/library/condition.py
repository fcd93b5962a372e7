"""`when:` conditions over options and variants: `flush`, `not flush and cooling = keel-cooler`."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import assert_never


@dataclass(frozen=True, slots=True)
class Is:
    """A choice has a value; `flush` alone asks for True."""

    name: str
    value: bool | str = True


@dataclass(frozen=True, slots=True)
class Not:
    """The condition inside does not hold."""

    of: "Condition"


@dataclass(frozen=True, slots=True)
class All:
    """Every one holds; the empty one always does."""

    of: tuple["Condition", ...]


@dataclass(frozen=True, slots=True)
class Any:
    """At least one holds; the empty one never does."""

    of: tuple["Condition", ...]


Condition = Is | Not | All | Any

ALWAYS = All(())
NEVER = Any(())

Assignment = Mapping[str, bool | str]


class ConditionError(ValueError):
    """A condition cannot be read; the message is for the author."""


def holds(condition: Condition, assignment: Assignment) -> bool:
    """Whether `condition` holds under `assignment`, which gives a value to every name in it."""
    match condition:
        case Is(name, value):
            return assignment[name] == value
        case Not(of):
            return not holds(of, assignment)
        case All(of):
            return all(holds(part, assignment) for part in of)
        case Any(of):
            return any(holds(part, assignment) for part in of)
        case _:
            assert_never(condition)


def atoms(condition: Condition) -> Iterator[Is]:
    """Every comparison in `condition`, from left to right."""
    match condition:
        case Is():
            yield condition
        case Not(of):
            yield from atoms(of)
        case All(of) | Any(of):
            for part in of:
                yield from atoms(part)
        case _:
            assert_never(condition)


def names(condition: Condition) -> frozenset[str]:
    """The choices that `condition` depends on."""
    return frozenset(atom.name for atom in atoms(condition))


def renamed(condition: Condition, names: Mapping[str, str]) -> Condition:
    """The condition with other names for its choices; one that `names` does not have keeps its own."""
    match condition:
        case Is(name, value):
            return Is(names.get(name, name), value)
        case Not(of):
            return Not(renamed(of, names))
        case All(of):
            # ALWAYS is known by its identity.
            return All(tuple(renamed(part, names) for part in of)) if of else condition
        case Any(of):
            return Any(tuple(renamed(part, names) for part in of))
        case _:
            assert_never(condition)


def both(left: Condition, right: Condition) -> Condition:
    """`left` and `right`, flat, without what always holds or stands there twice."""
    parts: dict[Condition, None] = {}
    for side in (left, right):
        for part in side.of if isinstance(side, All) else (side,):
            parts[part] = None
    return next(iter(parts)) if len(parts) == 1 else All(tuple(parts))


def show(condition: Condition) -> str:
    """The condition as an author would write it."""
    match condition:
        case Is(name, True):
            return name
        case Is(name, False):
            return f"not {name}"
        case Is(name, value):
            return f"{name} = {value}"
        case Not(Is() as of):
            return f"not {show(of)}"
        case Not(of):
            return f"not ({show(of)})"
        case All(of):
            return " and ".join(f"({show(part)})" if isinstance(part, Any) else show(part) for part in of) or "always"
        case Any(of):
            return " or ".join(show(part) for part in of) or "never"
        case _:
            assert_never(condition)


def misfit(condition: Condition, choices: Mapping[str, tuple[bool | str, ...]]) -> str | None:
    """What is wrong with `condition` where only `choices`, with their values, can be asked for; None: nothing."""
    for atom in atoms(condition):
        if atom.name not in choices:
            return f'"{atom.name}" is neither an option of the procedure nor a variant of the machine'
        values = choices[atom.name]
        if atom.value in values:
            continue
        if True in values:
            return f'"{atom.name}" is a yes-or-no option: write "{atom.name}" or "not {atom.name}"'
        listed = ", ".join(str(value) for value in values)
        return f'"{atom.name}" is one of {listed}: write for example "{atom.name} = {values[0]}"'
    return None


_TOKEN = re.compile(r"\s*(?:(?P<mark>[()]|!?=)|(?P<word>[^\s()=!]+))")
_WORDS = frozenset({"and", "or", "not"})
_MARKS = frozenset({"(", ")", "=", "!="})
_DEEPEST = 50


def parse_condition(text: str) -> Condition:
    """Read a condition. Raises ConditionError with what is wrong and where in the text."""
    tokens: list[str] = []
    position = 0
    stripped = text.rstrip()
    while position < len(stripped):
        match = _TOKEN.match(stripped, position)
        if not match:
            raise ConditionError(f'"{stripped[position:].strip()[:20]}" cannot be read in the condition "{text}"')
        tokens.append(match["mark"] or match["word"])
        position = match.end()
    reader = _Reader(text, tokens)
    condition = reader.any_of(0)
    if reader.left:
        raise ConditionError(f'"{reader.left[0]}" is not expected after "{show(condition)}" in "{text}"')
    return condition


class _Reader:
    """Recursive descent: or binds loosest, then and, then not."""

    def __init__(self, text: str, tokens: list[str]) -> None:
        self.text = text
        self.left = tokens

    def take(self, *wanted: str) -> bool:
        if self.left and self.left[0] in wanted:
            self.left = self.left[1:]
            return True
        return False

    def any_of(self, depth: int) -> Condition:
        parts = [self.all_of(depth)]
        while self.take("or"):
            parts.append(self.all_of(depth))
        return parts[0] if len(parts) == 1 else Any(tuple(parts))

    def all_of(self, depth: int) -> Condition:
        parts = [self.one(depth)]
        while self.take("and"):
            parts.append(self.one(depth))
        return parts[0] if len(parts) == 1 else All(tuple(parts))

    def one(self, depth: int) -> Condition:
        if depth > _DEEPEST:
            raise ConditionError(f"the condition is nested more than {_DEEPEST} deep")
        if self.take("not"):
            return Not(self.one(depth + 1))
        if self.take("("):
            inner = self.any_of(depth + 1)
            if not self.take(")"):
                raise ConditionError(f'a bracket is not closed in "{self.text}"')
            return inner
        name = self.word("the name of an option or a variant")
        if self.take("="):
            return Is(name, self.word(f'a value for "{name}"'))
        if self.take("!="):
            return Not(Is(name, self.word(f'a value for "{name}"')))
        return Is(name)

    def word(self, wanted: str) -> str:
        if not self.left or self.left[0] in _WORDS or self.left[0] in _MARKS:
            found = f'"{self.left[0]}"' if self.left else "the end"
            raise ConditionError(f'{wanted} is expected, and {found} found, in "{self.text}"')
        word, self.left = self.left[0], self.left[1:]
        return word
