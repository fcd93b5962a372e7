"""Builds a tree from the events of libyaml, without recursion and within limits of its own.

What breaks the rules without breaking YAML's grammar is found here: keys given twice, tags, endless aliases, text that
a comma has cut in two. What breaks the grammar is left to `yaml_faults`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import yaml

from procgen.finding import Because, Finding, Place, Severity
from procgen.library.yaml_scalar import quoted, resolve
from procgen.library.yaml_tree import Map, Seq, Spot

Parser = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""libyaml where it is there; PyYAML's own, which is slower, where it is not."""

Event = Any
"""One of PyYAML's; its stubs allow for events without marks, and the parser makes none."""
Mark = Any

_DEEPEST = 100
_EXPANSION = 10
_EXPANSION_FREE = 1000
_DROPPED = "\0dropped"
"""The key of a value that is read, for its findings, and kept nowhere; no YAML text can hold it."""
_CORE_TAG = "tag:yaml.org,2002:"


@dataclass(slots=True)
class _Cut:
    """Text in braces that commas have cut into a value and keys without one."""

    map: Map
    key: str
    value_spot: Spot
    first: str
    """What was taken for the value."""
    stray: str
    """What was taken for a key, the first of them."""
    stray_spot: Spot
    end: Spot
    """Where the text ends, after its last character."""


