"""The sheets to work by: one for each procedure. A job's sheet is made of the same pieces in job_sheet.py."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from markupsafe import Markup

from procgen.library.fleet import Logbook
from procgen.manual import job_lists, paths, work_state
from procgen.manual.book import Leaf, Link
from procgen.manual.extract import usual_minutes
from procgen.manual.facts import Fact, duration, facts
from procgen.manual.hazards import hazards
from procgen.manual.in_there import InThere
from procgen.manual.page import Page
from procgen.manual.sheet_bench import Stock, bench_rows
from procgen.manual.sheet_close import close_lines
from procgen.manual.sheet_data import SheetName, kept_records, sheet_data
from procgen.manual.sheet_steps import SheetWriter, every_step
from procgen.manual.sheet_stops import natural_stops, points_of_no_return
from procgen.manual.sheet_view import Machine, SheetRun, SheetView
from procgen.manual.step_writer import StepWriter
from procgen.manual.switch import Switch, switch_of, variant_choices
from procgen.sheet.boxes import form_of
from procgen.sheet.progress import procedure_progress

SCRIPTS = tuple(
    f"theme/scripts/{name}.js"
    for name in ("sheet-reading", "sheet-keep", "sheet-undo", "sheet-fields", "sheet-panels", "sheet-paused", "sheet")
)


_BLANK = "_" * 12
"""A line to write on, in the head of every printed page; the script knows it by its look."""
_NOTHING = Markup()


def files(steps: StepWriter, mark: str) -> Iterator[Page]:
    """The sheet of one procedure, and the script file beside it.

    steps: writes them for the procedure's page, which lies as deep as the sheet. mark: the sheet's fingerprint.
    """
    procedure, book = steps.procedure, steps.leaf.book
    leaf = book.leaf(paths.sheet_path(procedure.address), steps.leaf.section)
    writer = sheet_writer(steps)
    runs = writer.runs()
    name = SheetName(
        kind="procedure",
        subject=procedure.address.id,
        logbook="",
        revision=procedure.revision,
        fingerprint=mark,
    )
    minutes = usual_minutes(steps.plan)
    machine = procedure.machine
    own_facts = facts(
        Fact(label="Machine", text=machine.title),
        Fact(label="Only for", text=writer.steps.when_words(procedure.only_for)),
        Fact(label="Working time", text=duration(minutes) if minutes else ""),
        Fact(label="Revision", text=procedure.revision),
        Fact(label="Fingerprint", text=mark),
    )
    paths_ = (procedure_progress(name.subject, logbook) for logbook in _logbooks(writer))
    kept = kept_records(leaf.library.root, paths_)
    view = sheet_view(writer, runs, name, kicker="Sheet", own_facts=own_facts, kept=kept)
    # Which machine it is, is only known at the machine: it is written in by hand, or chosen on the screen.
    blanks = (f"serial {_BLANK}", f"meter {_BLANK} {view.meter}" if view.meter else "")
    yield from sheet_files(leaf, writer, view, name, who=" · ".join(filter(None, (machine.title, *blanks))))


def sheet_writer(
    steps: StepWriter, stock: Stock | None = None, anyway: Mapping[str, str] = MappingProxyType({})
) -> SheetWriter:
    """Writes the sheet of a plan. stock: None where nobody has said what is there.

    anyway: that what a step looks at is renewed whatever is found, by the key of that step.
    """
    return SheetWriter(
        steps=steps,
        form=form_of(steps.plan, steps.leaf.library),
        stops=points_of_no_return(steps, stock),
        pauses=natural_stops(steps),
        anyway=anyway,
    )


def sheet_files(leaf: Leaf, writer: SheetWriter, view: SheetView, name: SheetName, *, who: str) -> Iterator[Page]:
    """The finished page, and the script file that tells the states of its work.

    who: the machine, its serial number and its meter, for the head of every printed page.
    """
    states = work_state.state_script(leaf, writer, name.fingerprint)
    kind = "Edition" if name.kind == "job" else "Revision"
    stamp = f"{kind} {name.revision}, fingerprint" if name.revision else "Fingerprint"
    yield leaf.page(
        "sheet.html",
        lambda: view,
        title=view.title,
        number=view.number,
        running=f"{view.title}\n{who}" if who else view.title,
        stamp=f"{stamp} {name.fingerprint}",
        scripts=(states.path, "theme/scripts/condition.js", *work_state.SCRIPTS, *SCRIPTS),
    )
    yield states


def sheet_view(
    writer: SheetWriter,
    runs: tuple[SheetRun, ...],
    name: SheetName,
    *,
    kicker: str,
    own_facts: tuple[Fact, ...],
    procedures: tuple[Link, ...] = (),
    stock: Stock | None = None,
    kept: Markup = _NOTHING,
    same_opening: InThere | None = None,
) -> SheetView:
    """All that a sheet shows. stock: None where nobody has said what is there.

    kept: the records of paused work as JSON; empty where there are none. same_opening: what could be done with it.
    """
    steps, form, leaf = writer.steps, writer.form, writer.steps.leaf
    procedure = steps.procedure
    parts = bench_rows(steps, stock)
    marks = {step.key: step.mark for step in every_step(runs)}
    measured = (box.title for step in form.steps for box in step.readings if box.is_spec)
    return SheetView(
        title=procedure.title,
        number=leaf.book.numbers[procedure.address],
        kicker=kicker,
        facts=own_facts,
        procedures=procedures,
        note=leaf.block(procedure.note, steps.plan.machine),
        switches=tuple(_switches(writer)),
        machines=() if name.logbook else tuple(_machines(writer)),
        is_for_one=bool(name.logbook),
        hazards=hazards(steps),
        starts_with=tuple(steps.state_words(state) for state in procedure.starts_with),
        parts=parts,
        missing=tuple(row.line.title for row in parts if row.line.on_hand is False and not row.only_if),
        perhaps_missing=tuple(row.line.title for row in parts if row.line.on_hand is False and row.only_if),
        tools=job_lists.tools(steps),
        runs=runs,
        close=close_lines(steps),
        leaves=tuple(steps.state_words(state) for state in procedure.leaves),
        meter="" if form.meter == "none" else form.meter,
        roles=form.roles,
        readings=tuple(dict.fromkeys(measured)),
        data=sheet_data(writer, name, marks, leaf),
        kept=kept,
        in_there=same_opening,
    )


def _switches(writer: SheetWriter) -> Iterator[Switch]:
    form, leaf = writer.form, writer.steps.leaf
    for id_, option in form.asked.items():
        yield switch_of(option, leaf.line(option.note, writer.steps.plan.machine), writer.codes[id_])
    for id_, values in form.variants.items():
        ask = id_.replace("-", " ").capitalize()
        yield Switch(id=writer.codes[id_], ask=ask, choices=variant_choices(values), preset="", note=Markup())


def _machines(writer: SheetWriter) -> Iterator[Machine]:
    for logbook in _logbooks(writer):
        yield Machine(
            id=logbook.address.id,
            name=logbook.name,
            serial=logbook.serial,
            choices=" ".join(f"{writer.codes[name]}={value}" for name, value in _variants(logbook, writer)),
        )


def _logbooks(writer: SheetWriter) -> Iterator[Logbook]:
    """Those of all machines of a procedure's kind."""
    machine = writer.steps.procedure.machine.address.id
    return (each for each in writer.steps.leaf.library.logbooks.values() if each.machine == machine)


def _variants(logbook: Logbook, writer: SheetWriter) -> Iterator[tuple[str, str]]:
    yield from ((name, value) for name, value in logbook.variants.items() if name in writer.form.variants)
