"""Arguments that several commands have: what a person may type there, and what is said where it cannot be."""

import os
from datetime import date
from pathlib import Path

import click


def _folder(_context: click.Context, _argument: click.Parameter, library: Path) -> Path:
    """A library that is there, though there may be nothing in it yet."""
    # os.path bears a name that is too long, and a Path would fail.
    if os.path.isfile(library):  # noqa: PTH113
        raise click.ClickException(f"{library} is a file. A library is a folder: name the one that it lies in.")
    if not os.path.isdir(library):  # noqa: PTH112
        raise click.ClickException(
            f"There is no folder {library}. Name the folder of your library; `procgen new FOLDER` starts a small one."
        )
    if not os.access(library, os.R_OK | os.X_OK):
        raise click.ClickException(f"The folder {library} cannot be looked into: you have no permission.")
    return library


def _filled_folder(context: click.Context, argument: click.Parameter, library: Path) -> Path:
    """A library with something in it: of a folder that was named by mistake nobody is told that nothing is wrong."""
    if not any(path.suffix.lower() in (".yaml", ".yml") for path in _folder(context, argument, library).rglob("*")):
        raise click.ClickException(f"There is no .yaml file in {library}. Name the folder of your library.")
    return library


_PATH = click.Path(readable=False, path_type=Path)
LIBRARY = click.argument("library", default="procedures", type=_PATH, callback=_filled_folder)
NEW_LIBRARY = click.argument("library", default="procedures", type=_PATH, callback=_folder)


def _day(_context: click.Context, _option: click.Parameter, written: str | None) -> date | None:
    """The day that an option names, as ISO 8601 writes it."""
    try:
        return None if written is None else date.fromisoformat(written)
    except ValueError:
        raise click.BadParameter(f'"{written}" is no date; write it as year-month-day: 2026-04-01') from None


ON = click.option(
    "--on", callback=_day, metavar="DATE", help="The day for which the library is judged. Default: today."
)

THEME = click.option(
    "--theme", metavar="NAME", help="One of the program's themes by its name, or a folder of overrides."
)

AFRESH = click.option("--afresh", is_flag=True, help="Work everything out again, whatever is known from earlier.")
