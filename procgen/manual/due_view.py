"""Due work and trends as pages show them. Each row carries the days by which `due.js` tells how it stands today."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.manual.book import Leaf, Link
from procgen.manual.drawings.due_timeline import DueTimeline, due_timeline
from procgen.manual.drawings.trend import TrendDrawing, trend_drawing
from procgen.manual.measures import Measured
from procgen.upkeep.due import Due, MachineDue, most_urgent_first
from procgen.upkeep.gauge import Standing
from procgen.upkeep.history import Basis
from procgen.upkeep.limits import LimitUse
from procgen.upkeep.trend import Axis, Reading, Trend
from procgen.upkeep.wording import (
    bites_first,
    heading_for,
    meter_figure,
    meter_line,
    percent,
    remarks,
    time_left,
)

SCRIPTS = ("theme/scripts/due.js",)
"""What a page that shows due work needs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedView:
    """How much of one limit is used."""

    percent: str
    limit: str
    data: str
    """Day, p, q and r, of which (p + q · days since then) / r is used; empty where nobody knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """One piece of work."""

    work: Link
    kind: str
    standing: str
    otherwise: str
    """How it stands when it is neither overdue nor due soon."""
    due_on: str
    """ISO 8601; empty where nobody knows."""
    soon_on: str
    left: str
    used: tuple[UsedView, ...]
    """Of each limit, the one that bites first."""
    done_on: str
    """Day from which it counts, ISO 8601; empty where nothing tells."""
    done: str
    """What was done on that day, or what the meter said."""
    remarks: tuple[str, ...]
    planned: tuple[Link, ...]
    is_fine: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineBoard:
    """The due work of one machine."""

    machine: Link
    on: str
    """The day for which it was worked out, ISO 8601."""
    meter: str
    counts: str
    lines: tuple[DueLine, ...]
    """The most urgent first."""


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One reading in the table of a trend."""

    on: str
    meter: str
    value: Measured
    is_outside: bool
    is_of_an_earlier_part: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendView:
    """The readings of one kind."""

    spec: Link
    limits: str
    words: str
    """Where they lead."""
    basis: str
    """How the line was fitted; empty where there is none."""
    drawing: TrendDrawing | None
    lines: tuple[ReadingLine, ...]
    """The latest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepView:
    """What is due on one machine, and where its readings lead."""

    board: MachineBoard
    timeline: DueTimeline | None
    trends: tuple[TrendView, ...]


def boards(leaf: Leaf) -> tuple[MachineBoard, ...]:
    """The due work of every machine, the most urgent first; none where the manual does not know its day."""
    machines = (each for each in leaf.book.due if each.work)
    return tuple(_board(each, leaf) for each in most_urgent_first(tuple(machines)))


def upkeep_view(logbook_id: str, leaf: Leaf) -> UpkeepView | None:
    """What is due on one machine; None where the manual does not know its day."""
    machine = next((each for each in leaf.book.due if each.logbook.address.id == logbook_id), None)
    if machine is None:
        return None
    return UpkeepView(
        board=_board(machine, leaf),
        timeline=due_timeline(machine),
        trends=tuple(_trend(each, machine, leaf) for each in machine.trends),
    )


def _board(machine: MachineDue, leaf: Leaf) -> MachineBoard:
    counts = {standing: machine.count(standing) for standing in Standing}
    return MachineBoard(
        machine=Link(machine.logbook.name, leaf.record(machine.logbook).href, leaf.record(machine.logbook).number),
        on=machine.on.isoformat(),
        meter=meter_line(machine),
        counts=", ".join(f"{number} {standing}" for standing, number in counts.items() if number),
        lines=tuple(_line(due, machine, leaf) for due in machine.work),
    )


def _line(due: Due, machine: MachineDue, leaf: Leaf) -> DueLine:
    return DueLine(
        work=leaf.to(due.item.address),
        kind=due.item.kind,
        standing=due.standing,
        otherwise=due.otherwise,
        due_on=due.due_on.isoformat() if due.due_on else "",
        soon_on=due.soon_on.isoformat() if due.soon_on else "",
        left=time_left(due.days_left),
        used=tuple(_used(use, due) for use in bites_first(due)),
        done_on=due.since.on.isoformat() if due.since else "",
        done=_done(due, machine),
        remarks=remarks(due, machine),
        planned=tuple(_job(due, leaf)),
        is_fine=due.standing is Standing.FINE,
    )


def _done(due: Due, machine: MachineDue) -> str:
    since, meter = due.since, machine.machine.meter
    if since is None:
        return "never done"
    if since.basis is Basis.IN_SERVICE:
        return "came into service; never done"
    return f"at {meter_figure(since.meter, meter)}" if since.meter is not None and meter != "none" else ""


def _used(use: LimitUse, due: Due) -> UsedView:
    data = " ".join((use.gauge.start.isoformat(), *map(str, use.gauge.in_whole_numbers()))) if use.gauge else ""
    return UsedView(percent=percent(use.used_on(due.on)), limit=use.text, data=data)


def _job(due: Due, leaf: Leaf) -> Iterator[Link]:
    for job in due.planned:
        to = leaf.to(job.address)
        yield Link(f"{job.planned.isoformat()}, {job.title}" if job.planned else job.title, to.href)


def _trend(trend: Trend, machine: MachineDue, leaf: Leaf) -> TrendView:
    words = heading_for(trend, machine.on)
    line = trend.current.line
    limits = trend.spec.limits
    return TrendView(
        spec=leaf.record(trend.spec),
        limits=leaf.book.measures.text(limits) if limits else "",
        words=words,
        basis=f"Least squares through {line.count} readings; the range is where nine of ten single readings fall."
        if line
        else "",
        drawing=trend_drawing(trend, machine.machine.meter, words),
        lines=tuple(_reading(each, trend, machine, leaf) for each in reversed(trend.readings)),
    )


def _reading(reading: Reading, trend: Trend, machine: MachineDue, leaf: Leaf) -> ReadingLine:
    meter = machine.machine.meter
    figure = reading.x if trend.axis is Axis.METER else machine.track.at(reading.on)
    return ReadingLine(
        on=reading.on.isoformat(),
        meter=meter_figure(figure, meter) if figure is not None and meter != "none" else "",
        value=leaf.book.measures.view(reading.value),
        is_outside=reading.is_outside,
        is_of_an_earlier_part=reading not in trend.current.readings,
    )
