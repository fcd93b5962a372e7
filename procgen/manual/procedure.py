"""The page of a procedure: what it needs, its steps, and where it comes from; it prints as a sheet."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.finding import Finding
from procgen.library.condition import names
from procgen.manual import job_lists
from procgen.manual.book import Link
from procgen.manual.conditions import may_hold
from procgen.manual.deviations import Deviation, deviations_of_procedure, findings_on
from procgen.manual.extract import usual_minutes
from procgen.manual.facts import Fact, duration, facts
from procgen.manual.figure_view import FigureView, figure_view
from procgen.manual.hazards import hazards
from procgen.manual.how_to import how_to
from procgen.manual.notice_view import NoticeView
from procgen.manual.page import Page
from procgen.manual.paths import sheet_path, state_script_path
from procgen.manual.sources_used import SourceUsed, sources_used
from procgen.manual.step_view import GroupView, Run, StepView
from procgen.manual.step_writer import StepWriter
from procgen.manual.switch import Choice, Switch, switch_of, variant_choices
from procgen.manual.used_by import UseGroup, used_by
from procgen.manual.work_state import SCRIPTS as STATE_SCRIPTS
from procgen.manual.work_state import has_state


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureView:
    """All that the template shows."""

    title: str
    number: str
    machine: Link | None
    summary: Markup
    note: Markup
    facts: tuple[Fact, ...]
    switches: tuple[Switch, ...]
    hazards: tuple[NoticeView, ...]
    starts_with: tuple[str, ...]
    leaves: tuple[str, ...]
    tools: tuple[job_lists.Need, ...]
    parts: tuple[job_lists.Need, ...]
    torques: tuple[job_lists.TorqueLine, ...]
    sheet: Link | None
    """Where to read without a script how things stand between the steps; None where everything stays in service."""
    runs: tuple[Run, ...]
    figures: tuple[FigureView, ...]
    """Those that no step shows."""
    sources: tuple[SourceUsed, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]
    findings: tuple[Finding, ...]
    signs: tuple[str, ...]
    how_to: Markup
    """The procedure as data, for programs."""

    @property
    def tabs(self) -> tuple[tuple[str, str], ...]:
        """The lettered parts of the page that are there, in order: anchor and short name."""
        parts = (
            ("hazards", "Hazards", self.hazards),
            ("conditions", "Before, after", self.starts_with or self.leaves),
            ("bench", "Bench", self.tools or self.parts),
            ("torques", "Torques", self.torques),
            ("work", "The work", True),
            ("done", "Done", True),
            ("sources", "Sources", self.sources),
            ("used-by", "Named in", self.used_by),
            ("deviations", "Deviations", self.deviations),
        )
        return tuple((anchor, name) for anchor, name, there in parts if there)

    @property
    def last_step(self) -> str:
        """Number of the last step outside branches; empty where there is none."""
        last: Run | None = self.runs[-1] if self.runs else None
        while isinstance(last, GroupView):
            last = last.steps[-1]
        return last.number if last else ""

    @property
    def has_vital(self) -> bool:
        """Whether a step must be signed."""
        return any(step.signs for step in _steps(self.runs))


def page(writer: StepWriter, mark: str) -> Page:
    """The page of one procedure: the writer's leaf. mark: the fingerprint of its sheet."""
    procedure, leaf = writer.procedure, writer.leaf
    view = _view(writer, writer.runs, mark)
    states = (state_script_path(sheet_path(procedure.address)), *STATE_SCRIPTS, "theme/scripts/step-states.js")
    stamp = f"Revision {procedure.revision}, fingerprint {mark}" if procedure.revision else f"Fingerprint {mark}"
    return leaf.page(
        "procedure.html",
        lambda: view,
        title=procedure.title,
        number=view.number,
        stamp=stamp,
        scripts=(
            "theme/scripts/condition.js",
            *(("theme/scripts/switches.js",) if view.switches else ()),
            *(states if view.sheet else ()),
            "theme/scripts/rail.js",
        ),
    )


def _view(writer: StepWriter, runs: tuple[Run, ...], mark: str) -> ProcedureView:
    procedure, leaf, plan = writer.procedure, writer.leaf, writer.plan
    library, machine = leaf.library, plan.machine
    minutes = usual_minutes(plan)
    tools, parts = job_lists.tools(writer), job_lists.parts(writer)
    signs = tuple(dict.fromkeys(role for step in _steps(runs) for role in step.signs))
    return ProcedureView(
        title=procedure.title,
        number=leaf.book.numbers[procedure.address],
        machine=None if procedure.is_bare else leaf.to(machine.address),
        summary=leaf.block(procedure.summary, machine),
        note=leaf.block(procedure.note, machine),
        facts=facts(
            Fact(label="Machine", links=() if procedure.is_bare else (leaf.to(machine.address),)),
            Fact(label="Only for", text=writer.when_words(procedure.only_for)),
            Fact(label="Working time", text=duration(minutes) if minutes else "", id="working-time"),
            Fact(label="Revision", text=procedure.revision),
            Fact(label="Dated", text=procedure.date),
            Fact(label="Fingerprint", text=mark),
            Fact(label="To work by", links=(Link("Sheet to print or tick", leaf.href(sheet_path(procedure.address))),)),
            Fact(label="Signed by", text=" and ".join(signs)),
        ),
        switches=tuple(_switches(writer)),
        hazards=hazards(writer),
        starts_with=tuple(writer.state_words(state) for state in procedure.starts_with),
        leaves=tuple(writer.state_words(state) for state in procedure.leaves),
        tools=tools,
        parts=parts,
        torques=job_lists.torques(writer),
        sheet=Link("the sheet", leaf.href(sheet_path(procedure.address), "work")) if has_state(plan) else None,
        runs=runs,
        figures=tuple(_unshown_figures(writer)),
        sources=sources_used(writer),
        used_by=used_by(procedure.address, leaf),
        deviations=tuple(deviations_of_procedure(procedure.address.id, leaf)),
        findings=findings_on(procedure, leaf.book) if leaf.book.site.draft else (),
        signs=signs or library.manual.sign_off[:1],
        how_to=how_to(
            name=procedure.title,
            description=leaf.plain(procedure.summary, machine),
            minutes=minutes,
            tools=tools,
            supplies=parts,
            runs=runs,
        ),
    )


def _steps(runs: tuple[Run, ...]) -> Iterator[StepView]:
    for run in runs:
        if isinstance(run, GroupView):
            yield from _steps(run.steps)
        else:
            yield run
            yield from _steps(run.branch)


def _switches(writer: StepWriter) -> Iterator[Switch]:
    plan, leaf = writer.plan, writer.leaf
    asked = frozenset(name for planned in plan.steps for name in names(planned.when))
    for option in plan.procedure.options.values():
        yield switch_of(option, leaf.line(option.note, plan.machine))
    for id_, every in plan.machine.variants.items():
        values = tuple(value for value in every if may_hold(plan.procedure.only_for, {id_: value}) is not False)
        if id_ in asked and len(values) > 1:
            either = Choice("", "Any", preset=True)
            choices = (either, *variant_choices(values))
            yield Switch(id=id_, ask=id_.replace("-", " ").capitalize(), choices=choices, preset="", note=Markup())


def _unshown_figures(writer: StepWriter) -> Iterator[FigureView]:
    shown = {planned.step.figure for planned in writer.plan.steps}
    for id_, figure in writer.procedure.figures.items():
        view = figure_view(figure, writer.leaf, writer.plan.machine, writer.steps_of)
        if id_ not in shown and view:
            yield view
