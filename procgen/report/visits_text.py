"""The cheapest visits to a machine over some years, for a person at a terminal."""

import textwrap
from collections.abc import Iterator

from procgen.library.catalogue import Manual
from procgen.plan.duration import minutes_words
from procgen.report.lines import Line, printed
from procgen.upkeep.visit_plan import Opening, Visit, VisitPlan, Visits
from procgen.upkeep.visit_words import assumptions, early_words, money, opening_title, verdict, visits_words
from procgen.upkeep.wording import meter_line

_HEAD = "bold"
_QUIET = "dim"
_INDENT = "  "
_DATE = 12


def visits_text(plan: VisitPlan, manual: Manual, *, colour: bool, width: int = 100) -> str:
    """The whole plan. With `colour` it carries terminal colours. width: in characters."""
    return printed(list(_lines(plan, manual, width)), colour=colour, width=width)


def _lines(plan: VisitPlan, manual: Manual, width: int) -> Iterator[Line]:
    logbook, model = plan.machine.logbook, plan.machine.machine.title
    serial = f", {logbook.serial}" if logbook.serial else ""
    yield Line((logbook.name, _HEAD), (f"{_INDENT}{model}{serial}", ""))
    if meter := meter_line(plan.machine):
        yield Line((meter, _QUIET))
    yield Line((f"Visits from {plan.machine.on} to {plan.last}.", _QUIET))
    for opening in plan.openings:
        yield Line()
        yield from _opening(opening, plan, manual, width)
    if not plan.openings:
        yield Line()
        yield Line(("No two pieces of its scheduled work share access: each is best done when it is due.", ""))
    if plan.left_out:
        yield Line()
        yield Line(("Not weighed here", _HEAD))
        for each in plan.left_out:
            yield from _wrapped(f"{each.due.item.title}: {each.reason}.", width)
    if plan.openings:
        yield Line()
        yield Line(("What this assumes", _HEAD))
        for sentence in assumptions(plan, manual):
            yield from _wrapped(sentence, width)


def _opening(opening: Opening, plan: VisitPlan, manual: Manual, width: int) -> Iterator[Line]:
    for line in textwrap.wrap(opening_title(opening), width):
        yield Line((line, _HEAD))
    if opening.shares:
        items = plan.machine.machine.items
        yield from _wrapped(f"share: {', '.join(items[name].title for name in opening.shares)}", width, _QUIET)
    yield from _wrapped(verdict(opening, manual), width, "" if opening.cheapest else "red")
    if not opening.cheapest:
        yield from _wrapped("Name fewer pieces of work with --work, or ask for fewer years with --years.", width)
    yield Line()
    if opening.cheapest:
        yield from _totals(opening.cheapest, "done together", manual)
    yield from _totals(opening.when_due, "each when it is due", manual)
    yield Line()
    for visit in (opening.cheapest or opening.when_due).visits:
        yield from _visit(visit, manual, width)


def _totals(visits: Visits, heading: str, manual: Manual) -> Iterator[Line]:
    count = visits_words(len(visits.visits))
    said = f"{heading:<21}{count:>10}{minutes_words(visits.minutes):>14}"
    if manual.labour_rate is not None:
        cost, left, total = (money(each, manual) for each in (visits.cost, visits.left, visits.total))
        said += f"{cost:>14}, less {left} that is left: {total}"
    yield Line((_INDENT + said, ""))


def _visit(visit: Visit, manual: Manual, width: int) -> Iterator[Line]:
    price = f"{money(visit.cost, manual):>12}" if manual.labour_rate is not None else ""
    head = f"{_INDENT}{visit.on.isoformat():<{_DATE}}{minutes_words(visit.minutes):>12}{price}{_INDENT}"
    said = "; ".join(
        f"{each.due.item.title} ({early})" if (early := early_words(each)) else each.due.item.title
        for each in visit.work
    )
    lines = textwrap.wrap(said, max(width - len(head), 30)) or [""]
    yield Line((head, _HEAD), (lines[0], ""))
    for line in lines[1:]:
        yield Line((" " * len(head) + line, ""))


def _wrapped(text: str, width: int, style: str = "") -> Iterator[Line]:
    for line in textwrap.wrap(text, width, initial_indent=_INDENT, subsequent_indent=_INDENT * 2):
        yield Line((line, style))
