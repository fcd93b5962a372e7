"""What every format of report is given."""

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


def choices_in_words(when: dict[str, bool | str]) -> str:
    """The case that makes a finding happen: `with flush off and cooling = keel-cooler`."""
    parts = []
    for name, value in when.items():
        match value:
            case True:
                parts.append(f"{name} on" if " " not in name else name)
            case False:
                parts.append(f"{name} off" if " " not in name else f"not {name}")
            case _:
                parts.append(f"{name} = {value}")
    return "with " + " and ".join(parts)
