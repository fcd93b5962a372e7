"""The answer of `procgen plan`: a job of a library, planned, as text, JSON, or the shopping list."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from procgen.library.fleet import Job
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.near import offer
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.proof import prove
from procgen.plan.readiness import Readiness, readiness, shopping_list
from procgen.upkeep.due import machine_due
from procgen.upkeep.grouping import Companion, companions
from procgen.upkeep.together import Together


class QuestionError(ValueError):
    """There is no such job, or nothing in it; the message is for the person who asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is printed."""

    text: str
    remarks: tuple[str, ...]
    """What keeps the plan from being trusted; empty where nothing does."""


def answer(name: str, folder: Path, form: str, today: date, *, colour: bool, width: int) -> Answer:
    """The job `name` of the library in `folder`. form: text, json or csv.

    Raises QuestionError where there is no such job, or nothing in it that can be planned.
    """
    loaded = load(folder)
    library = loaded.library
    job = _job(name, library)
    if not any(task.procedure in library.procedures for task in job.do):
        raise QuestionError(f'Nothing can be planned for "{name}": the library has none of its procedures.')
    planned = plan_job(job, library)
    told = _Told(
        planned=planned,
        ready=readiness(planned, library, today),
        also=_also(job, library, today) if form != "csv" else (),
        library=library,
    )
    write: Writer = {"text": _text(colour=colour, width=width), "json": _json, "csv": _csv}[form]
    remarks = []
    if loaded.findings:
        remarks.append(f"{_count(len(loaded.findings), 'mistake')} found while reading")
    if faults := len(prove(planned.plan, library).breaches):
        remarks.append(f"{_count(faults, 'fault')} found in the order of this plan")
    return Answer(
        text=write(told),
        remarks=tuple(f"{remark}; see: procgen check {folder.as_posix()}" for remark in remarks),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """All that there is to tell of a job."""

    planned: JobPlan
    ready: Readiness
    also: tuple[Companion, ...]
    library: Library


Writer = Callable[[_Told], str]


def _text(*, colour: bool, width: int) -> Writer:
    def write(told: _Told) -> str:
        from procgen.report.job_text import job_text  # noqa: PLC0415 - only the format that is asked for is loaded

        return job_text(told.planned, told.ready, told.also, told.library, colour=colour, width=width)

    return write


def _json(told: _Told) -> str:
    from procgen.report.job_json import job_json  # noqa: PLC0415

    return job_json(told.planned, told.ready, told.also, told.library)


def _csv(told: _Told) -> str:
    return shopping_list(told.ready)


def _also(job: Job, library: Library, today: date) -> tuple[Companion, ...]:
    """What else of the machine's schedule could be done in the same opening."""
    logbook = library.logbooks.get(job.logbook)
    if logbook is None or logbook.machine not in library.machines:
        return ()
    return companions(job, machine_due(library, logbook, today), Together(library))


def _job(name: str, library: Library) -> Job:
    job = library.jobs.get(name)
    if job is None:
        if not library.jobs:
            raise QuestionError(f'There is no job "{name}": the library has none. Try: procgen explain job')
        listed = ", ".join(library.jobs)
        raise QuestionError(f'There is no job "{name}": {offer(name, library.jobs, f"there is {listed}.")}')
    return job


def _count(number: int, noun: str) -> str:
    return f"1 {noun} was" if number == 1 else f"{number} {noun}s were"
