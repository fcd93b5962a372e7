"""A planned job, for a person at a terminal: what it takes, the steps in their order, what to have ready."""

import textwrap
from collections.abc import Iterator, Sequence

from procgen.library.library import Library
from procgen.measure.typeset import show
from procgen.plan.duration import minutes_words
from procgen.plan.job_plan import JobPlan
from procgen.plan.readiness import PartLine, Readiness, ToolLine, amount_of
from procgen.plan.renewed_anyway import renewed_anyway
from procgen.plan.steps import PlannedStep
from procgen.report.job_words import branch_words, for_words, life_words, missing_words, step_words
from procgen.report.lines import Line, printed
from procgen.upkeep.grouping import Companion

_HEAD = "bold"
_QUIET = "dim"
_INDENT = "  "


def job_text(
    job: JobPlan, ready: Readiness, also: Sequence[Companion], library: Library, *, colour: bool, width: int = 100
) -> str:
    """The whole plan. also: what else could be done with it. With `colour` it carries terminal colours.

    width: in characters.
    """
    teller = _Teller(job, ready, also, library, width)
    return printed(list(teller.lines()), colour=colour, width=width)


class _Teller:
    def __init__(self, job: JobPlan, ready: Readiness, also: Sequence[Companion], library: Library, width: int) -> None:
        self.job = job
        self.ready = ready
        self.also = also
        self.library = library
        self.width = width
        self.anyway = renewed_anyway(job, library)

    def lines(self) -> Iterator[Line]:
        yield from self._title()
        yield from self._times()
        yield from self._not_shared()
        yield from self._also()
        yield from self._ready()
        yield from self._steps()

    def _title(self) -> Iterator[Line]:
        job, logbook = self.job.job, self.job.logbook
        who = [logbook.name, logbook.serial] if logbook else []
        planned = [f"planned for {job.planned.isoformat()}"] if job.planned else []
        yield Line((job.title, _HEAD))
        told = ", ".join(each for each in (*who, self.job.plan.machine.title, *planned) if each)
        yield Line((told, _QUIET))

    def _times(self) -> Iterator[Line]:
        job = self.job
        yield Line()
        if len(job.tasks) == 1:
            yield Line((f"It takes {minutes_words(job.minutes_together)}.", ""))
            return
        together, alone = minutes_words(job.minutes_together), minutes_words(job.minutes_alone)
        if job.minutes_saved > 0:
            saved = f"Together {together}, {minutes_words(job.minutes_saved)} less"
            yield Line((saved, _HEAD), (f" than one after the other ({alone}).", ""))
        else:
            yield Line((f"Together {together}", _HEAD), (", as long as one after the other.", ""))
        yield Line()
        yield Line((f"{_INDENT}{'alone':>11}{'on top':>12}", _QUIET))
        for task in job.tasks:
            alone, extra = minutes_words(task.minutes_alone), minutes_words(task.extra_minutes)
            yield Line(
                (f"{_INDENT}{alone:>11}", ""),
                (f"{extra:>12}", _HEAD),
                (f"{_INDENT}{task.number}  {task.procedure.title}", ""),
            )
        yield Line()
        yield from self._wrapped("On top: what a procedure costs while the others are done anyway.", _QUIET)

    def _not_shared(self) -> Iterator[Line]:
        if not self.job.not_shared:
            return
        yield Line()
        yield Line(("Done more than once", _HEAD))
        for each in self.job.not_shared:
            yield from self._wrapped(each.reason)

    def _also(self) -> Iterator[Line]:
        worth = [each for each in self.also if each.is_bargain]
        if not worth:
            return
        yield Line()
        yield Line(("While you are in there", _HEAD))
        for each in worth:
            extra, alone = minutes_words(each.extra_minutes), minutes_words(each.alone_minutes)
            yield from self._wrapped(f"{each.due.item.title}: {extra} on top, {alone} by itself; {life_words(each)}.")

    # Before it begins

    def _ready(self) -> Iterator[Line]:
        ready = self.ready
        yield Line()
        yield Line(("Before you start", _HEAD))
        yield from self._wrapped(self._verdict(), "red" if ready.is_late else "")
        yield from self._parts("Missing", ready.missing)
        yield from self._parts("Missing if an inspection fails", ready.may_be_missing)
        there = [line for line in ready.parts if line.on_hand and line.need.is_certain]
        yield from self._listed("On the bench", [_on_bench(line) for line in there])
        yield from self._listed("Special tools", [_tool(tool) for tool in ready.special_tools])
        yield from self._listed("Tools", [tool.title for tool in ready.tools if not tool.is_special])
        filled = [fluid for fluid in ready.fluids if fluid.is_filled]
        amounts = [f"{fluid.title} {show(fluid.capacity)}" if fluid.capacity else fluid.title for fluid in filled]
        yield from self._listed("Fluids", amounts)

    def _verdict(self) -> str:
        ready = self.ready
        if not ready.missing:
            return "All parts that it needs for certain are there."
        if ready.unknown:
            names = " and ".join(line.title for line in ready.unknown)
            return f"Nobody knows when it can start: no lead time is given for {names}."
        day = ready.earliest.isoformat()
        late = " That is after the planned day." if ready.is_late else ""
        return f"If the missing parts are ordered today, it can start on {day}.{late}"

    def _parts(self, heading: str, lines: tuple[PartLine, ...]) -> Iterator[Line]:
        if lines:
            yield Line((f"{_INDENT}{heading}:", ""))
        for line in lines:
            yield from self._wrapped(missing_words(line, self.ready), indent=_INDENT * 2)

    def _listed(self, heading: str, names: list[str]) -> Iterator[Line]:
        if names:
            yield from self._wrapped(f"{heading}: {'; '.join(names)}.")

    # The steps

    def _steps(self) -> Iterator[Line]:
        yield Line()
        yield Line(("The work", _HEAD))
        heading: str | None = None
        column = max((len(for_words(self.job, step.key)) for step in self.job.plan.steps), default=0)
        told: set[str] = set()
        for planned in self.job.plan.steps:
            title = planned.groups[-1].title if planned.groups else ""
            if title != heading and planned.branch_of is None:
                heading = title
                yield Line()
                if title:
                    yield Line((f"{_INDENT}{title}", _QUIET))
            yield from self._step(planned, column, told)

    def _step(self, planned: PlannedStep, column: int, told: set[str]) -> Iterator[Line]:
        margin = _INDENT * (planned.depth + 1)
        if planned.branch_of and planned.branch_of not in told:
            told.add(planned.branch_of)
            owner = self.job.plan.step(planned.branch_of)
            yield Line((f"{' ' * (column + 2)}{margin}if {branch_words(owner)}:", _QUIET))
        whom = for_words(self.job, planned.key)
        words = step_words(planned, self.job.plan.machine.items, self.library)
        start = f"{_INDENT}{whom:<{column}}{margin}{planned.number:<5} "
        lines = textwrap.wrap(words, max(self.width - len(start), 30)) or [""]
        yield Line((f"{_INDENT}{whom:<{column}}", _QUIET), (f"{margin}{planned.number:<5} ", _HEAD), (lines[0], ""))
        for line in lines[1:]:
            yield Line((" " * len(start) + line, ""))
        if renewal := self.anyway.get(planned.key):
            said = renewal.words(self.job.plan.machine.items)
            for line in textwrap.wrap(said, max(self.width - len(start), 30)):
                yield Line((" " * len(start) + line, _QUIET))

    def _wrapped(self, text: str, style: str = "", indent: str = _INDENT) -> Iterator[Line]:
        for line in textwrap.wrap(text, self.width, initial_indent=indent, subsequent_indent=indent + _INDENT):
            yield Line((line, style))


def _on_bench(line: PartLine) -> str:
    amount = amount_of(line)
    count = f"{amount} × " if amount.isdigit() and amount != "1" else ""
    measured = f" {amount}" if amount and not amount.isdigit() else ""
    return f"{count}{line.title}{measured}"


def _tool(tool: ToolLine) -> str:
    return f"{tool.title} ({tool.where})" if tool.where else tool.title