class Composer:
    """One pass over one text. The results are in its public attributes."""

    def __init__(self, text: str, file: str) -> None:
        self.findings: list[Finding] = []
        self.root: object | None = None
        self.damaged = False
        """Something that is written is not in the tree."""
        self._text = text
        self._file = file
        self._stopped = False
        self._top: Map | Seq | None = None
        self._key: str | None = None
        self._key_spot: Spot = (1, 1)
        self._key_end: Mark | None = None
        self._stack: list[tuple[Map | Seq | None, str | None, str | None, int, int]] = []
        self._anchors: dict[str, tuple[object, int]] = {}
        self._open: set[str] = set()
        self._documents = 0
        self._own = 0
        self._expanded = 0
        self._overgrown = False
        self._cuts: dict[tuple[int, str], _Cut] = {}
        self._braced: set[int] = set()

    def run(self) -> yaml.MarkedYAMLError | None:
        """Read to the end, or to the first place that is not YAML, whose error is given back."""
        handlers: dict[type, Callable[[Event], None]] = {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._start_map,
            yaml.SequenceStartEvent: self._start_seq,
            yaml.MappingEndEvent: self._end,
            yaml.SequenceEndEvent: self._end,
            yaml.AliasEvent: self._alias,
            yaml.DocumentStartEvent: self._start_document,
        }
        try:
            next_event = Parser(self._text).get_event
            while not self._stopped and (event := next_event()) is not None:
                handler = handlers.get(type(event))
                if handler is not None:
                    handler(event)
        except yaml.MarkedYAMLError as error:
            return error
        finally:
            for cut in self._cuts.values():
                self._report_cut(cut)
        return None

    def _find(self, spot: Spot, message: str, remedy: str = "") -> None:
        place = Place(self._file, *spot)
        self.findings.append(
            Finding(check="yaml-syntax", severity=Severity.ERROR, place=place, message=message, remedy=remedy)
        )

    def _start_document(self, event: Event) -> None:
        self._documents += 1
        if self._documents > 1:
            self._find(
                _spot(event.start_mark),
                'A second document begins here with "---", and a file holds only one: what follows is not read.',
                'move what follows to a file of its own, or take the line "---" out',
            )
            self._stopped = self.damaged = True

    # Scalars

    def _scalar(self, event: Event) -> None:
        self._own += 1
        self._expanded += 1
        mark = event.start_mark
        spot = (mark.line + 1, mark.column + 1)
        top = self._top
        if self._key is None and type(top) is Map:
            if event.anchor:
                self._anchors[event.anchor] = (event.value, 1)
            if top.flow:
                self._key_end = event.end_mark
            return self._begin_key(top, event.value, spot)
        value = event.value if event.style else resolve(event.value)
        if event.tag:
            value = self._tagged(event, spot, value)
        if event.anchor:
            self._anchors[event.anchor] = (value, 1)
        if value is None and type(top) is Map and top.flow and self._is_stray(event):
            return self._stray(top)
        return self._attach(value, spot)

    def _tagged(self, event: Event, spot: Spot, value: object) -> object:
        if event.tag in ("!", f"{_CORE_TAG}str"):
            return event.value
        return value if event.tag.startswith(_CORE_TAG) else self._custom_tag(event, spot)

    def _custom_tag(self, event: Event, spot: Spot) -> str:
        """Report a tag. Gives the text that was probably meant."""
        text = self._text[event.start_mark.index : event.end_mark.index]
        self._find(
            spot,
            "Text that begins with ! is read as a YAML tag, and a library has none.",
            f"put it in quotes: {quoted(text)}",
        )
        return text

    def _begin_key(self, top: Map, key: str, spot: Spot) -> None:
        self._key = key
        self._key_spot = spot
        if key in top:
            self._duplicate(key, top.spots[key][0], spot)
            self._key = _DROPPED
        elif key == "<<":
            self._find(
                spot,
                '"<<" merges maps in old versions of YAML, and YAML 1.2 has no such key: what it names is not read.',
                "write the keys out",
            )
            self._key = _DROPPED
            self.damaged = True

    def _duplicate(self, key: str, first: Spot, second: Spot) -> None:
        self.findings.append(
            Finding(
                check="duplicate-key",
                severity=Severity.ERROR,
                place=Place(self._file, *second),
                message=f'"{key}" is already given at line {first[0]}, and only one of the two can be meant.',
                because=(Because(message=f'"{key}" is first given', place=Place(self._file, *first)),),
                remedy="take one of them out, or join them",
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

    # Keys in braces without a value: nobody writes them on purpose

    def _is_stray(self, event: Event) -> bool:
        """Whether the key that is being read has no colon."""
        start, end = self._key_end, event.start_mark
        return start is not None and ":" not in self._text[start.index : max(end.index, start.index + 1)]

    def _stray(self, top: Map) -> None:
        key, spot = self._key, self._key_spot
        self._key = None
        if key is None or key is _DROPPED or self._key_end is None:
            return
        end = _spot(self._key_end)
        last = next(reversed(top), "")
        name, colon, rest = key.partition(":")
        if colon and name and name not in top:
            self._find(
                spot, f'"{key}" has no space after its colon, and is read as one word.', f'write "{name}: {rest}"'
            )
            top[name] = resolve(rest)
            top.spots[name] = (spot, (spot[0], spot[1] + len(name) + 1))
        elif not top:
            self._braced.add(id(top))
            top[key] = None
            top.spots[key] = (spot, end)
        elif id(top) in self._braced:
            return
        elif isinstance(top[last], (str, int, float)) and self._is_plain(top.spots[last][1]):
            cut = _Cut(top, last, top.spots[last][1], str(top[last]), key, spot, end)
            self._cuts.setdefault((id(top), last), cut).end = end
        else:
            self._find(
                spot, f'"{key}" stands among the keys, and nothing follows it.', f'write "{key}: …", or take it out'
            )

    def _is_plain(self, spot: Spot) -> bool:
        return self._line(spot)[spot[1] - 1 : spot[1]] not in ("'", '"', "*")

    def _report_cut(self, cut: _Cut) -> None:
        """Put the text together again, and report the comma."""
        text = self._between(cut.value_spot, cut.end)
        cut.map[cut.key] = text
        mended = f"{cut.key}: {quoted(text)}"
        line = self._line(cut.value_spot)
        if cut.end[0] == cut.value_spot[0]:
            mended = (line[: cut.value_spot[1] - 1] + quoted(text) + line[cut.end[1] - 1 :]).strip()
        self._find(
            cut.stray_spot,
            f'A comma inside braces ends unquoted text: "{cut.first}" is read as "{cut.key}", '
            f'and "{cut.stray}" as a key of its own.',
            f"put the text in quotes: {mended}",
        )

    def _line(self, spot: Spot) -> str:
        return self._lines[spot[0] - 1]

    def _between(self, start: Spot, end: Spot) -> str:
        lines = self._lines[start[0] - 1 : end[0]]
        lines[-1] = lines[-1][: end[1] - 1]
        lines[0] = lines[0][start[1] - 1 :]
        return " ".join(line.strip() for line in lines)

    @cached_property
    def _lines(self) -> list[str]:
        return self._text.splitlines()

    # Maps and sequences

    def _start_map(self, event: Event) -> None:
        line, column = _spot(event.start_mark)
        self._start(Map(line, column, flow=bool(event.flow_style)), event)

    def _start_seq(self, event: Event) -> None:
        self._start(Seq(*_spot(event.start_mark)), event)

    def _start(self, node: Map | Seq, event: Event) -> None:
        spot = (node.line, node.column)
        self._own += 1
        self._expanded += 1
        if len(self._stack) >= _DEEPEST:
            self._find(spot, f"This is nested more than {_DEEPEST} levels deep: the file is not read from here on.")
            self._stopped = self.damaged = True
            return
        if event.tag and not event.tag.startswith(_CORE_TAG):
            self._custom_tag(event, spot)
        after: str | None = None
        if self._key is None and type(self._top) is Map:
            self._bracket_as_key(self._top, spot)
            after = _DROPPED
        else:
            self._attach(node, spot)
        self._stack.append((self._top, after, event.anchor, self._expanded, event.start_mark.index))
        if event.anchor:
            self._anchors.pop(event.anchor, None)
            self._open.add(event.anchor)
        self._top = node
        self._key = None

    def _bracket_as_key(self, top: Map, spot: Spot) -> None:
        if top.flow and not top:
            self._braced.add(id(top))  # {{text}}
            return
        self._find(
            spot,
            "A key must be a word, and a bracket begins here where a key is expected.",
            "put text that begins with a bracket in quotes",
        )
        self.damaged = True

    def _end(self, event: Event) -> None:
        node = self._top
        self._top, self._key, anchor, before, start = self._stack.pop()
        if anchor:
            self._open.discard(anchor)
            self._anchors[anchor] = (node, self._expanded - before + 1)
        if isinstance(node, Map) and id(node) in self._braced:
            self._unbrace(node, self._text[start : event.end_mark.index])

    def _unbrace(self, node: Map, text: str) -> None:
        """Put the text back that was taken for a map because it begins with a brace."""
        self._braced.discard(id(node))
        top = self._top
        if id(top) in self._braced:
            return
        self._find(
            (node.line, node.column),
            f"Text that begins with a brace must be in quotes: {text} is read as a map.",
            f"write {quoted(text)}",
        )
        if isinstance(top, Map) and top and next(reversed(top.values())) is node:
            top[next(reversed(top))] = text
        elif isinstance(top, Seq) and top and top[-1] is node:
            top[-1] = text

    def _alias(self, event: Event) -> None:
        spot = _spot(event.start_mark)
        name = event.anchor
        value, size = self._anchors.get(name, (f"*{name}", 1))
        if name in self._open:
            self._find(spot, f'"*{name}" stands inside what it refers to, and would never end.', "write it out")
        elif name not in self._anchors:
            self._find(
                spot,
                f'"*{name}" refers to an anchor, and there is none of that name.',
                f'put text that begins with * in quotes: "*{name}"',
            )
        elif self._expanded + size > _EXPANSION * self._own + _EXPANSION_FREE:
            if not self._overgrown:
                self._find(
                    spot, f'"*{name}" repeats so much that the file would grow beyond all measure.', "write it out"
                )
            value, size, self._overgrown, self.damaged = None, 1, True, True
        self._own += 1
        self._expanded += size
        if self._key is None and type(self._top) is Map:
            self._begin_key(self._top, str(value), spot)
        else:
            self._attach(value, spot)


def _spot(mark: Mark) -> Spot:
    # PyYAML counts lines and columns from 0, in characters.
    return (mark.line + 1, mark.column + 1)
