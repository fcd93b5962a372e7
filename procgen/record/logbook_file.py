"""Writes a record down: an entry into the logbook's file, or the record itself beside the job. Whole, or not at all."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path

from procgen.checks.examine import examine
from procgen.finding import Finding, Place, Severity
from procgen.library.files import ReadLibrary, read_file
from procgen.library.library import Library
from procgen.library.link import link
from procgen.library.load import Loaded
from procgen.output.error import OutputError
from procgen.output.lock import alone
from procgen.output.whole import put_whole
from procgen.record.outcome import AlreadyThere, Entered, Kept, Outcome, Refused
from procgen.record.which_sheet import Sheet, entry_of
from procgen.sheet.judge import Complaint, Open
from procgen.sheet.logbook_text import AppendError, Fields, entry_text, with_entry
from procgen.sheet.progress import progress_path, refusal_to_keep
from procgen.sheet.read_record import RecordError, read_record
from procgen.sheet.record import SheetRecord


def keep(record: SheetRecord, content: bytes, root: Path, sheet: Sheet, still_open: tuple[Open, ...]) -> Outcome:
    """Keep the record of paused work beside its job. Raises OutputError."""
    path = progress_path(sheet.file, record)
    target = root / path
    refused = refusal_to_keep(record, target, path)
    if refused:
        return Refused(complaints=(refused,))
    with _writing(target):
        put_whole(_staged(target), target, content, durably=True)
    return Kept(file=path, open=still_open)


def enter(record: SheetRecord, fields: Fields, sheet: Sheet, read: ReadLibrary, on: date) -> Outcome:
    """Add an entry to the logbook, unless the checks find an error in it. Raises OutputError.

    on: the day for which the library is judged.
    """
    name = sheet.logbook.origin.file
    target = (read.root / name).resolve()
    with _writing(target), alone(target.parent):
        try:
            before = _text(target)
            after = with_entry(before, fields)
        except AppendError as error:
            return Refused(complaints=(_by_hand(name, fields, error),))
        if record.name in before:
            return AlreadyThere(place=sheet.logbook.origin.place)
        place, found = _examined(read, name, after, record, on)
        errors = tuple(Complaint(each.message, each.remedy) for each in found if each.severity is Severity.ERROR)
        if errors:
            return Refused(complaints=errors)
        put_whole(_staged(target), target, after.encode("utf-8"), durably=True)
    _forget(record, read.root, sheet)
    return Entered(place=place, text=entry_text(fields), warnings=found)


def _text(file: Path) -> str:
    try:
        return file.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        raise AppendError("it is not UTF-8") from error


def _by_hand(name: str, fields: Fields, error: AppendError) -> Complaint:
    return Complaint(
        f"The entry cannot be added to {name}: {error}.", f"add it by hand under `entries:`\n\n{entry_text(fields)}"
    )


def _examined(
    read: ReadLibrary, name: str, text: str, record: SheetRecord, on: date
) -> tuple[Place, tuple[Finding, ...]]:
    """Where the new entry stands, and what the checks say about it, in the library as it will be."""
    files = tuple(read_file(text, name) if file.path == name else file for file in read.files)
    library, findings = link(replace(read, files=files))
    examined = examine(Loaded(library=library, findings=(*read.findings, *findings)), on)
    places = [entry_of(record, logbook) for logbook in library.logbooks.values()]
    # Whatever the sheet lets through, an entry that cannot be read is an error of the file.
    begins = next((place for place in places if place), Place(name, 1, 1))
    return begins, tuple(each for each in examined.findings if begins in set(_entries_named(each, library)))


def _entries_named(finding: Finding, library: Library) -> Iterator[Place]:
    """The entries in which a finding lies, or which led to it."""
    for place in (finding.place, *(each.place for each in finding.because)):
        for logbook in library.logbooks.values():
            starts = [entry.origin.place for entry in logbook.entries if entry.origin.place.file == place.file]
            before = [start for start in starts if start <= place]
            if before:
                yield max(before)
        yield Place(place.file, 1, 1)


def _staged(target: Path) -> Path:
    # Hidden, so that no reading of the library takes it for one of its files.
    return target.with_name(f".{target.name}.procgen-staged")


@contextmanager
def _writing(target: Path) -> Iterator[None]:
    """What the system refuses, as a sentence about the file; what was staged is taken away."""
    try:
        yield
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError(f"{target} cannot be written: {reason}. It is as it was.") from problem
    except OutputError as problem:
        message = f"Another procgen is writing to {target.parent}. Let it finish, then run this again."
        raise OutputError(message) from problem
    finally:
        _staged(target).unlink(missing_ok=True)


def _forget(record: SheetRecord, root: Path, sheet: Sheet) -> None:
    """Take away the paused record that has come to its end."""
    kept = root / progress_path(sheet.file, record)
    try:
        if read_record(kept.read_bytes()).id == record.id:
            kept.unlink()
    except (OSError, RecordError):
        return
