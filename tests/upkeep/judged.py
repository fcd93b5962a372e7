"""Libraries as literal text, judged for a day: what the tests of due work begin with."""

import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from procgen.library.load import load
from procgen.upkeep.due import Due, MachineDue, due
from tests.written import write


def machines(files: Mapping[str, str] | str, on: str) -> tuple[MachineDue, ...]:
    """What is due on the machines of a library on a day; it must be free of mistakes."""
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(write(Path(folder), files))
    assert [finding.message for finding in loaded.findings] == []
    return due(loaded.library, date.fromisoformat(on))


def only_machine(files: Mapping[str, str] | str, on: str) -> MachineDue:
    """The one machine of a library."""
    (machine,) = machines(files, on)
    return machine


def work(files: Mapping[str, str] | str, on: str) -> dict[str, Due]:
    """The work of the one machine of a library, by its id."""
    return {each.item.address.id: each for each in only_machine(files, on).work}


def said(each: Due) -> str:
    """A piece of due work in one line: standing, day, percent used and the limit that bites."""
    used = "?" if each.used is None else f"{float(each.used) * 100:.0f} %"
    return f"{each.standing} {each.due_on or '-'} {used} of {each.bites.text if each.bites else '-'}"
