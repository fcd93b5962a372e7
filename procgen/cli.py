"""The commands: parse arguments, call, print. Nothing below this module prints or exits."""

import io
import shlex
import shutil
import signal
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from procgen import __version__
from procgen.arguments import AFRESH, LIBRARY, NEW_LIBRARY, ON, THEME
from procgen.hands import look_for_rings_seldom

if TYPE_CHECKING:
    from rich.status import Status

    from procgen.finding import Finding
    from procgen.output.write import WriteResult
    from procgen.upkeep.due import MachineDue
    from procgen.watch.rebuild import Outcome

OK, ERRORS_FOUND, COULD_NOT_RUN = 0, 1, 2


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """Check procedures, prove their order, and compile them into an offline manual."""


@cli.command()
@LIBRARY
@click.option("--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", show_default=True)
@ON
@AFRESH
def check(library: Path, form: str, on: date | None, *, afresh: bool) -> int:
    """Read a LIBRARY (default: procedures) and say everything that is wrong with it."""
    from procgen import flow  # noqa: PLC0415 - --version and --help answer without loading the program
    from procgen.output.cache import remembered  # noqa: PLC0415

    with remembered(afresh=afresh) as memo:
        examined = flow.check(library, on or date.today(), memo=memo)
    if form == "text":
        _print_findings(library, examined.findings, len(examined.deviations))
    else:
        click.echo(_for_programs(library, examined.findings, form).encode("utf-8"), nl=False)
    return ERRORS_FOUND if examined.errors else OK


def _for_programs(library: Path, findings: tuple["Finding", ...], form: str) -> str:
    from procgen import flow  # noqa: PLC0415
    from procgen.report.as_json import json_report  # noqa: PLC0415
    from procgen.report.report import Report  # noqa: PLC0415
    from procgen.report.sarif import sarif_report  # noqa: PLC0415

    report = Report(library=library.as_posix(), findings=findings)
    return json_report(report) if form == "json" else sarif_report(report, flow.legend())


@cli.command()
@LIBRARY
@click.option("--out", default="site", show_default=True, type=click.Path(file_okay=False, path_type=Path))
@click.option("--draft", is_flag=True, help="Build in spite of errors; every page and sheet says DRAFT.")
@THEME
@click.option("--zip", "archive", is_flag=True, help="Also pack the manual into one file beside its folder.")
@click.option("--book", is_flag=True, help="Also set the whole manual as one PDF, book.pdf in its folder.")
@ON
@AFRESH
def build(
    library: Path,
    out: Path,
    *,
    draft: bool,
    theme: str | None,
    archive: bool,
    book: bool,
    on: date | None,
    afresh: bool,
) -> int:
    """Check a LIBRARY (default: procedures) and compile it into a manual that opens from a disk."""
    from procgen import flow  # noqa: PLC0415
    from procgen.manual.bound import BookError  # noqa: PLC0415
    from procgen.manual.theme import ThemeError, theme_folder  # noqa: PLC0415
    from procgen.output.cache import remembered  # noqa: PLC0415
    from procgen.output.error import OutputError  # noqa: PLC0415
    from procgen.output.folder import safe_folder  # noqa: PLC0415

    try:
        safe_folder(out, library)
        with remembered(afresh=afresh) as memo, Progress() as progress:
            built = flow.build(
                library,
                out,
                on=on or date.today(),
                draft=draft,
                theme=theme_folder(theme) if theme is not None else None,
                book=book,
                archive=archive,
                progress=progress.page,
                memo=memo,
            )
    except (OutputError, ThemeError, BookError) as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    if built.examined.findings:
        _print_findings(library, built.examined.findings, len(built.examined.deviations))
    if built.written is None:
        click.echo("Nothing was built: mend the errors, or build a draft with --draft.", err=True)
        return ERRORS_FOUND
    click.echo(_what_was_written(built.written))
    if built.archive:
        click.echo(f"{built.archive.as_posix()}: {built.archive.stat().st_size / 1000:.0f} kB")
    return OK


