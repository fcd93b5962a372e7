"""Which sheet a record was filled in on, as the library has it now."""

from dataclasses import dataclass

from procgen.finding import Place
from procgen.library.fleet import Logbook
from procgen.library.library import Library
from procgen.library.origin import ProcedureId
from procgen.manual.sheet_fingerprint import fingerprints
from procgen.plan.expand import expand
from procgen.plan.job import plan_job
from procgen.plan.steps import Plan
from procgen.sheet.judge import Complaint
from procgen.sheet.record import SheetKind, SheetRecord

_ELSEWHERE = "name the library that the sheet was built from"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The sheet that a record was filled in on, as the library has it now."""

    plan: Plan
    logbook: Logbook
    did: tuple[ProcedureId, ...]
    file: str
    """The file beside which a paused record is kept, relative to the library."""


class MisfitError(Exception):
    """A record is of no sheet of this library, or of one that has changed since."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.complaint = Complaint(message, remedy)


def sheet_of(record: SheetRecord, library: Library) -> Sheet:
    """The sheet of a record. Raises MisfitError."""
    match record.kind:
        case SheetKind.JOB:
            return _job_sheet(record, library)
        case SheetKind.PROCEDURE:
            return _procedure_sheet(record, library)


def _job_sheet(record: SheetRecord, library: Library) -> Sheet:
    job = library.jobs.get(record.subject)
    if job is None:
        raise MisfitError(f'The record is of the job "{record.subject}", and the library has no such job.', _ELSEWHERE)
    if record.logbook != job.logbook:
        message = f'The record is of work on "{record.logbook}", and the job is planned on "{job.logbook}".'
        raise MisfitError(message, "open the job's sheet as it is now, and carry the record over")
    try:
        plan = plan_job(job, library).plan
    except ValueError as error:
        raise MisfitError(
            f"The job cannot be planned: {error}.", "run procgen check, and mend what it finds"
        ) from error
    did = tuple(dict.fromkeys(task.procedure for task in job.do))
    return Sheet(plan=plan, logbook=_logbook(job.logbook, library), did=did, file=job.origin.file)


def _procedure_sheet(record: SheetRecord, library: Library) -> Sheet:
    procedure = library.procedures.get(record.subject)
    if procedure is None:
        message = f'The record is of the procedure "{record.subject}", and the library has no such procedure.'
        raise MisfitError(message, _ELSEWHERE)
    if not record.logbook:
        raise MisfitError(
            "The record does not say on which machine the work was done.", "choose it at the head of the sheet"
        )
    logbook = _logbook(record.logbook, library)
    if logbook.machine != procedure.machine.address.id:
        message = f"{procedure.title} is no work for {logbook.name}."
        raise MisfitError(message, "choose the machine at the head of the sheet")
    plan, _ = expand(procedure, library)
    return Sheet(plan=plan, logbook=logbook, did=(procedure.procedure_id,), file=logbook.origin.file)


def _logbook(id_: str, library: Library) -> Logbook:
    logbook = library.logbooks.get(id_)
    if logbook is None:
        raise MisfitError(f'The library has no logbook "{id_}".', _ELSEWHERE)
    return logbook


def hold_to_the_print(record: SheetRecord, plan: Plan, library: Library) -> None:
    """Raises MisfitError where the sheet has changed since it was filled in."""
    mark, marks = fingerprints(plan, library)
    if record.fingerprint == mark:
        return
    numbers = {planned.key: planned.number for planned in plan.steps}
    changed = [
        numbers.get(key, key) for key, filled in record.steps.items() if filled.mark and marks.get(key) != filled.mark
    ]
    which = f" Changed since: step {', '.join(changed[:8])}{' …' if len(changed) > 8 else ''}." if changed else ""
    raise MisfitError(
        f"The record was filled in on a print that is outdated: fingerprint {record.fingerprint}, and the sheet is now "
        f"{mark}.{which}",
        "build the manual, open this record on the sheet, carry over what is the same, and do the rest again",
    )


def entry_of(record: SheetRecord, logbook: Logbook) -> Place | None:
    """Where the logbook has the record already."""
    return next((entry.origin.place for entry in logbook.entries if entry.record.split(" ")[-1:] == [record.id]), None)
