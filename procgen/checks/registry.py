"""The table of all checks: what `procgen explain` lists and what a library is judged by."""

from importlib.resources import files
from types import ModuleType

from procgen.checks import inspection, names, order, parts, prose, safety, schedule, sources, torque, upkeep
from procgen.checks.check import Check
from procgen.finding import Severity

FAMILIES: dict[str, ModuleType] = {
    "names": names,
    "torque": torque,
    "order": order,
    "safety": safety,
    "parts": parts,
    "inspection": inspection,
    "sources": sources,
    "schedule": schedule,
    "upkeep": upkeep,
    "prose": prose,
}
"""Families of checks that look at a linked library, in the order in which they are listed."""

READING: dict[str, Severity] = dict.fromkeys(
    (
        "file-unreadable",
        "yaml-syntax",
        "duplicate-key",
        "unknown-key",
        "wrong-type",
        "missing-key",
        "bad-quantity",
        "bad-torque",
        "bad-condition",
    ),
    Severity.ERROR,
)
"""What reading finds; never accepted, since nobody knows what is not read."""

LINKING: dict[str, Severity] = dict.fromkeys(("unknown-name", "duplicate-name", "figure-missing"), Severity.ERROR)
"""What linking finds; never accepted, since what a name means is not known."""


def checks_of(family: str) -> tuple[Check, ...]:
    """The checks of one family."""
    checks: tuple[Check, ...] = FAMILIES[family].CHECKS
    return checks


def every_check() -> tuple[Check, ...]:
    """Every check that looks at a linked library."""
    return tuple(check for family in FAMILIES for check in checks_of(family))


def slugs() -> dict[str, tuple[str, Severity]]:
    """Every slug that a finding can have, with its family and severity, in the order of the families."""
    table = {slug: ("file", severity) for slug, severity in READING.items()}
    table |= {slug: ("names", severity) for slug, severity in LINKING.items()}
    for family in FAMILIES:
        table |= {check.slug: (family, check.severity) for check in checks_of(family)}
    return table


def summary(page: str) -> str:
    """The first sentence of a help page, under its title."""
    paragraph = next(part for part in page.split("\n\n") if part and not part.startswith("#"))
    return " ".join(paragraph.split())


def help_page(slug: str) -> str:
    """The Markdown page about a check: what it looks at, why it hurts, an example that fails, and the same mended.

    Raises KeyError where there is no such check.
    """
    if slug not in slugs():
        raise KeyError(slug)
    return files("procgen.checks").joinpath("help", f"{slug}.md").read_text(encoding="utf-8")
