"""The words for what does not follow the format: one function for each sort of mistake.

A schema says that something is wrong; these functions say what, why it matters and what to write instead.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from procgen.library.near import did_you_mean, near
from procgen.library.origin import Kind
from procgen.library.phrases import Path, as_id, called, owner, place_name, sentence
from procgen.library.schema import Wanted, owners, wanted
from procgen.library.yaml_scalar import as_yaml

_LISTED = 14
"""Keys; a longer list of what is known helps nobody."""
_ALSO_HAVE = frozenset({"another value", "one stage of tightening", "a torque, or a list of stages"})
"""What has many keys of its betters, and is never whom an author has in mind."""

_YES = frozenset({"yes", "on", "y"})
_NO = frozenset({"no", "off", "n"})
_NUMBERS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_FORMAT_TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list",
    "object": "a map",
}


@dataclass(frozen=True, slots=True)
class Fault:
    """What the schema refused: the value at `path`, or one of its keys."""

    kind: Kind
    path: Path
    value: object
    detail: Any
    """What the validator says about it: the keys, types or values concerned."""

    @property
    def wanted(self) -> Wanted:
        """What the format wants there."""
        return wanted(self.kind, self.path)

    @property
    def name(self) -> str:
        """How the value is called."""
        return place_name(self.kind, self.path)

    @property
    def key(self) -> str:
        """The nearest key above the value."""
        return next((part for part in reversed(self.path) if isinstance(part, str)), "")


@dataclass(frozen=True, slots=True)
class Words:
    """What is said about a fault."""

    message: str
    remedy: str = ""


def unknown_key(fault: Fault, key: str) -> Words:
    """A key that nothing reads."""
    noun = fault.wanted.noun
    message = f'"{key}" is no key of {noun}: whoever does the work would never see it.'
    if key.startswith("-") and key[1:] in fault.wanted.keys:
        return Words(message, f'put a space after the dash: "- {key[1:]}"')
    others = [one for one in owners().get(key, ()) if one != noun and one not in _ALSO_HAVE]
    close = near(key, fault.wanted.keys)
    if others and not (close and close[0].casefold() == key.casefold()):
        belongs = " or ".join(others[:3])
        return Words(
            f'"{key}" belongs to {belongs}, not to {noun}.', "move it there, or look at how far it is indented"
        )
    if close:
        return Words(message, did_you_mean(close))
    if len(fault.wanted.keys) <= _LISTED:
        return Words(message, "it may have " + ", ".join(fault.wanted.keys))
    return Words(message, "take it out, or say it in `note`")


def missing_key(fault: Fault, key: str) -> Words:
    """A key that must be there."""
    example = as_yaml(wanted(fault.kind, (*fault.path, key)).example)
    who = sentence(owner(fault.kind, fault.path) or f"this {fault.kind}")
    if fault.kind is Kind.NOTICE and key in ("hazard", "consequence", "avoid"):
        level = fault.value.get("level", "") if isinstance(fault.value, Mapping) else ""
        if level == "notice":
            return Words(f'{who} has no "{key}": a notice says what to do.', f'add "{key}:" to it')
        message = f'{who} has no "{key}": a {level} notice names the hazard, its consequence and how to avoid it.'
        return Words(message, f'add "{key}:" to it')
    return Words(f'{who} has no "{key}".', f'add "{key}: {example}"' if len(example) < 60 else f'add "{key}:" to it')


def companion_missing(fault: Fault, key: str, present: str) -> Words:
    """A key that makes no sense without another."""
    who = sentence(owner(fault.kind, fault.path) or "this")
    return Words(
        f'{who} has "{present}" without "{key}", and it means nothing alone.', f'add "{key}:", or take "{present}" out'
    )


def wrong_type(fault: Fault) -> Words:
    """A text where a number is wanted, a map where a list is wanted, and so on."""
    if fault.value is None:
        return Words(f"Nothing follows {fault.name}.", f"write {_example(fault)}, or take it out")
    return Words(f"{sentence(fault.name)} is {called(fault.value)}, and it must be {_noun(fault)}.", _right_type(fault))


def _noun(fault: Fault) -> str:
    noun = fault.wanted.first("title")
    return str(noun) if noun else " or ".join(_FORMAT_TYPES.get(each, str(each)) for each in fault.detail)


def _right_type(fault: Fault) -> str:
    types, value = tuple(fault.detail), fault.value
    if "boolean" in types and isinstance(value, str) and value.lower() in _YES | _NO:
        return f'write "{fault.key}: {"true" if value.lower() in _YES else "false"}"'
    if "integer" in types and isinstance(value, str) and value.lower() in _NUMBERS:
        return f'write "{fault.key}: {_NUMBERS.index(value.lower())}"'
    if "string" in types and isinstance(value, (bool, int, float)) and fault.wanted.noun.startswith("text"):
        return f'put it in quotes: {fault.key}: "{as_yaml(value)}"'
    if types == ("array",) and isinstance(value, Mapping):
        return _dashes(value)
    if "object" in types and "array" not in types and isinstance(value, Sequence) and not isinstance(value, str):
        return f"take the dashes out, and give each an id with what belongs to it indented below: {_example(fault)}"
    if isinstance(value, Mapping) and "string" in types:
        return "if this is text, put it in quotes"
    return f"write it like this: {_example(fault)}"


def _dashes(value: Mapping[str, object]) -> str:
    first = next(iter(value), "")
    if first.startswith("-"):
        return f'put a space after the dash: "- {first[1:]}"'
    return f'put "- " before the first key of each: "- {first}:"'


def _example(fault: Fault) -> str:
    """What would do: of the value itself, or of the nearest list or map around it that has an example."""
    path = fault.path
    while path and wanted(fault.kind, path).example is None:
        path = path[:-1]
    example = as_yaml(wanted(fault.kind, path).example)
    return f'"{path[-1]}: {example}"' if path and isinstance(path[-1], str) else f'"{example}"'


def wrong_text(fault: Fault) -> Words:
    """Text that has not the form that is wanted: an id, a date."""
    text = str(fault.value)
    if not text.strip():
        return Words(f"{sentence(fault.name)} is blank.", f"write {_example(fault)}, or take it out")
    noun = fault.wanted.noun
    if "id" in noun.split():
        return _no_id(fault, text)
    return Words(
        f"{sentence(fault.name)} is {called(text)}, and it must be {noun}.", f"write it like this: {_example(fault)}"
    )


def _no_id(fault: Fault, text: str) -> Words:
    listed = [as_id(part) for part in text.split(",")]
    if len(listed) > 1 and all(listed):
        message = f"{sentence(fault.name)} is one text, {called(text).removeprefix('the text ')}, and a list is meant."
        return Words(message, f'put it in brackets: "{fault.key}: [{", ".join(listed)}]"')
    message = f"{sentence(fault.name)} is {called(text)}, and an id is lower-case words joined by hyphens."
    meant = as_id(text)
    return Words(message, f'write "{meant}"' if meant else "use letters and digits")


def wrong_name(name: str) -> Words:
    """A name given by the author that is no id."""
    meant = as_id(name)
    message = f'"{name}" is no id: an id is lower-case words joined by hyphens.'
    return Words(message, f'write "{meant}"' if meant else "use letters and digits")


def wrong_choice(fault: Fault) -> Words:
    """A word that is none of those that mean something here."""
    words = [as_yaml(choice) for choice in fault.detail]
    offered = did_you_mean(near(str(fault.value), words))
    listed = "it must be " + " or ".join(words) if len(words) < 3 else "choose one of " + ", ".join(words)
    return Words(f"{sentence(fault.name)} is {called(fault.value)}, which means nothing here.", offered or listed)


def out_of_bounds(fault: Fault, side: str) -> Words:
    """A number that is too small or too big; `side` is "least" or "most"."""
    message = f"{sentence(fault.name)} is {called(fault.value)}, and it must be at {side} {fault.detail}."
    return Words(message, f"write a number like this: {_example(fault)}")


def wrong_length(fault: Fault) -> Words:
    """A list that is too short or too long, or a map with nothing in it."""
    if not fault.value:
        return Words(f"{sentence(fault.name)} is empty.", f"write it like this: {_example(fault)}, or take it out")
    return Words(
        f"{sentence(fault.name)} is {called(fault.value)} of the wrong length: it must be {fault.wanted.noun}.",
        f"write it like this: {_example(fault)}",
    )


def one_too_many(fault: Fault) -> Words:
    """A place in a list that should not be there."""
    noun = wanted(fault.kind, fault.path[:-1]).noun
    above = place_name(fault.kind, fault.path[:-1])
    return Words(f"{sentence(above)} has a value too many: it must be {noun}.", "take it out")


def no_action(fault: Fault) -> Words:
    """A step that does nothing, or a rule that forbids nothing."""
    who = sentence(owner(fault.kind, fault.path))
    if "rules" in fault.path[-2:]:
        return Words(
            f"{who} forbids nothing and asks for nothing.",
            'give it "never", or "before" with "need", or "after" with "must"',
        )
    return Words(
        f'{who} has no "do" and no action: the sheet would show an empty line.',
        'say what is done: "do: Open the drain tap." or an action, "drain: coolant"',
    )


def two_actions(fault: Fault, first: str, second: str) -> Words:
    """A step with actions that cannot share one."""
    return Words(
        f'{sentence(owner(fault.kind, fault.path))} has two actions, "{first}" and "{second}": '
        "which of them comes first?",
        "make two steps of it; only loosen and remove, or fit and tighten, may share one",
    )


def not_one_layout(fault: Fault, found: Sequence[str]) -> Words:
    """A pattern that lies in two ways, or in none."""
    ways = "circle, grid, row or points"
    if found:
        both = " and ".join(f'"{one}"' for one in found)
        return Words(
            f"{sentence(fault.name)} is given as {both}, and bolts lie in one way only.", f"keep one of {ways}"
        )
    return Words(
        f"{sentence(fault.name)} does not say how the fasteners lie.", f"give it one of {ways}: {_example(fault)}"
    )
