"""The page for finding things, and the list that its script looks through.

The list is a script file and no JSON: a page that was opened from a disk may run a script beside it, and may not fetch.
No other page loads it.
"""

import re
from collections.abc import Iterator
from dataclasses import astuple, dataclass

from procgen.library.fleet import Logbook
from procgen.library.items import Fastener, Record, Spec
from procgen.library.library import Library
from procgen.library.machine import Procedure
from procgen.library.origin import Address, Kind, Prose
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
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
    yield leaf.page("find.html", view, title=view.title, scripts=scripts)
    yield Page(paths.INDEX_SCRIPT, index_script(leaf))


def index_script(leaf: Leaf) -> str:
    """The list as a script: for each row its fields in their order, without the empty ones at its end."""
    body = ",\n".join(_as_script(row) for row in _rows(leaf))
    return f"globalThis.manualIndex = [\n{body}\n];\n"


def _as_script(row: Row) -> str:
    fields = list(astuple(row))
    while not fields[-1]:
        fields.pop()
    return in_script(fields)


def _rows(leaf: Leaf) -> Iterator[Row]:
    for record, kind in named_records(leaf):
        link = leaf.record(record)
        yield Row(
            title=link.title,
            number=link.number,
            kind=kind,
            href=link.href,
            where=_where(record, leaf.library),
            marks=_marks(record, leaf),
            about=_about(record, leaf) if isinstance(record, Procedure) else record.address.id,
            text=_text(record) if isinstance(record, Procedure) else "",
        )
    yield from _sheets(leaf)
    yield from _jobs(leaf)
    yield from _torque_pages(leaf)


def _where(record: Record, library: Library) -> str:
    match record:
        case Procedure():
            return "" if record.is_bare else short_name(record.machine)
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


def _about(procedure: Procedure, leaf: Leaf) -> str:
    """Everything that its steps touch, by title and number."""
    plan = leaf.book.site.plans.get(procedure.address.id)
    items = procedure.machine.items
    titles: dict[str, None] = {}
    for planned in plan.steps if plan else ():
        titles.update((items[action.item].title, None) for action in planned.actions if action.item in items)
        parts = (*planned.step.new, *(amount.part for amount in planned.step.uses))
        for kind, ids in ((Kind.PART, parts), (Kind.TOOL, planned.step.tools)):
            for record in filter(None, (leaf.library.find(Address(kind, id_)) for id_ in ids)):
                titles.update({record.title: None, getattr(record, "number", ""): None})
    return " ".join(dict.fromkeys((procedure.address.id, *filter(None, titles))))


def _text(procedure: Procedure) -> str:
    texts: list[Prose | None] = [procedure.summary, procedure.note]
    for step in procedure.every_step():
        texts += [step.do, step.why, step.note, step.accept, step.proof]
    words = (word for text in texts if text for word in _WORD.findall(text.text.lower()))
    return " ".join(dict.fromkeys(words))


def _sheets(leaf: Leaf) -> Iterator[Row]:
    for procedure in leaf.library.procedures.values():
        if procedure.address.id in leaf.book.site.plans:
            yield Row(
                title=procedure.title,
                number=leaf.book.numbers[procedure.address],
                kind="sheet",
                href=leaf.href(paths.sheet_path(procedure.address)),
                where=_where(procedure, leaf.library),
            )


def _jobs(leaf: Leaf) -> Iterator[Row]:
    for job in leaf.library.jobs.values():
        logbook = leaf.library.logbooks.get(job.logbook)
        procedures = (leaf.library.procedures.get(task.procedure) for task in job.do)
        there = is_plannable(job, leaf.book)
        yield Row(
            title=job.title,
            number="",
            kind="job",
            href=leaf.record(job).href if there else leaf.href(paths.FRONT, f"job-{paths.safe_name(job.address.id)}"),
            where=logbook.name if logbook else "",
            marks=f"{logbook.serial} {job.planned or ''}".strip() if logbook else "",
            about=" ".join((job.address.id, *(procedure.title for procedure in procedures if procedure))),
        )


def _torque_pages(leaf: Leaf) -> Iterator[Row]:
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
