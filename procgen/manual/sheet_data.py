"""What the ticking sheet's script is given on the page: who the sheet is. The states are in work_state.py."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from procgen.manual.book import Leaf
from procgen.manual.data_text import in_page
from procgen.manual.sheet_steps import SheetWriter
from procgen.sheet.read_record import RecordError, read_record


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetName:
    """Who a sheet is."""

    kind: str
    """job or procedure."""
    subject: str
    logbook: str
    """Empty where the sheet may be for several machines."""
    revision: str
    fingerprint: str


def sheet_data(writer: SheetWriter, name: SheetName, marks: Mapping[str, str], leaf: Leaf) -> Markup:
    """JSON that a page can hold: no `<` in it. marks: the fingerprint of each step by its key."""
    plan, form = writer.steps.plan, writer.form
    data = {
        "kind": name.kind,
        "subject": name.subject,
        "logbook": name.logbook,
        "revision": name.revision,
        "fingerprint": name.fingerprint,
        "manual": leaf.library.manual.title,
        "steps": [[planned.key, planned.number, marks[planned.key]] for planned in plan.steps],
        "choices": {writer.codes[each]: each for each in form.choices if each in {*form.asked, *form.variants}},
        "meter": "" if form.meter == "none" else form.meter,
        "roles": list(form.roles),
    }
    return in_page(data)


def kept_records(root: Path, paths: Iterable[str]) -> Markup:
    """The records of paused work in some files, as JSON for the page; empty where there is none that can be read.

    root: the library. paths: relative to it.
    """
    found = [json.loads(content.decode("utf-8-sig")) for path in paths if (content := _record(root / path))]
    return in_page(found) if found else Markup()


def _record(file: Path) -> bytes:
    """What is in the file of a record; empty where that is none."""
    # Links are not followed, as in all of a library.
    if file.is_symlink():
        return b""
    try:
        content = file.read_bytes()
        read_record(content)
    except (OSError, RecordError):
        return b""
    return content