def _what_was_written(result: "WriteResult") -> str:
    said = [f"{len(result.written)} files written", f"{len(result.unchanged)} unchanged"]
    if result.removed:
        said.append(f"{len(result.removed)} removed")
    if result.kept:
        said.append(f"{len(result.kept)} left alone, since somebody changed them: {', '.join(result.kept)}")
    return f"{(result.folder / 'index.html').as_posix()}: {', '.join(said)}"


@cli.command()
@NEW_LIBRARY
@click.option("--out", default="site", show_default=True, type=click.Path(file_okay=False, path_type=Path))
@click.option(
    "--port", type=click.IntRange(1, 65535), metavar="N", help="Where to serve it. Default: any that is free."
)
@THEME
@ON
def watch(library: Path, out: Path, port: int | None, theme: str | None, on: date | None) -> int:
    """Build the manual of a LIBRARY (default: procedures) anew at every change, and show it in a browser.

    A change of its theme counts too. It serves this machine only. With errors it builds a draft. Ctrl-C ends it.
    """
    from procgen.manual.theme import ThemeError, theme_folder  # noqa: PLC0415
    from procgen.output.error import OutputError  # noqa: PLC0415
    from procgen.output.folder import safe_folder  # noqa: PLC0415
    from procgen.watch.server import PortError  # noqa: PLC0415
    from procgen.watch.wake import Bell  # noqa: PLC0415
    from procgen.watch.watching import Watch, keep_watch  # noqa: PLC0415

    bell = Bell()
    _stop_on_signals(bell.stop)
    try:
        safe_folder(out, library)
        what = Watch(
            library=library,
            out=out,
            port=port,
            today=lambda: on or date.today(),
            theme=theme_folder(theme) if theme is not None else None,
        )
        keep_watch(what, bell, Terminal(library))
    except (OutputError, PortError, ThemeError) as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    return OK


def _stop_on_signals(stop: Callable[[], None]) -> None:
    """The first Ctrl-C, or request to end, ends it in order; a second Ctrl-C ends it at once."""

    def first(*_: object) -> None:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        stop()

    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, first)


class Terminal:
    """Tells a person at a terminal what a watch does."""

    def __init__(self, library: Path) -> None:
        """Tell about the library under the name that the person gave it."""
        self._library = library
        self._told: Outcome | None = None

    def serving(self, address: str) -> None:
        """Where the manual can be opened."""
        click.echo(f"Watching {self._library.as_posix()}. The manual is at {address}  (Ctrl-C ends this)", err=True)

    def built(self, changed: tuple[str, ...], outcome: "Outcome") -> None:
        """What changed, what became of it, and the findings where they are not those of the time before."""
        because = f"{changed[0]}{f' and {len(changed) - 1} more' if len(changed) > 1 else ''}: " if changed else ""
        said = outcome.problem or f"{len(outcome.changed)} files of the manual changed"
        click.echo(f"{time.strftime('%H:%M:%S')}  {because}{said}", err=True)
        if not outcome.problem and (self._told is None or self._told.findings != outcome.findings):
            _print_findings(self._library, outcome.findings, outcome.accepted)
            self._told = outcome


@cli.command()
@LIBRARY
@click.option("--format", "form", type=click.Choice(["text", "json", "ics"]), default="text", show_default=True)
@ON
def due(library: Path, form: str, on: date | None) -> int:
    """Say what is due on each machine of a LIBRARY (default: procedures), and where its readings lead.

    With --format ics the days go into a calendar. Overdue work does not change the exit status.
    """
    from procgen.library.load import load  # noqa: PLC0415
    from procgen.upkeep.due import due as what_is_due  # noqa: PLC0415

    day = on or date.today()
    loaded = load(library)
    machines = what_is_due(loaded.library, day)
    _say_mistakes(len(loaded.findings), library)
    click.echo(_board(library, day, machines, form), nl=False)
    return OK


