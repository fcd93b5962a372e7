"""The files of a library as trees: what kind each is, and where it departs from the format."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from pathlib import Path

from procgen.finding import Finding, Place, Severity, in_order
from procgen.library.folder import Content, content_of, search, text_of
from procgen.library.near import did_you_mean, near
from procgen.library.outline import CATALOGUES, Outline, outline
from procgen.library.phrases import called
from procgen.library.prune import prune
from procgen.library.schema import KIND_OF_KEY
from procgen.library.validate import validate
from procgen.library.yaml_reading import read
from procgen.library.yaml_tree import Map, Seq

_SAYS_MOST = ("job", "logbook", "procedure", "assembly", "machine", *KIND_OF_KEY)
"""First keys in the order of how sure one can be of the kind where they stand further down."""
_MOST = 1000
"""Findings shown of one file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFile:
    """One file of a library, as far as it could be read."""

    outline: Outline
    data: Map
    """Sound values only: what does not validate was taken out, and its map remembers that."""
    bad: frozenset[tuple[str | int, ...]]
    """Paths of values that are not what the format asks for, and of keys that are missing; already reported."""
    damaged: bool
    """Something that the author wrote is not in `data`: nothing may be concluded from what is missing."""
    findings: tuple[Finding, ...]

    @property
    def path(self) -> str:
        """Relative to the library, with forward slashes."""
        return self.outline.path


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLibrary:
    """All files of a library, in the order of their paths."""

    root: Path
    files: tuple[SourceFile, ...]
    findings: tuple[Finding, ...]
    """Those of all files, and of what could not be looked into."""


def read_library(root: Path, leave_out: Collection[Path] = ()) -> ReadLibrary:
    """Read every YAML file below `root`, but for hidden folders and those in `leave_out`."""
    found = search(root, leave_out)
    files = tuple(read_content(content_of(each), each.name) for each in found.files)
    findings = (*found.findings, *(finding for file in files for finding in file.findings))
    return ReadLibrary(root=root, files=files, findings=in_order(findings))


def read_content(content: Content, name: str) -> SourceFile:
    """Read what is in a file, called `name` in findings, as far as it is text."""
    text = text_of(content, name)
    if text.text is None:
        return _nothing(name, text.findings)
    file = read_file(text.text, name)
    return replace(file, findings=(*text.findings, *file.findings))


def _nothing(name: str, findings: tuple[Finding, ...], *, damaged: bool = True) -> SourceFile:
    unknown = Outline(path=name, kind=None, id="")
    return SourceFile(outline=unknown, data=Map(1, 1), bad=frozenset(), damaged=damaged, findings=findings)


def read_file(text: str, name: str) -> SourceFile:
    """Read the text of one file, called `name` in findings, and hold it against the schema of its kind."""
    reading = read(text, name)
    data = reading.tree
    if not isinstance(data, Map) or not data:
        alone = reading.findings if reading.findings else (_no_map(data, name),)
        return _nothing(name, alone, damaged=reading.damaged)
    key, data, misplaced = _kind_key(data, name)
    if key is None:
        return _nothing(name, (*reading.findings, *misplaced))
    kind = KIND_OF_KEY[key]
    faults, bad = validate(data, kind, name, damaged=reading.damaged)
    own = data[key]
    id_ = own if isinstance(own, str) and kind not in CATALOGUES and (key,) not in bad else ""
    prune(data, bad, kind)
    return SourceFile(
        outline=outline(name, kind, id_, data),
        data=data,
        bad=bad,
        damaged=reading.damaged,
        findings=in_order((*reading.findings, *misplaced, *faults))[:_MOST],
    )


def _no_map(data: object, name: str) -> Finding:
    if data is None or data == {}:
        message = "The file is empty, and the first key of a file says what kind it is."
        return _finding("missing-key", Place(name, 1, 1), message, f"begin it with one of {_kinds()}, or delete it")
    place = Place(name, data.line, data.column) if isinstance(data, Seq) else Place(name, 1, 1)
    message = f"The file is {called(data)}, and it must be a map whose first key says its kind."
    return _finding("wrong-type", place, message, f"begin it with one of {_kinds()}")


def _kind_key(data: Map, name: str) -> tuple[str | None, Map, tuple[Finding, ...]]:
    """The key that says the kind, which must be the first; what was mistyped is read as what was meant."""
    first = next(iter(data))
    if first in KIND_OF_KEY:
        return first, data, ()
    place = Place(name, *data.spots[first][0])
    later = next((key for key in _SAYS_MOST if key in data), None)
    if later:
        message = f'The first key of a file says what kind it is, and here "{first}" stands before "{later}".'
        return later, data, (_finding("unknown-key", place, message, f'move "{later}:" to the first line'),)
    message = f'The first key of a file says what kind it is, and "{first}" is no kind.'
    close = near(first, KIND_OF_KEY)
    if close:
        finding = _finding("unknown-key", place, message, did_you_mean(close))
        return close[0], _renamed(data, first, close[0]), (finding,)
    return None, data, (_finding("unknown-key", place, message, f"begin the file with one of {_kinds()}"),)


def _renamed(data: Map, old: str, new: str) -> Map:
    renamed = Map(data.line, data.column)
    for key, value in data.items():
        name = new if key == old else key
        renamed[name] = value
        renamed.spots[name] = data.spots[key]
    return renamed


def _kinds() -> str:
    return ", ".join(KIND_OF_KEY)


def _finding(check: str, place: Place, message: str, remedy: str) -> Finding:
    return Finding(check=check, severity=Severity.ERROR, place=place, message=message, remedy=remedy)
