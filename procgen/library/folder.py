"""Which files below a folder are a library's, and the text in them. Nothing here knows YAML."""

import os
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from procgen.finding import Finding, Place, Severity

PAUSED = ".progress.json"
"""What the name of a record of paused work ends with, which lies beside the file that the work is about."""
_SUFFIXES = (".yaml", ".yml")
_BIGGEST = 2_000_000
"""Bytes; some thousand pages of procedures. What is bigger is no text that someone wrote."""
_LINE_BREAK = re.compile(b"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Found:
    """A file to be read."""

    path: Path
    name: str
    """Relative to the library, with forward slashes."""


@dataclass(frozen=True, slots=True)
class Content:
    """What is in a file."""

    data: bytes | None
    """None where nothing can be read."""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Text:
    """The text of a file as far as it can be read."""

    text: str | None
    """None where nothing can be read."""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What lies in a library's folder, in the order of the names."""

    files: tuple[Found, ...]
    """YAML files."""
    others: tuple[str, ...]
    """Names of all other files."""
    findings: tuple[Finding, ...]
    """What could not be looked into."""


def search(root: Path, leave_out: Collection[Path] = ()) -> Contents:
    """Every file below `root`.

    Names that begin with a dot are passed over, and so are the folders in `leave_out`. Links are not followed: one that
    stays in the library leads to what is read anyway, and one that leaves it would make the manual depend on what is
    not in the library.
    """
    searching = _Search(root, frozenset(folder.resolve() for folder in leave_out))
    searching.run()
    return Contents(
        files=tuple(sorted(searching.found, key=lambda each: each.name)),
        others=tuple(sorted(searching.others)),
        findings=tuple(searching.findings),
    )


class _Search:
    def __init__(self, root: Path, leave_out: frozenset[Path]) -> None:
        self.found: list[Found] = []
        self.others: list[str] = []
        self.findings: list[Finding] = []
        self._root = root
        self._real_root = root.resolve()
        self._leave_out = leave_out

    def run(self) -> None:
        folders = [(str(self._root), "")]
        while folders:
            folders.extend(self._look_into(*folders.pop()))

    def _look_into(self, folder: str, prefix: str) -> Iterator[tuple[str, str]]:
        """Note the files in a folder. Gives the folders in it, each with what the names in it begin with."""
        try:
            with os.scandir(folder) as entries:
                inside = [entry for entry in entries if not entry.name.startswith(".")]
        except OSError as error:
            self._unreadable(prefix[:-1] or ".", f"The folder cannot be looked into: {_reason(error)}.", "")
            return
        for entry in inside:
            name = prefix + _printable(entry.name)
            if entry.is_symlink():
                self._link(Path(entry.path), name)
            elif entry.is_dir():
                if Path(entry.path).resolve() not in self._leave_out:
                    yield entry.path, name + "/"
            elif not _is_yaml(entry.name):
                self.others.append(name)
            elif entry.is_file():
                self.found.append(Found(Path(entry.path), name))
            else:
                self._odd(Path(entry.path), name)

    def _odd(self, path: Path, name: str) -> None:
        """What is called like a file, and is none."""
        try:
            path.lstat()
        except OSError as error:
            self._unreadable(name, f"The file cannot be read: {_reason(error)}.", "")
            return
        self._unreadable(name, "This is no file that holds text, but a device or a pipe.", "take it away")

    def _link(self, path: Path, name: str) -> None:
        try:
            target = path.resolve(strict=True)
        except (OSError, RuntimeError):  # RuntimeError: a ring of links
            if _is_yaml(name):
                self._unreadable(name, "This is a link that leads nowhere.", "put the file itself here")
            return
        inside = target.is_relative_to(self._real_root)
        if not inside and (target.is_dir() or _is_yaml(name)):
            message = "This is a link that leads out of the library, and it is not followed: a library must be whole."
            self._unreadable(name, message, "put what it leads to here")

    def _unreadable(self, name: str, message: str, remedy: str) -> None:
        self.findings.append(unreadable(Place(name, 1, 1), message, remedy))


def _printable(name: str) -> str:
    """A name that is not UTF-8 must not break what prints it."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def _is_yaml(name: str) -> bool:
    return name.lower().endswith(_SUFFIXES)


def unreadable(place: Place, message: str, remedy: str) -> Finding:
    """The finding that something cannot be read."""
    return Finding(check="file-unreadable", severity=Severity.ERROR, place=place, message=message, remedy=remedy)


def _reason(error: OSError) -> str:
    match error:
        case PermissionError():
            return "you have no permission"
        case FileNotFoundError():
            return "it is not there"
        case NotADirectoryError():
            return "it is no folder"
        case _:
            return (error.strerror or "the system refuses").lower()


def content_of(found: Found) -> Content:
    """Read a file."""
    start = Place(found.name, 1, 1)
    try:
        with found.path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            content = file.read(_BIGGEST + 1) if size <= _BIGGEST else b""
    except OSError as error:
        return Content(None, (unreadable(start, f"The file cannot be read: {_reason(error)}.", ""),))
    if size > _BIGGEST or len(content) > _BIGGEST:
        message = f"The file has {size / 1e6:,.0f} MB, and a file of a library has {_BIGGEST / 1e6:.0f} MB at most."
        return Content(None, (unreadable(start, message, "divide it, or take it out of the library"),))
    return Content(content)


def text_of(content: Content, name: str) -> Text:
    """The text of a file: UTF-8, or what was probably meant where it is something else."""
    if content.data is None:
        return Text(None, content.findings)
    return _decoded(content.data, Place(name, 1, 1))


def _decoded(content: bytes, start: Place) -> Text:
    try:
        return Text(content.decode("utf-8"))
    except UnicodeDecodeError as error:
        wrong = error.start
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        message = "The file is saved as UTF-16, and a library is UTF-8."
        return Text(content.decode("utf-16", "replace"), (unreadable(start, message, "save it as UTF-8"),))
    before = _LINE_BREAK.split(content[:wrong])
    place = Place(start.file, len(before), len(before[-1].decode("utf-8").removeprefix("\ufeff")) + 1)
    # The likeliest of old habits: Latin-1, with the quotes and dashes that Windows adds to it.
    meant = content[wrong : wrong + 1].decode("cp1252", "replace")
    message = f'The byte 0x{content[wrong]:02X} is no UTF-8; "{meant}" is meant?'
    return Text(content.decode("cp1252", "replace"), (unreadable(place, message, "save the file as UTF-8"),))
