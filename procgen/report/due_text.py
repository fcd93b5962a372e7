"""What is due, for a person at a terminal: a board, machine by machine, the most urgent first."""

import textwrap
from collections.abc import Iterator, Sequence

from procgen.report.lines import Line, printed
from procgen.upkeep.due import Due, MachineDue, most_urgent_first
from procgen.upkeep.gauge import Standing
from procgen.upkeep.wording import heading_for, last_done, limit_used, meter_line, plans, remarks, time_left

COLOURS = {
    Standing.OVERDUE: "bold red",
    Standing.NEVER_DONE: "magenta",
    Standing.SOON: "yellow",
    Standing.UNKNOWN: "magenta",
    Standing.FINE: "green",
}
_GAP = "  "


def due_text(library: str, machines: Sequence[MachineDue], *, colour: bool, width: int = 100) -> str:
    """The whole board. library: its folder, as the person named it. With `colour` it carries terminal colours."""
    lines: list[Line] = []
    for machine in most_urgent_first(tuple(machines)):
        lines.extend(_machine(machine, width))
        lines.append(Line())
    lines.append(_closing(library, machines))
    return printed(lines, colour=colour, width=width)


def _machine(machine: MachineDue, width: int) -> Iterator[Line]:
    model, serial = machine.machine.title, machine.logbook.serial
    yield Line((machine.logbook.name, "bold"), (f"{_GAP}{model}{f', {serial}' if serial else ''}", ""))
    if meter := meter_line(machine):
        yield Line((meter, "dim"))
    yield Line()
    if machine.work:
        yield from _table(machine)
    else:
        yield Line((f"{_GAP}Nothing is on the schedule of {model}.", ""))
    yield from _readings(machine, width)


def _table(machine: MachineDue) -> Iterator[Line]:
    rows = [_cells(each) for each in machine.work]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for due, cells in zip(machine.work, rows, strict=True):
        style = COLOURS[due.standing]
        pieces = zip(cells, widths, (style, "", "bold", "", style, ""), strict=True)
        yield Line(*(piece for cell, width, look in pieces for piece in ((_GAP, ""), (cell.ljust(width), look))))
        if due.standing is not Standing.FINE:
            yield from _more(due, machine, " " * (widths[0] + widths[1] + 3 * len(_GAP)))


def _cells(due: Due) -> tuple[str, ...]:
    bites = limit_used(due.bites, due.on) if due.bites else ""
    day = due.due_on.isoformat() if due.due_on else ""
    return due.standing.value, due.item.kind, due.item.title, day, time_left(due.days_left), bites


def _more(due: Due, machine: MachineDue, margin: str) -> Iterator[Line]:
    """What else is known of work that somebody must look at."""
    others = [limit_used(use, due.on) for use in due.limits if use is not due.bites and use.gauge]
    done = f"last done: {last_done(due, machine.machine.meter)}"
    yield Line((margin + "; ".join((done, *others)), "dim"))
    for remark in (*remarks(due, machine), *plans(due)):
        yield Line((margin + remark, "dim"))


def _readings(machine: MachineDue, width: int) -> Iterator[Line]:
    """Only readings that lead somewhere: a line towards a limit, or the last one outside."""
    shown = [
        trend
        for trend in machine.trends
        if trend.current.projection or (trend.current.readings and trend.current.readings[-1].is_outside)
    ]
    if shown:
        yield Line()
    for trend in shown:
        said = f"{trend.spec.title}: {heading_for(trend, machine.on)}"
        for part in textwrap.wrap(said, width, initial_indent=_GAP, subsequent_indent=_GAP * 2):
            yield Line((part, ""))


def _closing(library: str, machines: Sequence[MachineDue]) -> Line:
    if not machines:
        return Line((f"{library}: ", ""), ("no logbook, so nothing falls due on any machine", ""))
    counts = {standing: sum(machine.count(standing) for machine in machines) for standing in Standing}
    said = [f"{number} {standing}" for standing, number in counts.items() if number]
    worst = next((COLOURS[standing] for standing, number in counts.items() if number), "")
    return Line((f"{library}, {machines[0].on}: ", ""), (", ".join(said) or "nothing is on any schedule", worst))
