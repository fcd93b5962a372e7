"""Findings for a person at a terminal: grouped by file, each with its reasons and what to do."""

import textwrap
from collections.abc import Iterator

from procgen.finding import Finding, Severity, count
from procgen.report.lines import Line, printed
from procgen.report.report import Report, choices_in_words

COLOURS = {Severity.ERROR: "bold red", Severity.WARNING: "yellow", Severity.ADVICE: "cyan"}
_MARGIN = "  "
_LABEL = 9
"""Width of "because" and "try" with the space after them."""


def text_report(report: Report, *, colour: bool, width: int = 100) -> str:
    """The whole report. Without `colour` it is plain text; with it, it carries terminal colours."""
    lines: list[Line] = []
    for finding in report.findings:
        if lines:
            lines.append(Line())
        lines.extend(_finding(finding, width))
    if lines:
        lines.append(Line())
    lines.append(_closing(report))
    return printed(lines, colour=colour, width=width)


def _finding(finding: Finding, width: int) -> Iterator[Line]:
    severity = finding.severity
    yield Line(
        (f"{finding.place}", "bold"),
        ("  ", ""),
        (severity, COLOURS[severity]),
        ("  ", ""),
        (finding.check, "magenta"),
    )
    message = finding.message
    if finding.when:
        message += f" This happens {choices_in_words(finding.when)}."
    for part in textwrap.wrap(message, width - len(_MARGIN)):
        yield Line((_MARGIN + part, ""))
    for because in finding.because:
        yield from _labelled("because", f"{because.message}", width, str(because.place))
    if finding.remedy:
        yield from _labelled("try", finding.remedy, width)


def _labelled(label: str, text: str, width: int, place: str = "") -> Iterator[Line]:
    indent = len(_MARGIN) + _LABEL
    parts = textwrap.wrap(text, width - indent) or [""]
    last = parts[-1]
    fits = place and indent + len(last) + 3 + len(place) <= width
    for number, part in enumerate(parts):
        head = label.ljust(_LABEL) if number == 0 else " " * _LABEL
        tail = f"   {place}" if fits and part is last else ""
        yield Line((_MARGIN + head, "dim"), (part, ""), (tail, "dim"))
    if place and not fits:
        yield Line((" " * indent + place, "dim"))


def _closing(report: Report) -> Line:
    counts = count(report.findings)
    plurals = {Severity.ERROR: "errors", Severity.WARNING: "warnings", Severity.ADVICE: "pieces of advice"}
    singles = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.ADVICE: "piece of advice"}
    said = [f"{n} {singles[each] if n == 1 else plurals[each]}" for each, n in counts.items() if n]
    accepted = f"; {report.accepted} accepted with a reason" if report.accepted else ""
    verdict = ", ".join(said) if said else "nothing found"
    style = next((COLOURS[each] for each, n in counts.items() if n), "bold green")
    return Line((f"{report.library}: ", ""), (verdict, style), (accepted, "dim"))
