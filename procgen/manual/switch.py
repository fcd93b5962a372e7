"""The choices that whoever does the work makes: an option's, or those between variants of a machine."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.machine import Option


@dataclass(frozen=True, slots=True)
class Choice:
    """One position of a switch."""

    value: str
    """As the script compares it: "true", "false", or the word."""
    words: str
    preset: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """An option or a variant that the reader can set, and the page follows."""

    id: str
    ask: str
    choices: tuple[Choice, ...]
    preset: str
    """The preset in words, for a page without script; empty where nothing is preset."""
    note: Markup


def switch_of(option: Option, note: Markup, id_: str = "") -> Switch:
    """The switch of an option, as its author asks. id_: for the script, where it is not the option's own."""
    words = {True: "Yes", False: "No"}
    choices = tuple(
        Choice(
            str(value).lower(),
            words[value] if isinstance(value, bool) else value.replace("-", " "),
            value == option.default,
        )
        for value in option.values
    )
    preset = next((choice.words for choice in choices if choice.preset), "")
    return Switch(id=id_ or option.id, ask=option.ask, choices=choices, preset=preset, note=note)


def variant_choices(values: Iterable[str]) -> tuple[Choice, ...]:
    """The variants of a machine to choose between; none is preset."""
    return tuple(Choice(value, value.replace("-", " ").capitalize(), preset=False) for value in values)
