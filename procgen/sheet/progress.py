"""Where records of paused work are kept: beside the file of the job or logbook, never read as part of the library."""

from pathlib import Path, PurePosixPath

from procgen.library.fleet import Job, Logbook
from procgen.library.folder import PAUSED
from procgen.sheet.judge import Complaint
from procgen.sheet.read_record import RecordError, read_record
from procgen.sheet.record import SheetKind, SheetRecord


def progress_path(file: str, record: SheetRecord) -> str:
    """Relative to the library, beside `file`: `launch-two-belt.progress.json`.

    Of work on a single procedure it lies beside the logbook, whose machine it is about.
    """
    if record.kind is SheetKind.JOB:
        return _beside(file, record.subject)
    return _beside(file, f"{record.logbook}.{record.subject}")


def job_progress(job: Job) -> str:
    """The file that keeps the progress of a job, relative to the library."""
    return _beside(job.origin.file, job.address.id)


def procedure_progress(procedure: str, logbook: Logbook) -> str:
    """The file that keeps the progress of a procedure on one machine, relative to the library."""
    return _beside(logbook.origin.file, f"{logbook.address.id}.{procedure}")


def _beside(file: str, name: str) -> str:
    return PurePosixPath(file).with_name(f"{name}{PAUSED}").as_posix()


def refusal_to_keep(record: SheetRecord, target: Path, path: str) -> Complaint | None:
    """Why a paused record may not take the place of the one that is kept; None where it may."""
    try:
        kept = read_record(target.read_bytes())
    except FileNotFoundError:
        return None
    except (OSError, RecordError):
        return Complaint(f"{path} is there, and it is no record of this program.", "move it away")
    if kept.id != record.id:
        return Complaint(
            f"{path} holds another record of this work, {kept.id}, saved {kept.saved or 'some day'}.",
            "go on with that one: open it on the sheet; or move it away",
        )
    if kept.saved > record.saved:
        return Complaint(
            f"{path} holds a later state of this record: saved {kept.saved}, and this one {record.saved}.",
            "use the later one, or move it away",
        )
    return None
