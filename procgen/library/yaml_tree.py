"""YAML text as a tree of plain values that know where they are written.

The tree is composed from libyaml's events, without recursion and within limits of its own, so that no file can
exhaust the program. What the text breaks of YAML's rules comes back as findings beside as much of the tree as could
be read.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

import yaml

from procgen.finding import Because, Finding, Place, Severity
from procgen.library.yaml_scalar import resolve

Spot = tuple[int, int]

_Parser = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DEEPEST = 100
_EXPANSION = 10
_EXPANSION_FREE = 1000
_DROPPED = "\0dropped"
"""The key of a value that is read, for its findings, and kept nowhere; no YAML text can hold it."""
_LINE_BREAKS_OF_YAML_1_1 = re.compile("[\x85\u2028\u2029]")
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_CORE_TAG = "tag:yaml.org,2002:"


class Map(dict[str, object]):
    """A YAML mapping. Counts of lines and columns start at 1."""

    __slots__ = ("column", "flow", "line", "spots")

    def __init__(self, line: int, column: int, *, flow: bool = False) -> None:
        super().__init__()
        self.line = line
        self.column = column
        self.flow = flow
        """Whether it is written in braces."""
        self.spots: dict[str, tuple[Spot, Spot]] = {}
        """For each key, where the key is written and where its value is."""


class Seq(list[object]):
    """A YAML sequence. Counts of lines and columns start at 1."""

    __slots__ = ("column", "line", "spots")

    def __init__(self, line: int, column: int) -> None:
        super().__init__()
        self.line = line
        self.column = column
        self.spots: list[Spot] = []
        """Where each item is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What could be read of a text."""

    tree: object | None
    findings: tuple[Finding, ...]
    damaged: bool
    """Something that the author wrote is not in the tree: nothing may be concluded from what is missing."""


def read_tree(text: str, file: str) -> tuple[object | None, tuple[Finding, ...]]:
    """The tree of a YAML text, None where it is empty, and what is wrong with the text as YAML."""
    reading = read(text, file)
    return reading.tree, reading.findings


def read(text: str, file: str) -> Reading:
    """The tree of a YAML text, what is wrong with the text, and whether anything was lost."""
    composer = Composer(_LINE_BREAKS_OF_YAML_1_1.sub(" ", text.removeprefix("\ufeff")), file)
    error = composer.run()
    if error is not None:
        mark = error.problem_mark or error.context_mark
        composer.find((mark.line + 1, mark.column + 1), f"{error.problem}")
    return Reading(tree=composer.root, findings=tuple(composer.findings), damaged=error is not None or composer.damaged)


class Composer:
    """Builds the tree from the parser's events."""

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.findings: list[Finding] = []
        self.root: object | None = None
        self.damaged = False
        self._stopped = False
        self._top: Map | Seq | None = None
        self._key: str | None = None
        self._key_spot: Spot = (1, 1)
        self._stack: list[tuple[Map | Seq | None, str | None, str | None, int]] = []
        self._anchors: dict[str, tuple[object, int]] = {}
        self._open: set[str] = set()
        self._documents = 0
        self._own = 0
        self._expanded = 0

    def run(self) -> yaml.MarkedYAMLError | None:
        """Read to the end, or to the first place that is not YAML, whose error is given back."""
        handlers: dict[type, Callable[[yaml.Event], None]] = {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._start_map,
            yaml.SequenceStartEvent: self._start_seq,
            yaml.MappingEndEvent: self._end,
            yaml.SequenceEndEvent: self._end,
            yaml.AliasEvent: self._alias,
            yaml.DocumentStartEvent: self._start_document,
        }
        try:
            parser = _Parser(self.text)
            next_event = parser.get_event
            while not self._stopped and (event := next_event()) is not None:
                handler = handlers.get(type(event))
                if handler is not None:
                    handler(event)
        except yaml.MarkedYAMLError as error:
            return error
        return None

    def find(self, spot: Spot, message: str, remedy: str = "", *, check: str = "yaml-syntax") -> None:
        """Report a mistake at `spot`."""
        self.findings.append(
            Finding(check=check, severity=Severity.ERROR, place=Place(self.file, *spot), message=message, remedy=remedy)
        )

    def _start_document(self, event: yaml.DocumentStartEvent) -> None:
        self._documents += 1
        if self._documents > 1:
            self.find(
                _spot(event),
                'A second document begins here with "---", and a file holds only one.',
                'Move what follows to a file of its own, or take the line "---" out.',
            )
            self._stopped = self.damaged = True

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        self._own += 1
        self._expanded += 1
        mark = event.start_mark
        spot = (mark.line + 1, mark.column + 1)
        if self._key is None and type(self._top) is Map:
            self._begin_key(event.value, spot)
            if event.anchor:
                self._anchors[event.anchor] = (event.value, 1)
            return
        value = event.value if event.style else resolve(event.value)
        if event.tag:
            value = self._tagged(event, spot, value)
        if event.anchor:
            self._anchors[event.anchor] = (value, 1)
        self._attach(value, spot)

    def _tagged(self, event: yaml.ScalarEvent, spot: Spot, value: object) -> object:
        if event.tag in ("!", f"{_CORE_TAG}str"):
            return event.value
        if not event.tag.startswith(_CORE_TAG):
            self._custom_tag(event.tag, spot)
        return value

    def _custom_tag(self, tag: str, spot: Spot) -> None:
        self.find(
            spot, f'"{tag}" is read as a YAML tag, and a library has none.', "Put text that begins with ! in quotes."
        )

    def _begin_key(self, key: str, spot: Spot) -> None:
        top = self._top
        assert isinstance(top, Map)  # noqa: S101
        self._key = key
        self._key_spot = spot
        if key in top:
            self._duplicate(key, top.spots[key][0], spot)
            self._key = _DROPPED

    def _duplicate(self, key: str, first: Spot, second: Spot) -> None:
        self.findings.append(
            Finding(
                check="duplicate-key",
                severity=Severity.ERROR,
                place=Place(self.file, *second),
                message=f'"{key}" is already given at line {first[0]}, and only one of the two can be meant.',
                because=(Because(message=f'"{key}" is given first', place=Place(self.file, *first)),),
                remedy="Take one of them out, or join them.",
            )
        )

    def _attach(self, value: object, spot: Spot) -> None:
        top = self._top
        if type(top) is Map:
            key = self._key
            if key is not None and key is not _DROPPED:
                top[key] = value
                top.spots[key] = (self._key_spot, spot)
            self._key = None
        elif type(top) is Seq:
            top.append(value)
            top.spots.append(spot)
        else:
            self.root = value

    def _start_map(self, event: yaml.MappingStartEvent) -> None:
        line, column = _spot(event)
        self._start(Map(line, column, flow=bool(event.flow_style)), event)

    def _start_seq(self, event: yaml.SequenceStartEvent) -> None:
        self._start(Seq(*_spot(event)), event)

    def _start(self, node: Map | Seq, event: yaml.CollectionStartEvent) -> None:
        spot = (node.line, node.column)
        self._own += 1
        self._expanded += 1
        if len(self._stack) >= _DEEPEST:
            self.find(spot, f"This is nested more than {_DEEPEST} levels deep, and the rest of the file is not read.")
            self._stopped = self.damaged = True
            return
        if event.tag and not event.tag.startswith(_CORE_TAG):
            self._custom_tag(event.tag, spot)
        after: str | None = None
        if self._key is None and type(self._top) is Map:
            self.find(
                spot, "A key must be a word, and this one is a list or a map.", "Put text with brackets in quotes."
            )
            self.damaged = True
            after = _DROPPED
        else:
            self._attach(node, spot)
        self._stack.append((self._top, after, event.anchor, self._expanded))
        if event.anchor:
            self._anchors.pop(event.anchor, None)
            self._open.add(event.anchor)
        self._top = node
        self._key = None

    def _end(self, _event: yaml.Event) -> None:
        node = self._top
        self._top, self._key, anchor, before = self._stack.pop()
        if anchor:
            self._open.discard(anchor)
            self._anchors[anchor] = (node, self._expanded - before + 1)

    def _alias(self, event: yaml.AliasEvent) -> None:
        spot = _spot(event)
        name = event.anchor
        value, size = self._anchors.get(name, (None, 1))
        if name in self._open:
            self.find(spot, f'"*{name}" stands inside what it refers to, and would never end.')
        elif name not in self._anchors:
            self.find(
                spot, f'"*{name}" refers to an anchor that is not there.', "Put text that begins with * in quotes."
            )
        elif self._expanded + size > _EXPANSION * self._own + _EXPANSION_FREE:
            self.find(spot, f'"*{name}" repeats so much that the file would grow beyond all measure.')
            value, size = None, 1
        self._own += 1
        self._expanded += size
        if self._key is None and type(self._top) is Map:
            self._begin_key(str(value), spot)
        else:
            self._attach(value, spot)


def _spot(event: yaml.Event) -> Spot:
    # PyYAML counts lines and columns from 0.
    return (event.start_mark.line + 1, event.start_mark.column + 1)
