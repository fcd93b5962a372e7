"""The answer of `procgen visits`: what is cheapest done together on one machine, as text or JSON."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from procgen.library.fleet import Logbook
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.near import offer
from procgen.upkeep.due import machine_due
from procgen.upkeep.together import Together
from procgen.upkeep.visit_plan import visit_plan


class QuestionError(ValueError):
    """There is no such machine, or no such work on it; the message is for the person who asked."""


def answer(
    name: str, folder: Path, form: str, on: date, *, years: int, only: Sequence[str], colour: bool, width: int
) -> tuple[str, int]:
    """The visits to the machine with the logbook `name`, and how many mistakes were found while reading the library.

    form: text or json. only: the items of its schedule that take part; none: all.
    Raises QuestionError where the library has no such machine, or its schedule no such item.
    """
    loaded = load(folder)
    library = loaded.library
    logbook = _logbook(name, library)
    machine = machine_due(library, logbook, on)
    _all_known(only, [due.item.address.id for due in machine.work], logbook)
    plan = visit_plan(machine, Together(library), years, only or None)
    if form == "json":
        from procgen.report.visits_json import visits_json  # noqa: PLC0415 - only the format that is asked for is loaded

        return visits_json(plan, library.manual), len(loaded.findings)
    from procgen.report.visits_text import visits_text  # noqa: PLC0415

    return visits_text(plan, library.manual, colour=colour, width=width), len(loaded.findings)


def _logbook(name: str, library: Library) -> Logbook:
    logbook = library.logbooks.get(name)
    if logbook is None:
        listed = ", ".join(library.logbooks) or "none at all"
        raise QuestionError(f'There is no logbook "{name}": {offer(name, library.logbooks, f"there is {listed}")}')
    if logbook.machine not in library.machines:
        raise QuestionError(f'Nothing is due on "{name}": the library has no machine "{logbook.machine}".')
    return logbook


def _all_known(only: Sequence[str], known: Sequence[str], logbook: Logbook) -> None:
    for item in only:
        if item not in known:
            listed = ", ".join(known) or "nothing"
            said = offer(item, known, f"there is {listed}")
            raise QuestionError(f'Nothing on the schedule of {logbook.name} is called "{item}": {said}')
