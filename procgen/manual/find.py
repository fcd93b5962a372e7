"""The page for finding things, and the list that its script looks through.

The list is a script file and no JSON: a page that was opened from a disk may run a script beside it, and may not fetch.
No other page loads it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from procgen.library.fleet import Logbook
from procgen.library.items import Fastener, Record, Spec
from procgen.library.library import Head, Library
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link, short_name
from procgen.manual.data_text import in_script
from procgen.manual.job_sheet import is_plannable
from procgen.manual.page import Page
from procgen.manual.torque_calculator import TITLE as CALCULATOR
from procgen.manual.words import named_records

_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class FindView:
    """All that the template shows."""

    title: str
    words: Link
    """Where to look without a script."""


class Row(NamedTuple):
    """One thing that can be found, with the words under which it is found, the weightiest first."""

    title: str
    number: str
    """Section number."""
    kind: str
    href: str
    where: str = ""
    """The machine that it belongs to, as the thumb index has it."""
    marks: str = ""
    """What is read off it: part number, thread, torque, limits, serial number."""
    about: str = ""
    """What it has to do with: the items, parts and tools of a procedure."""
    text: str = ""
    """Words of its text, each once."""


def pages(book: Book) -> Iterator[Page]:
    """The page and its list."""
    leaf = book.leaf(paths.FIND)
    view = FindView(title="Find", words=Link("index", leaf.href(paths.WORDS)))
    scripts = (paths.INDEX_SCRIPT, "theme/scripts/find.js")
    account = book.account
    yield leaf.page("find.html", lambda: view, title=view.title, scripts=scripts, made_from=account.of_ground())
    yield Page(paths.INDEX_SCRIPT, lambda: index_script(leaf), account.of_everything())


def index_script(leaf: Leaf) -> str:
    """The list as a script: for each row its fields in their order, without the empty ones at its end."""
    book = leaf.book
    # Only procedures are found by what their steps say; the rows of all else are made from what it is called.
    rest = book.recalled("find rows", book.account.of_names(), lambda: _named_rows(leaf))
    rows = (_procedure_row(leaf, row) if isinstance(row, Head) else row for row in rest)
    body = ",\n".join((*rows, *map(_as_script, (*_jobs(leaf), *_other_pages(leaf)))))
    return f"globalThis.manualIndex = [\n{body}\n];\n"


def _as_script(row: Row) -> str:
    fields = list(row)
    while not fields[-1]:
        fields.pop()
    return in_script(fields)


def _named_rows(leaf: Leaf) -> tuple[str | Head, ...]:
    """The finished rows, and heads where those of procedures belong."""
    records = (
        record if isinstance(record, Head) else _as_script(_row(record, kind, leaf))
        for record, kind in named_records(leaf)
    )
    return (*records, *map(_as_script, _sheets(leaf)))


def _row(record: Record, kind: str, leaf: Leaf) -> Row:
    link = leaf.to(record.address)
    return Row(
        title=link.title,
        number=link.number,
        kind=kind,
        href=link.href,
        where=_where(record, leaf.library),
        marks=_marks(record, leaf),
        about=record.address.id,
    )


def _procedure_row(leaf: Leaf, head: Head) -> str:
    link, extract = leaf.to(head.address), leaf.book.extracts[head.address.id]
    return _as_script(
        Row(
            title=link.title,
            number=link.number,
            kind=head.address.kind.value,
            href=link.href,
            where=_where(head, leaf.library),
            about=extract.about,
            text=extract.words,
        )
    )


def _where(record: Record | Head, library: Library) -> str:
    match record:
        case Head():
            machine = library.machines.get(record.machine)
        case Logbook():
            machine = library.machines.get(record.machine)
        case _:
            machine = library.machines.get(record.address.scope)
    return short_name(machine) if machine else ""


def _marks(record: Record, leaf: Leaf) -> str:
    measures = leaf.book.measures
    words = [getattr(record, "number", ""), getattr(record, "serial", "")]
    match record:
        case Fastener():
            words += [record.thread, measures.torque_line(record.torque) if record.torque else ""]
        case Spec(limits=limits) if limits:
            words.append(measures.text(limits))
    return " ".join(word for word in words if word)


def _sheets(leaf: Leaf) -> Iterator[Row]:
    for head in leaf.library.heads.values():
        yield Row(
            title=head.title,
            number=leaf.book.numbers[head.address],
            kind="sheet",
            href=leaf.href(paths.sheet_path(head.address)),
            where=_where(head, leaf.library),
        )


def _jobs(leaf: Leaf) -> Iterator[Row]:
    for job in leaf.library.jobs.values():
        logbook = leaf.library.logbooks.get(job.logbook)
        procedures = (leaf.library.heads.get(task.procedure) for task in job.do)
        there = is_plannable(job, leaf.book)
        yield Row(
            title=job.title,
            number="",
            kind="job",
            href=leaf.record(job).href if there else leaf.href(paths.FRONT, f"job-{paths.safe_name(job.address.id)}"),
            where=logbook.name if logbook else "",
            marks=f"{logbook.serial} {job.planned or ''}".strip() if logbook else "",
            about=" ".join((job.address.id, *(head.title for head in procedures if head))),
        )


def _other_pages(leaf: Leaf) -> Iterator[Row]:
    for machine in leaf.library.machines.values():
        yield Row(
            title=f"Torques: {machine.title}",
            number=f"{leaf.book.numbers[machine.address]}T",
            kind="torque table",
            href=leaf.href(paths.torque_table_path(machine.address.id)),
            where=short_name(machine),
        )
    yield Row(title=CALCULATOR, number="", kind="calculator", href=leaf.href(paths.CALCULATOR))
    report = leaf.href(paths.REPORT)
    yield Row(title="Report on the library", number=numbering.REPORT, kind="report", href=report, about="findings")
