"""What links to a thing: the procedures whose steps touch it, and everything else that names it."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.origin import Address, Kind, Use
from procgen.manual.book import Leaf, Link

_PHRASES = {
    "behind": "Lies in front of",
    "held-by": "Holds",
    "lines": "Line of",
    "wet-with": "Fluid in",
    "exposed-to": "Threatens",
    "renew": "Renewed whenever disturbed",
    "part": "Part for",
    "rides-with": "Carried by",
    "carries": "Carried by",
    "supports": "Supported by",
    "of": "Subject of",
    "with": "Measures",
    "tool": "Tool of",
    "source": "Cited by",
    "lost-by": "Ends",
    "back-by": "Brings back",
    "replaces": "Replaced by",
    "do": "Planned by",
    "rules": "Subject of a rule of",
    "notices": "Announced by",
    "text": "Named in the text of",
    "needs": "Needed by",
}


_MOST_STEPS = 12
"""A tool that is in nearly every step is not looked for step by step."""


@dataclass(frozen=True, slots=True)
class UseLine:
    """One thing that names it, with its steps where it is a procedure."""

    by: Link
    steps: tuple[Link, ...] = ()


@dataclass(frozen=True, slots=True)
class UseGroup:
    """All that name it in one way."""

    how: str
    uses: tuple[UseLine, ...]


def used_by(address: Address, leaf: Leaf) -> tuple[UseGroup, ...]:
    """Everything that links to what has that address, procedures first."""
    procedures = tuple(_in_procedures(address, leaf))
    first = (UseGroup("Procedures", procedures),) if procedures else ()
    touched = {touch.procedure for touch in leaf.book.work.get(address, ())}
    groups: dict[str, dict[Address, None]] = {}
    for use in leaf.library.used_by(address):
        if use.by == address or use.by in touched:
            continue
        groups.setdefault(_phrase(use), {})[use.by] = None
    return (*first, *(UseGroup(how, tuple(UseLine(leaf.to(by)) for by in named)) for how, named in groups.items()))


def _in_procedures(address: Address, leaf: Leaf) -> Iterator[UseLine]:
    for touch in leaf.book.work.get(address, ()):
        marks = touch.steps if len(touch.steps) <= _MOST_STEPS else touch.steps[:1]
        steps = [Link(mark.number, leaf.to(touch.procedure, mark.anchor).href) for mark in marks]
        if len(touch.steps) > len(marks):
            steps.append(Link(f"and {len(touch.steps) - len(marks)} more", ""))
        yield UseLine(leaf.to(touch.procedure), tuple(steps))


def _phrase(use: Use) -> str:
    if use.by.kind is Kind.PROCEDURE:
        return "Also named in"
    if use.by.kind is Kind.LOGBOOK:
        return "In the history of"
    if use.by.kind is Kind.JOB:
        return "In the job"
    if use.by.kind is Kind.CHECK and use.how == "of":
        return "Guarded by"
    return _PHRASES.get(use.how, "Named by")
