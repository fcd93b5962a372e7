"""The front page: what this manual covers, where to find it, and in what state it is."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.finding import Severity, count
from procgen.library.machine import Machine
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.due_view import SCRIPTS, MachineBoard, boards
from procgen.manual.facts import ContentsLine, Fact, facts, plural
from procgen.manual.job_sheet import is_plannable
from procgen.manual.machine import procedure_lines, working_time
from procgen.manual.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """A machine in the contents."""

    to: Link
    summary: Markup
    procedures: tuple[ContentsLine, ...]
    individuals: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """A planned job."""

    anchor: str
    sheet: Link
    """Leads nowhere where the job cannot be planned."""
    on: Link
    date: str
    procedures: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontView:
    """All that the template shows."""

    title: str
    publisher: str
    facts: tuple[Fact, ...]
    note: Markup
    caution: Markup
    chapters: tuple[Chapter, ...]
    general: tuple[ContentsLine, ...]
    """Procedures without a machine."""
    due: tuple[MachineBoard, ...]
    """What is due on each machine, the most urgent first; empty where the manual does not know its day."""
    jobs: tuple[JobLine, ...]
    back: tuple[ContentsLine, ...]
    """The shop-wide sections."""
    state: str
    report: Link


def pages(book: Book) -> Iterator[Page]:
    """The one front page."""
    leaf, manual = book.leaf(paths.FRONT), book.library.manual
    made_from = None
    if not (book.library.logbooks or book.library.jobs):
        # Then nothing of any procedure is on it but its working time.
        times = (working_time(leaf, name) for name in book.library.heads)
        made_from = book.account.of_record(manual.address, more=(_state(leaf), *times))
    yield leaf.page("front.html", lambda: _view(leaf), title=manual.title, scripts=SCRIPTS, made_from=made_from)


def _view(leaf: Leaf) -> FrontView:
    manual = leaf.library.manual
    return FrontView(
        title=manual.title,
        publisher=manual.publisher,
        facts=facts(
            Fact(label="Edition", text=manual.edition),
            Fact(label="Units", text=_units(leaf)),
            Fact(label="Signed off by", text=", ".join(manual.sign_off)),
        ),
        note=leaf.block(manual.note),
        caution=leaf.block(manual.caution),
        chapters=tuple(_chapter(machine, leaf) for machine in leaf.library.machines.values()),
        general=procedure_lines(None, leaf),
        due=boards(leaf),
        jobs=tuple(_jobs(leaf)),
        back=tuple(_back(leaf)),
        state=_state(leaf),
        report=Link("Report on the library", leaf.href(paths.REPORT), numbering.REPORT),
    )


def _units(leaf: Leaf) -> str:
    units = leaf.library.manual.units
    return units.first if units.second == "none" else f"{units.first}, then {units.second}"


def _chapter(machine: Machine, leaf: Leaf) -> Chapter:
    books = leaf.library.logbooks.values()
    return Chapter(
        to=leaf.record(machine),
        summary=leaf.block(machine.summary, machine),
        procedures=procedure_lines(machine, leaf),
        individuals=tuple(leaf.record(logbook) for logbook in books if logbook.machine == machine.address.id),
    )


def _jobs(leaf: Leaf) -> Iterator[JobLine]:
    for job in leaf.library.jobs.values():
        logbook = leaf.library.logbooks.get(job.logbook)
        procedures = (leaf.library.heads.get(task.procedure) for task in job.do)
        yield JobLine(
            anchor=f"job-{paths.safe_name(job.address.id)}",
            sheet=leaf.record(job) if is_plannable(job, leaf.book) else Link(job.title, ""),
            on=leaf.record(logbook) if logbook else Link(job.logbook, ""),
            date=job.planned.isoformat() if job.planned else "",
            procedures=tuple(leaf.to(head.address) for head in procedures if head),
        )


def _back(leaf: Leaf) -> Iterator[ContentsLine]:
    library = leaf.library
    for mark, title, path, shelf in (
        (numbering.FLEET, "Fleet: the machines themselves and their histories", paths.FLEET, library.logbooks),
        (numbering.TOOLS, "Tools and where they are used", paths.TOOLS, library.tools),
        (numbering.PARTS, "Parts and consumables", paths.PARTS, library.parts),
        (numbering.NOTICES, "Safety notices", paths.NOTICES, library.notices),
        (numbering.SOURCES, "Sources, and where they disagree", paths.SOURCES, library.sources),
    ):
        if shelf:
            yield ContentsLine(Link(title, leaf.href(path), mark), str(len(shelf)))
    if leaf.book.site.with_book:
        yield ContentsLine(Link("This manual as a book, to print", leaf.href(paths.BOOK)), "PDF")
    yield ContentsLine(Link("Torque calculator", leaf.href(paths.CALCULATOR)))
    yield ContentsLine(Link("Words of the trade, and index", leaf.href(paths.WORDS), numbering.WORDS))
    yield ContentsLine(Link("Report on the library", leaf.href(paths.REPORT), numbering.REPORT))


def _state(leaf: Leaf) -> str:
    counts = count(leaf.book.site.findings)
    accepted = len({(each.place.file, each.place.line, each.check) for each in leaf.book.site.accepted})
    parts = [
        plural(counts[Severity.ERROR], "error"),
        plural(counts[Severity.WARNING], "warning"),
        plural(counts[Severity.ADVICE], "piece of advice", "pieces of advice"),
        plural(accepted, "accepted deviation"),
    ]
    return ", ".join(parts)
