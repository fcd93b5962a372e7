"""What a reader, a planner or a check has to say about a library: plain values, never printed, never raised."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Severity(StrEnum):
    """How much a finding weighs."""

    ERROR = "error"
    """The manual must not be used."""
    WARNING = "warning"
    """A person should look."""
    ADVICE = "advice"
    """Style, or something that could be judged if more were given."""


class Place(NamedTuple):
    """Where in a library something is written.

    A tuple, as there are some for every word that is written: they are compared, kept and read again at no cost.
    """

    file: str
    """Path relative to the library, with forward slashes."""
    line: int
    """From 1."""
    column: int
    """From 1, in characters: a tab is one, a byte-order mark none."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Because:
    """One of the things that led to a finding."""

    message: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that a person should know, with where, why, and what to do."""

    check: str
    """The slug of the check, the same name everywhere."""
    severity: Severity
    place: Place
    message: str
    """The fact, in the author's words, with the values in it."""
    when: Mapping[str, bool | str] | None = None
    """The choices and outcomes that make it happen; None where it always happens."""
    because: tuple[Because, ...] = ()
    remedy: str = ""
    """What to do about it; empty where there is nothing to add."""


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in the one order in which they are always shown, each once."""
    seen: dict[tuple[object, ...], Finding] = {}
    for finding in findings:
        case = tuple(sorted((finding.when or {}).items()))
        seen.setdefault((finding.place, finding.check, finding.message, case), finding)
    return tuple(seen[key] for key in sorted(seen, key=lambda key: (key[0], key[1], key[2], str(key[3]))))


def count(findings: Iterable[Finding]) -> dict[Severity, int]:
    """How many findings there are of each severity, worst first, zeros included."""
    counts = dict.fromkeys(Severity, 0)
    for finding in findings:
        counts[finding.severity] += 1
    return counts
