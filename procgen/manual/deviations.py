"""Findings that an author accepted: what was found, and the reason. A reader has a right to know."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.checks.accepted import Deviation as AcceptedFinding
from procgen.finding import Finding
from procgen.library.items import Record
from procgen.library.machine import Procedure
from procgen.library.origin import Accepted
from procgen.manual.book import Book, Leaf, Link


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """An acceptance, with what it silences."""

    check: str
    reason: str
    found: tuple[str, ...]
    """The messages of the findings, each once; empty where the manual was made without its checks."""
    where: Link
    place: str
    """File and line, for the author."""


def deviations_of(record: Record, leaf: Leaf) -> Iterator[Deviation]:
    """What a record accepts."""
    yield from (_deviation(accepted, leaf.record(record), leaf) for accepted in record.accepting)


def deviations_of_procedure(name: str, leaf: Leaf) -> Iterator[Deviation]:
    """What the procedure of that id accepts, in its steps too."""
    extract, head = leaf.book.extracts[name], leaf.library.heads[name]
    if not (extract.accepting or extract.accepting_at):
        return
    link = leaf.to(head.address)
    yield from (_deviation(accepted, link, leaf) for accepted in extract.accepting)
    for accepted, mark in extract.accepting_at:
        title = f"{head.title}, step {mark.number}" if mark else head.title
        yield _deviation(accepted, Link(title, leaf.to(head.address, mark.anchor if mark else "").href), leaf)


def _deviation(accepted: Accepted, where: Link, leaf: Leaf) -> Deviation:
    place = f"{accepted.place.file}:{accepted.place.line}"
    found = tuple(dict.fromkeys(each.finding.message for each in _silenced(accepted, leaf.book.site.deviations)))
    return Deviation(check=accepted.check, reason=accepted.reason, found=found, where=where, place=place)


def _silenced(accepted: Accepted, all_: tuple[AcceptedFinding, ...]) -> Iterator[AcceptedFinding]:
    yield from (
        each for each in all_ if each.accepted.place == accepted.place and each.accepted.check == accepted.check
    )


def findings_on(procedure: Procedure, book: Book) -> tuple[Finding, ...]:
    """What was found in a procedure's own file."""
    return tuple(finding for finding in book.site.findings if finding.place.file == procedure.origin.file)
