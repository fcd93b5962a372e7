"""What every format of report is given."""

from collections.abc import Mapping
from dataclasses import dataclass

from procgen.finding import Finding, Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The findings about one library, in order."""

    library: str
    """The library's folder, as the person named it."""
    findings: tuple[Finding, ...]
    accepted: int = 0
    """How many findings its author accepts with a reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A check, as reports that carry their own legend describe it."""

    slug: str
    family: str
    severity: Severity
    summary: str
    """One sentence."""
    help: str
    """The check's help page, Markdown."""


def choices_in_words(when: Mapping[str, bool | str]) -> str:
    """The case that makes a finding happen: "with flush off, pump-face not accepted, cooling = keel-cooler".

    A name of two words is an outcome, an item and what is said of it; one word is an option or a variant.
    """
    return "with " + ", ".join(_choice(name, value) for name, value in when.items())


def _choice(name: str, value: bool | str) -> str:
    item, space, outcome = name.rpartition(" ")
    match value:
        case True:
            return name if space else f"{name} on"
        case False:
            return f"{item} not {outcome}" if space else f"{name} off"
        case _:
            return f"{name} = {value}"