def _say_mistakes(count: int, library: Path) -> None:
    if count:
        said = f"{count} mistakes were found while reading; see: procgen check {library.as_posix()}"
        click.echo(said, err=True)


def _board(library: Path, day: date, machines: tuple["MachineDue", ...], form: str) -> str | bytes:
    if form == "ics":
        from procgen.report.due_calendar import due_calendar  # noqa: PLC0415

        return due_calendar(day, machines)
    if form == "json":
        from procgen.report.due_json import due_json  # noqa: PLC0415

        return due_json(library.as_posix(), day, machines).encode("utf-8")
    from procgen.report.due_text import due_text  # noqa: PLC0415

    return due_text(library.as_posix(), machines, colour=sys.stdout.isatty(), width=_width())


@cli.command()
@click.argument("job")
@LIBRARY
@click.option("--format", "form", type=click.Choice(["text", "json", "csv"]), default="text", show_default=True)
@ON
def plan(job: str, library: Path, form: str, on: date | None) -> int:
    """Plan a JOB of a LIBRARY (default: procedures): several procedures in one order, and what to have ready.

    With --format csv the shopping list.
    """
    from procgen.job_answer import QuestionError, answer  # noqa: PLC0415

    try:
        told = answer(job, library, form, on or date.today(), colour=sys.stdout.isatty(), width=_width())
    except QuestionError as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    for remark in told.remarks:
        click.echo(remark, err=True)
    click.echo(told.text if form == "text" else told.text.encode("utf-8"), nl=False)
    return ERRORS_FOUND if told.remarks else OK


