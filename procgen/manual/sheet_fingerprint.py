"""The fingerprint of a plan's sheet, without making the page: for whoever holds a filled-in record against it."""

from procgen.library.library import Library
from procgen.manual.book import SiteInput, book
from procgen.manual.fingerprint import fingerprint
from procgen.manual.paths import FRONT
from procgen.manual.sheet_words import own_words, words_of
from procgen.manual.step_view import GroupView, Run
from procgen.manual.step_writer import StepWriter
from procgen.manual.theme import find_theme
from procgen.manual.work import anchor_of
from procgen.plan.steps import Plan


def sheet_mark(writer: StepWriter) -> str:
    """The fingerprint of a sheet: of the work, not of what lies on the bench or when it is planned."""
    procedure = writer.procedure
    return fingerprint(procedure.title, procedure.revision, *(words_of(run) for run in writer.runs))


def fingerprints(plan: Plan, library: Library) -> tuple[str, dict[str, str]]:
    """The fingerprint of a plan's sheet, and by its key that of each step's own words."""
    leaf = book(SiteInput(library=library, plans={}, theme=find_theme())).leaf(FRONT)
    writer = StepWriter(plan, leaf)
    keys = {anchor_of(planned): planned.key for planned in plan.steps}
    marks: dict[str, str] = {}
    _gather(writer.runs, keys, marks)
    return sheet_mark(writer), marks


def _gather(runs: tuple[Run, ...], keys: dict[str, str], marks: dict[str, str]) -> None:
    for run in runs:
        if isinstance(run, GroupView):
            _gather(run.steps, keys, marks)
        else:
            marks[keys[run.anchor]] = fingerprint(own_words(run))
            _gather(run.branch, keys, marks)
