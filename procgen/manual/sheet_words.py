"""The words that somebody works by, for fingerprints: of a step, and of all steps of a sheet.

Nothing here depends on where a page lies, on section numbers, or on who else names a thing.
"""

import re
from collections.abc import Iterator

from markupsafe import Markup

from procgen.manual.fastener_view import TorquePlate
from procgen.manual.step_view import GroupView, Run, StepView

_TAG = re.compile(r"<[^<>]*>")


def words_of(run: Run) -> str:
    """All that a reader works by in a run of steps, numbers and conditions included."""
    if isinstance(run, GroupView):
        return "\n".join((run.title, run.when_words, *(words_of(inner) for inner in run.steps)))
    return "\n".join((run.number, run.when_words, own_words(run), *(words_of(inner) for inner in run.branch)))


def own_words(step: StepView) -> str:
    """What one step itself says: the same wherever it stands, whatever its number."""
    return "\n".join(text for text in _own(step) if text)


def _own(step: StepView) -> Iterator[str]:
    for doing in step.doings:
        yield f"{doing.verb} {', '.join(item.title for item in doing.items)}"
    yield from map(_plain, (step.text, step.accept, step.proof, step.repeat, step.note, *step.records))
    for notice in step.notices:
        yield " ".join((notice.word, *map(_plain, (notice.hazard, notice.consequence, notice.avoid))))
    for plate in step.torques:
        yield from _plate(plate)
    for limits in step.limits:
        yield f"{limits.spec.title if limits.spec else ''} {limits.value}"
    for use in step.uses:
        yield f"{use.part.title} {use.amount}"
    yield from (link.title for link in (*step.new, *step.tools, *step.sets))
    yield from (*step.signs, *step.needs, step.wait, step.branch_head)


def _plate(plate: TorquePlate) -> Iterator[str]:
    yield " ".join((plate.fastener.title, plate.what, plate.threads))
    if plate.torque:
        yield plate.torque.line
        yield from (stage.setting for stage in plate.torque.stages if stage.setting)


def _plain(text: Markup) -> str:
    return _TAG.sub("", str(text))
