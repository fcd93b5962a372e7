"""Check: every finding about a loaded library, and the deviations that its author accepts."""

from dataclasses import dataclass
from datetime import date

from procgen.checks.accepted import Deviation, settle
from procgen.checks.check import Subject
from procgen.checks.registry import every_check
from procgen.finding import Finding, Severity, count, in_order
from procgen.library.load import Loaded


@dataclass(frozen=True, kw_only=True)
class Examined:
    """A library, judged."""

    subject: Subject
    findings: tuple[Finding, ...]
    """What stands, in order."""
    deviations: tuple[Deviation, ...]
    """What the author accepts, in order of place."""

    @property
    def errors(self) -> int:
        """How many findings forbid using the manual."""
        return count(self.findings)[Severity.ERROR]


def examine(loaded: Loaded, on: date) -> Examined:
    """Run every check on a library as it stands on the day `on`."""
    subject = Subject(loaded.library, on, whole=not loaded.findings)
    checks = every_check()
    found = [finding for check in checks for finding in check.run(subject)]
    acceptable = frozenset(check.slug for check in checks)
    standing, deviations = settle((*loaded.findings, *found), loaded.library, acceptable)
    return Examined(
        subject=subject,
        findings=in_order(standing),
        deviations=tuple(sorted(deviations, key=lambda each: (each.finding.place, each.finding.check))),
    )
