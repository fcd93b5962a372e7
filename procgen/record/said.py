"""What became of a record, in words for a person at a terminal."""

import textwrap
from collections.abc import Iterator
from typing import assert_never

from procgen.record.outcome import AlreadyThere, Entered, Kept, Outcome, Refused
from procgen.sheet.judge import Complaint, Open

_MARGIN = "  "
_WIDTH = 100
_MOST_OPEN = 20
"""Open steps that are named."""


def said(outcome: Outcome, file: str, library: str) -> str:
    """The whole answer. file: the record; library: its folder; both as the person named them."""
    return "\n".join(_lines(outcome, file, library)) + "\n"


def _lines(outcome: Outcome, file: str, library: str) -> Iterator[str]:
    match outcome:
        case Entered(place=place, text=text, warnings=warnings):
            yield f"{place}: entered"
            yield text.rstrip("\n")
            for finding in warnings:
                yield from _paragraph(f"{finding.severity} {finding.check}: {finding.message}")
            yield ""
            yield f"Next: procgen build {library}"
        case AlreadyThere(place=place):
            yield f"{place}: this record is in the logbook already; nothing was written"
        case Kept(file=kept, open=still_open):
            yield f"{kept}: kept until the work goes on"
            yield from _open(still_open)
            yield ""
            yield 'To go on, build the manual: its sheet offers this record. Or choose "Open a record" there.'
        case Refused(complaints=complaints, open=still_open):
            yield f"{file}: nothing was written"
            for complaint in complaints:
                yield ""
                yield from _complaint(complaint)
            if still_open:
                yield ""
                yield from _paragraph("The record says that the work is finished, and it is not.")
                yield from _open(still_open)
        case _:
            assert_never(outcome)


def _complaint(complaint: Complaint) -> Iterator[str]:
    yield from _paragraph(complaint.message)
    remedy, _, verbatim = complaint.remedy.partition("\n\n")
    if remedy:
        yield from textwrap.wrap(
            remedy, _WIDTH, initial_indent=f"{_MARGIN}try      ", subsequent_indent=f"{_MARGIN}{' ' * 9}"
        )
    if verbatim:
        yield ""
        yield verbatim.rstrip("\n")


def _open(still_open: tuple[Open, ...]) -> Iterator[str]:
    if not still_open:
        yield f"{_MARGIN}Every step is finished: only what goes into the logbook is still to be filled in."
        return
    yield f"{_MARGIN}{len(still_open)} {'step is' if len(still_open) == 1 else 'steps are'} open:"
    for each in still_open[:_MOST_OPEN]:
        words = f"step {each.step.number}, {each.step.words}: {', '.join(each.missing)}"
        yield from textwrap.wrap(words, _WIDTH, initial_indent=_MARGIN * 2, subsequent_indent=_MARGIN * 3)
    if len(still_open) > _MOST_OPEN:
        yield f"{_MARGIN * 2}and {len(still_open) - _MOST_OPEN} more"


def _paragraph(text: str) -> Iterator[str]:
    yield from textwrap.wrap(text, _WIDTH, initial_indent=_MARGIN, subsequent_indent=_MARGIN)
