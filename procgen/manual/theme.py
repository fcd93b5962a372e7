"""Where a theme's templates, styles and scripts are found; a second theme overrides the first file by file."""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import procgen
from procgen.manual.page import Page
from procgen.memo import name_of

DEFAULT = "workshop"
_SERVED = ("styles", "scripts")
"""Folders of a theme that readers get as they are."""
_FIRST_STYLES = ("tokens.css", "screen.css", "work.css", "rail.css", "upkeep.css", "print.css", "sheet.css")


class ThemeError(Exception):
    """A theme cannot be used; the message says why."""


def themes_folder() -> Path:
    """The themes that come with the program: inside the installed package, or at the top of the project."""
    package = Path(procgen.__file__).parent
    installed = package / "themes"
    return installed if installed.is_dir() else package.parent / "themes"


@dataclass(frozen=True)
class Theme:
    """The folders of a theme, the one that wins first, as they are when they are first looked into."""

    folders: tuple[Path, ...]

    @property
    def template_folders(self) -> tuple[Path, ...]:
        """Where templates are looked for, in order."""
        return tuple(folder / "templates" for folder in self.folders)

    def served(self) -> dict[str, Path]:
        """Every style and script that readers get: path in the manual to file, sorted."""
        files = {
            f"theme/{file.relative_to(folder).as_posix()}": file
            for folder in reversed(self.folders)
            for kind in _SERVED
            for file in (folder / kind).rglob("*")
            if file.is_file()
        }
        return dict(sorted(files.items()))

    def styles(self) -> tuple[str, ...]:
        """The style sheets that every page links, in order: the default's own, then what a theme adds."""
        paths = [path for path in self.served() if path.endswith(".css")]
        first = [f"theme/styles/{name}" for name in _FIRST_STYLES]
        return (*first, *(path for path in paths if path not in first))

    @cached_property
    def content_name(self) -> str:
        """A name for all its files, by their contents."""
        parts: list[str | bytes] = []
        for folder in self.folders:
            # Each of its folders may be a link: what it leads to is used, and `rglob` begins there only.
            for file in sorted(file for inside in folder.iterdir() for file in inside.rglob("*")):
                if file.is_file():
                    parts += (file.relative_to(folder).as_posix(), file.read_bytes())
            parts.append("")
        return name_of(*parts)

    def pages(self) -> Iterator[Page]:
        """The served files, as they are."""
        for path, file in self.served().items():
            yield Page(path, file.read_bytes())


def theme_folder(name: str) -> Path:
    """The folder of a theme that comes with the program, by its name, or any folder by its path.

    A plain name is looked for among the program's own themes first. Raises ThemeError where there is neither, and for a
    folder that is no theme.
    """
    own = sorted(folder.name for folder in themes_folder().iterdir() if folder.is_dir())
    if name in own:
        return themes_folder() / name
    if os.path.isdir(name):  # noqa: PTH112 - unlike a Path it bears a name that is too long
        return _usable(Path(name))
    raise ThemeError(f'There is no theme and no folder "{name}". The program comes with: {", ".join(own)}.')


def find_theme(overriding: tuple[Path, ...] = ()) -> Theme:
    """The default theme, with other themes' files before it. Raises ThemeError for a folder that is no theme."""
    for folder in overriding:
        _usable(folder)
    return Theme((*overriding, themes_folder() / DEFAULT))


def _usable(folder: Path) -> Path:
    if not folder.is_dir():
        raise ThemeError(f"{folder} is not a folder. A theme is a folder with templates, styles or scripts in it.")
    if not any((folder / kind).is_dir() for kind in ("templates", *_SERVED)):
        raise ThemeError(f"{folder} has no templates, styles or scripts in it, so it would change nothing.")
    return folder
