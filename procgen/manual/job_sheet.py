"""The sheet of each planned job: several procedures on one individual machine, in the order of their common plan."""

from collections.abc import Iterator
from functools import partial

from procgen.library.fleet import Job
from procgen.library.origin import Address, Kind
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.facts import Fact, duration, facts
from procgen.manual.fleet import latest_meter
from procgen.manual.in_there import in_there
from procgen.manual.page import Page, made_together
from procgen.manual.sheet import sheet_files, sheet_view, sheet_writer
from procgen.manual.sheet_bench import Stock
from procgen.manual.sheet_data import SheetName, kept_records
from procgen.manual.sheet_fingerprint import sheet_mark
from procgen.manual.step_writer import StepWriter
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.renewed_anyway import renewed_anyway
from procgen.sheet.progress import job_progress


def pages(book: Book) -> Iterator[Page]:
    """One sheet for every job that can be planned."""
    for job in book.library.jobs.values():
        if is_plannable(job, book):
            path, _ = paths.path_of(job.address, book.library)
            make = partial(_made, job, book)
            made_from = book.account.of_upkeep(book.library.logbooks.get(job.logbook))
            yield from made_together((path, paths.state_script_path(path)), make, made_from)


def _made(job: Job, book: Book) -> Iterator[Page]:
    return files(book, plan_job(job, book.library))


def is_plannable(job: Job, book: Book) -> bool:
    """Whether the library has any of a job's procedures."""
    return any(task.procedure in book.library.heads for task in job.do)


def files(book: Book, planned: JobPlan) -> Iterator[Page]:
    """The sheet of one job, and the script file beside it."""
    job, logbook = planned.job, planned.logbook
    leaf = book.leaf(paths.path_of(job.address, book.library)[0], numbering.FLEET)
    stock = Stock(on_hand=frozenset(job.on_hand), planned=job.planned)
    items = planned.plan.machine.items
    anyway = {key: renewal.words(items) for key, renewal in renewed_anyway(planned, book.library).items()}
    writer = sheet_writer(StepWriter(planned.plan, leaf), stock, anyway)
    revision = book.library.manual.edition
    name = SheetName(
        kind="job",
        subject=job.address.id,
        logbook=job.logbook,
        revision=revision,
        fingerprint=sheet_mark(writer.steps),
    )
    view = sheet_view(
        writer,
        writer.runs(),
        name,
        kicker="Job sheet",
        own_facts=_facts(planned, name, leaf),
        procedures=tuple(_procedures(planned, leaf)),
        stock=stock,
        kept=kept_records(book.library.root, (job_progress(job),)),
        same_opening=in_there(job, leaf),
    )
    machine = book.library.machines.get(logbook.machine) if logbook else None
    who = (logbook.name, logbook.serial, latest_meter(logbook, machine)) if logbook else ()
    yield from sheet_files(leaf, writer, view, name, who=" · ".join(text for text in who if text))


def _facts(planned: JobPlan, name: SheetName, leaf: Leaf) -> tuple[Fact, ...]:
    job, logbook = planned.job, planned.logbook
    machine = leaf.library.machines.get(logbook.machine) if logbook else None
    saved = planned.minutes_saved
    time = duration(planned.minutes_together) if planned.minutes_together else ""
    return facts(
        Fact(label="On", links=(leaf.record(logbook),) if logbook else ()),
        Fact(label="Machine", links=(leaf.record(machine),) if machine else ()),
        Fact(label="Serial number", text=logbook.serial if logbook else ""),
        Fact(label="Meter", text=latest_meter(logbook, machine) if logbook else ""),
        Fact(label="Planned for", text=job.planned.isoformat() if job.planned else ""),
        Fact(label="Working time", text=f"{time}, {duration(saved)} saved" if saved >= 1 else time),
        Fact(label="Edition", text=name.revision),
        Fact(label="Fingerprint", text=name.fingerprint),
    )


def _procedures(planned: JobPlan, leaf: Leaf) -> Iterator[Link]:
    for task in planned.tasks:
        link = leaf.to(Address(Kind.PROCEDURE, task.procedure.address.id))
        revision = task.procedure.revision
        yield Link(f"{link.title} (revision {revision})" if revision else link.title, link.href, link.number)
