"""Findings for a person at a terminal: grouped by file, each with its reasons and what to do."""

import io
import textwrap
from collections.abc import Iterator

from procgen.finding import Finding, Severity, count
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
    if not colour:
        return "".join(f"{line.plain}\n" for line in lines)
    return _coloured(lines, width)


class Line:
    """A line of text in pieces, each with its style."""

    def __init__(self, *pieces: tuple[str, str]) -> None:
        """Make a line of (text, style) pieces."""
        self.pieces = pieces

    @property
    def plain(self) -> str:
        """The line without its styles."""
        return "".join(text for text, _ in self.pieces).rstrip()


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


def _coloured(lines: list[Line], width: int) -> str:
    from rich.console import Console  # noqa: PLC0415 - rich costs 40 ms, and plain text needs none of it
    from rich.text import Text  # noqa: PLC0415

    stream = io.StringIO()
    console = Console(file=stream, force_terminal=True, width=max(width, 40), highlight=False, soft_wrap=True)
    for line in lines:
        console.print(Text.assemble(*line.pieces), end="\n")
    return stream.getvalue()
