"""Where the record of paused work is kept: beside the job's file, and never read as part of the library."""

from pathlib import Path, PurePosixPath

from procgen.sheet.judge import Complaint
from procgen.sheet.read_record import RecordError, read_record
from procgen.sheet.record import SheetKind, SheetRecord


def progress_path(file: str, record: SheetRecord) -> str:
    """Relative to the library, beside `file`: `launch-two-belt.progress.json`.

    Of work on a single procedure it lies beside the logbook, whose machine it is about.
    """
    name = record.subject if record.kind is SheetKind.JOB else f"{record.logbook}.{record.subject}"
    return beside(file, name)


def beside(file: str, name: str) -> str:
    """The file beside `file` that keeps the progress of the work of that name."""
    return PurePosixPath(file).with_name(f"{name}.progress.json").as_posix()


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
