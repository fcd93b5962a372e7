"""Check: every finding about a loaded library, and the deviations that its author accepts.

portion ─► judge ─► Judged ─┐
portion ─► judge ─► Judged ─┼─► settle ─► Examined
whole   ─► of_all ──────────┘
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from procgen.checks.accepted import Deviation, accepted_in, settle
from procgen.checks.check import Check, Subject, portions
from procgen.checks.registry import every_check
from procgen.finding import Finding, Severity, count, in_order
from procgen.library.load import Loaded
from procgen.library.origin import Accepted


@dataclass(frozen=True, kw_only=True)
class Examined:
    """A library, judged."""

    subject: Subject
    findings: tuple[Finding, ...]
    """What stands, in order."""
    deviations: tuple[Deviation, ...]
    """What the author accepts, in order of place."""
    accepted: tuple[Accepted, ...]
    """Every `accepting:`, needed or not."""

    @property
    def errors(self) -> int:
        """How many findings forbid using the manual."""
        return count(self.findings)[Severity.ERROR]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A portion of a library, judged."""

    findings: tuple[Finding, ...]
    accepted: tuple[Accepted, ...]
    """What its author accepts in it, needed or not."""


def examine(loaded: Loaded, on: date) -> Examined:
    """Run every check on a library as it stands on the day `on`."""
    library, whole = loaded.library, not loaded.findings
    subject = Subject(library, on, whole=whole)
    judged = [judge(Subject(library, on, whole=whole, portion=portion)) for portion in portions(library)]
    return conclude(subject, loaded.findings, judged)


def judge(subject: Subject) -> Judged:
    """Run every check on a portion, but for those that must look at all of a library."""
    checks = (check for check in every_check() if not check.of_all)
    return Judged(
        findings=tuple(finding for check in checks for finding in check.run(subject)),
        accepted=tuple(accepted_in(subject)),
    )


def conclude(subject: Subject, found: Iterable[Finding], judged: Iterable[Judged]) -> Examined:
    """The library as a whole, its portions having been judged. found: while it was read and linked."""
    parts = tuple(judged)
    checks = {check.slug: check for check in every_check()}
    compared = (finding for check in checks.values() if check.of_all for finding in check.run(subject))
    told = _each_once((finding for part in parts for finding in part.findings), checks)
    accepted = tuple(each for part in parts for each in part.accepted)
    standing, deviations = settle((*found, *told, *compared), accepted, frozenset(checks))
    return Examined(
        subject=subject,
        findings=in_order(standing),
        accepted=accepted,
        deviations=tuple(sorted(deviations, key=lambda each: (each.finding.place, each.finding.check))),
    )


def _each_once(findings: Iterable[Finding], checks: dict[str, Check]) -> Iterator[Finding]:
    seen: set[tuple[str, object]] = set()
    for finding in findings:
        name = finding.check, checks[finding.check].once(finding)
        if name not in seen:
            seen.add(name)
            yield finding
