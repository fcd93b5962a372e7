"""Where the work of a sheet can rest, and where it cannot turn back without parts."""

from collections.abc import Mapping
from dataclasses import replace

from procgen.library.library import Library
from procgen.manual.pause_view import pause_view
from procgen.manual.sheet_bench import Stock, bench_line
from procgen.manual.sheet_view import BenchLine, PauseView, StopLine
from procgen.manual.step_writer import StepWriter
from procgen.plan import no_return, pause
from procgen.plan.naming import the
from procgen.plan.no_return import NeededPart, NoReturn

WHY = {
    pause.Rest.PARTS: "What comes next cannot be put back without parts that may not have come.",
    pause.Rest.OPEN: "All is open that will be opened: from here on things go back.",
    pause.Rest.WAIT: "The work has to wait here anyway.",
}


def natural_stops(steps: StepWriter) -> Mapping[str, PauseView]:
    """The pause sheets that are printed, by the key of the step before which they stand."""
    plan = steps.plan
    rests = pause.pauses(plan)
    stops = pause.natural_stops(plan, steps.leaf.library, rests)
    before = {rest.next.key: rest for rest in rests if rest.next}
    return {stop.step: pause_view(before[stop.step], WHY[stop.rest], steps) for stop in stops}


def points_of_no_return(steps: StepWriter, stock: Stock | None) -> Mapping[str, StopLine]:
    """What must be on the bench before which step, by its key. stock: None where nobody has said."""
    points = no_return.points_of_no_return(steps.plan, steps.leaf.library)
    # Where the old part can go back at a pinch, the work can turn back too.
    return {
        point.step: _stop(point, steps, stock)
        for point in points
        if not all(part.old_may_go_back for part in point.parts)
    }


def _stop(point: NoReturn, steps: StepWriter, stock: Stock | None) -> StopLine:
    library = steps.leaf.library
    spent = [part for part in point.parts if not part.old_may_go_back]
    items = dict.fromkeys(the(steps.plan.machine.items, item) for part in spent for item in part.need.items)
    undone = f"Without them {' and '.join(items)} cannot go back." if items else ""
    return StopLine(
        parts=tuple(_bench_line(part, library, stock) for part in point.parts),
        undoes=undone,
    )


def _bench_line(part: NeededPart, library: Library, stock: Stock | None) -> BenchLine:
    line = bench_line(part.need.part, library, stock)
    return replace(line, about="the old one can go back" if part.old_may_go_back else "")
