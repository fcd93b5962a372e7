"""From a filled-in sheet to the logbook: read the record, hold it against its sheet, enter it, or keep it for later."""

from datetime import date
from pathlib import Path

from procgen.library.files import read_library
from procgen.library.link import link
from procgen.record.logbook_file import enter, keep
from procgen.record.outcome import AlreadyThere, Outcome, Refused
from procgen.record.which_sheet import MisfitError, entry_of, hold_to_the_print, sheet_of
from procgen.sheet.boxes import form_of
from procgen.sheet.entry import draft
from procgen.sheet.judge import judge
from procgen.sheet.read_record import RecordError, read_record


def record_sheet(file: Path, root: Path, on: date) -> Outcome:
    """Enter the record in `file` into its logbook in the library at `root`, or keep it where the work pauses.

    on: the day for which the library is judged. Raises RecordError where `file` is no record, OutputError where
    nothing can be written.
    """
    content = _content(file)
    record = read_record(content)
    read = read_library(root)
    library, _ = link(read)
    try:
        sheet = sheet_of(record, library)
        if known := entry_of(record, sheet.logbook):
            return AlreadyThere(place=known)
        hold_to_the_print(record, sheet.plan, library)
    except MisfitError as misfit:
        return Refused(complaints=(misfit.complaint,))
    form = form_of(sheet.plan, library)
    judged = judge(record, form, library.manual.units, sheet.logbook.variants)
    if judged.complaints:
        return Refused(complaints=judged.complaints, open=judged.open if record.is_finished else ())
    if not record.is_finished:
        return keep(record, content, root, sheet, judged.open)
    entry = draft(record, form, judged, sheet.did)
    if judged.open or entry.complaints:
        return Refused(complaints=entry.complaints, open=judged.open)
    return enter(record, entry.fields, sheet, read, on)


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise RecordError(f"It cannot be read: {error.strerror or error}.") from error
