"""The safety messages of a plan, up front."""

from procgen.manual.notice_view import NoticeView, notice_view, worst_first
from procgen.manual.step_writer import StepWriter


def hazards(writer: StepWriter) -> tuple[NoticeView, ...]:
    """Those that the author puts up front and those of the steps, each once, the worst first."""
    library = writer.leaf.library
    named = (*writer.procedure.notices, *(id_ for planned in writer.plan.steps for id_ in planned.step.notices))
    ids = dict.fromkeys(id_ for id_ in named if id_ in library.notices)
    return tuple(notice_view(notice, writer.leaf) for notice in worst_first(tuple(library.notices[id_] for id_ in ids)))
