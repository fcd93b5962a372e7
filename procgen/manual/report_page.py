"""The report on the library: everything that was found, and every deviation that was accepted, with its reason."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.finding import Because, Finding, Severity, count, in_order
from procgen.library.library import Head
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf
from procgen.manual.deviations import Deviation, deviations_of, deviations_of_procedure
from procgen.manual.page import Page
from procgen.manual.records import every_record


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView:
    """One finding."""

    check: str
    severity: str
    place: str
    message: str
    when: str
    because: tuple[Because, ...]
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportView:
    """All that the template shows."""

    title: str
    number: str
    verdict: str
    counts: tuple[tuple[str, int], ...]
    findings: tuple[FindingView, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """The one page."""
    leaf = book.leaf(paths.REPORT, numbering.REPORT)
    title = "Report on the library"

    def view() -> ReportView:
        counts = count(book.site.findings)
        return ReportView(
            title=title,
            number=numbering.REPORT,
            verdict=_verdict(book),
            counts=tuple((severity.value, number) for severity, number in counts.items()),
            findings=tuple(_finding(finding) for finding in in_order(book.site.findings)),
            deviations=all_deviations(leaf),
        )

    site, marks = book.site, [each.accepting_at for each in book.extracts.values() if each.accepting_at]
    # Where something is accepted is told by its title, also of what procedures declare themselves.
    names = book.account.of_names()
    shown = (repr(site.findings), repr(site.accepted), repr(site.deviations), repr(marks), names)
    made_from = book.account.of_record(book.library.manual.address, more=shown)
    yield leaf.page("report.html", view, title=title, number=numbering.REPORT, made_from=made_from)


def _verdict(book: Book) -> str:
    if book.errors:
        return "Errors were found. This manual must not be used on a machine until they are mended."
    if any(finding.severity is Severity.WARNING for finding in book.site.findings):
        return "No errors were found. A person should look at the warnings below."
    return "No errors and no warnings were found: every way through every procedure was followed and found in order."


def _finding(finding: Finding) -> FindingView:
    when = ", ".join(f"{name}: {_choice(value)}" for name, value in (finding.when or {}).items())
    return FindingView(
        check=finding.check,
        severity=finding.severity.value,
        place=str(finding.place),
        message=finding.message,
        when=when,
        because=finding.because,
        remedy=finding.remedy,
    )


def _choice(value: bool | str) -> str:
    return value if isinstance(value, str) else ("yes" if value else "no")


def all_deviations(leaf: Leaf) -> tuple[Deviation, ...]:
    """Every accepted deviation of the library, once."""
    found = {(deviation.place, deviation.check): deviation for deviation in _all(leaf)}
    return tuple(found.values())


def _all(leaf: Leaf) -> Iterator[Deviation]:
    for record, _ in every_record(leaf.library):
        if isinstance(record, Head):
            yield from deviations_of_procedure(record.address.id, leaf)
        else:
            yield from deviations_of(record, leaf)