@cli.command()
@click.argument("machine")
@LIBRARY
@click.option(
    "--years", type=click.IntRange(1, 50), default=10, show_default=True, metavar="N", help="How far to look ahead."
)
@click.option("--work", multiple=True, metavar="ITEM", help="An item of its schedule; only those named take part.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@ON
def visits(machine: str, library: Path, *, years: int, work: tuple[str, ...], form: str, on: date | None) -> int:
    """Say which scheduled work on a MACHINE (its logbook) of a LIBRARY (default: procedures) is cheapest done together.

    Compared with each piece of work when it is due, over some years.
    """
    from procgen.visits_answer import QuestionError, answer  # noqa: PLC0415

    day, width = on or date.today(), _width()
    try:
        text, mistakes = answer(
            machine, library, form, day, years=years, only=work, colour=sys.stdout.isatty(), width=width
        )
    except QuestionError as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    _say_mistakes(mistakes, library)
    click.echo(text, nl=False)
    return OK


@cli.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@LIBRARY
@ON
def record(file: Path, library: Path, on: date | None) -> int:
    """Check the record FILE that a sheet has saved, and enter it into its logbook in LIBRARY (default: procedures).

    Where the work only pauses, the record is kept beside its job, to be opened on the sheet again.
    """
    from procgen.output.error import OutputError  # noqa: PLC0415
    from procgen.record.outcome import Refused  # noqa: PLC0415
    from procgen.record.record_sheet import record_sheet  # noqa: PLC0415
    from procgen.record.said import said  # noqa: PLC0415
    from procgen.sheet.read_record import RecordError  # noqa: PLC0415

    try:
        outcome = record_sheet(file, library, on or date.today())
    except (OutputError, RecordError) as error:
        click.echo(f"{file}: {error}", err=True)
        return COULD_NOT_RUN
    click.echo(said(outcome, file.as_posix(), library.as_posix()), nl=False)
    return ERRORS_FOUND if isinstance(outcome, Refused) else OK


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> int:
    """Start a small library in FOLDER that checks and builds, with comments that teach the format."""
    from procgen.starter.start import StartError, start  # noqa: PLC0415

    try:
        files = start(folder)
    except StartError as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    for file in files:
        click.echo(f"  {file}")
    name = shlex.quote(folder.as_posix())
    click.echo(f"\nNext:\n  procgen check {name}\n  procgen build {name} --out {name}-manual")
    return OK


@cli.command()
@click.argument("name", default="")
def explain(name: str) -> int:
    """Explain a check, a kind of file or a key by NAME; without one, list them all."""
    from procgen.explain import explanation, suggestion  # noqa: PLC0415

    text = explanation(name)
    if text is None:
        click.echo(f'There is no check, kind of file or key "{name}": {suggestion(name)}', err=True)
        return COULD_NOT_RUN
    if sys.stdout.isatty():
        from rich.console import Console  # noqa: PLC0415
        from rich.markdown import Markdown  # noqa: PLC0415

        Console(width=min(shutil.get_terminal_size().columns, 100)).print(Markdown(text))
    else:
        click.echo(text, nl=False)
    return OK


@cli.command()
@click.argument("words", nargs=-1)
@click.option("--wrench", default="", metavar="LENGTH", help="From the grip of the torque wrench to its drive.")
@click.option("--adapter", default="", metavar="LENGTH", help="From the drive to the fastener.")
@click.option("--angle", default="", metavar="DEGREES", help="Between wrench and adapter. Default: 0, in line.")
def torque(words: tuple[str, ...], wrench: str, adapter: str, angle: str) -> int:
    """Say what a bolt takes (WORDS: M8 8.8 oiled), what a torque is in other units, or what to set on a wrench."""
    from procgen.torque_answer import QuestionError, answer  # noqa: PLC0415

    try:
        click.echo(answer(words, wrench=wrench, adapter=adapter, angle=angle), nl=False)
    except QuestionError as error:
        click.echo(str(error), err=True)
        return COULD_NOT_RUN
    return OK


def _print_findings(library: Path, findings: tuple["Finding", ...], accepted: int) -> None:
    from procgen.report.report import Report  # noqa: PLC0415
    from procgen.report.text import text_report  # noqa: PLC0415

    report = Report(library=library.as_posix(), findings=findings, accepted=accepted)
    click.echo(text_report(report, colour=sys.stdout.isatty(), width=_width()), nl=False)


def _width() -> int:
    """How wide a report is set: as the terminal, within reason."""
    return min(shutil.get_terminal_size().columns, 120) if sys.stdout.isatty() else 100


class Progress:
    """A bar on a terminal, once the work has taken more than a second; else nothing."""

    def __init__(self) -> None:
        """Start counting the time."""
        self._since = time.monotonic()
        self._status: Status | None = None
        self._made = 0

    def __enter__(self) -> "Progress":
        return self

    def __exit__(self, *_: object) -> None:
        if self._status:
            self._status.stop()

    def page(self, path: str) -> None:
        """A page was made."""
        self._made += 1
        if self._status:
            self._status.update(f"{self._made} pages  {path}")
        elif sys.stderr.isatty() and time.monotonic() - self._since > 1:
            from rich.console import Console  # noqa: PLC0415

            self._status = Console(stderr=True).status(f"{self._made} pages")
            self._status.start()


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command. Gives the exit status: 0 no errors, 1 errors found, 2 the command could not run."""
    try:
        status = cli.main(args=None if argv is None else list(argv), prog_name="procgen", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return COULD_NOT_RUN
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        return COULD_NOT_RUN
    except OSError as error:
        # What was foreseen has words of its own. This is a full disk behind the answer, or a drive that is gone.
        where = f": {error.filename}" if error.filename else ""
        click.echo(f"This cannot go on: {error.strerror or error}{where}.", err=True)
        return COULD_NOT_RUN
    return status if isinstance(status, int) else OK


def run() -> None:
    """The entry point of the installed program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal or a pipe that has no "≥" gets a question mark, and the rest of the answer.
            stream.reconfigure(errors="replace")
    look_for_rings_seldom()
    sys.exit(main())


if __name__ == "__main__":
    run()
