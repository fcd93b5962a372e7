"""Adds an entry to the text of a logbook and leaves every character of the rest as it is.

A YAML library would write the file anew: indents, quotes and line breaks would come out as it likes them, and the
author's own history would look edited. So the parser only says where the last entry ends, and text is put in there.
What comes out is read again and compared before anyone gets it.
"""

import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import yaml

from procgen.library.yaml_composer import Parser
from procgen.library.yaml_reading import read
from procgen.library.yaml_scalar import as_yaml
from procgen.library.yaml_tree import Map, Seq

Value = str | int | float | Sequence[str] | Mapping[str, str]
Fields = Mapping[str, Value]
"""An entry by the keys of the format, in the order in which they are written."""

_LINE_BREAK = re.compile("\r\n|\r|\n")
# Breaks to old YAML, none to an editor: the library's reader takes them for spaces too.
_NO_BREAKS = str.maketrans("\x85\u2028\u2029", "   ")
_WIDEST = 100
_LONGEST_ON_A_LINE = 88


class AppendError(Exception):
    """The entry cannot be put in without touching the rest; the message says why."""


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where an entry goes in, and in what shape."""

    index: int
    """Characters before it."""
    indent: int
    """Of the dash, or of the key `entries` where that is missing."""
    braces: bool
    """Among brackets: on one line, after a comma."""
    first: bool
    """There is no entry yet."""
    needs_key: bool
    """`entries` itself must be written."""
    apart: bool = False
    """The entries before are set apart by a blank line."""


def with_entry(text: str, entry: Fields) -> str:
    """The text of a logbook with one more entry behind its last.

    Raises AppendError where the file is no readable logbook, or where its `entries` stand where nothing can be added:
    behind an alias, or a written `null`.
    """
    before, others = _bare(_entries(text)), _others(text)
    spot = _spot(text)
    wanted = [*before, _bare(entry)] if isinstance(before, list) else []
    # As one would write it; and where its text is too odd for that (two spaces, a tab), in quotes.
    for added in (_flow(entry, spot),) if spot.braces else (_block(entry, spot, text, odd) for odd in (False, True)):
        result = text[: spot.index] + added + text[spot.index :]
        if _bare(_entries(result)) == wanted and _others(result) == others:
            return result
    raise AppendError("its layout is so unusual that an entry cannot be put in without changing the rest")


def entry_text(entry: Fields) -> str:
    """An entry as one would write it below `entries:`, two spaces in."""
    return "\n".join(_lines(entry, 2, odd=False)) + "\n"


def _tree(text: str) -> Map:
    tree = read(text, "logbook").tree
    if not isinstance(tree, Map):
        raise AppendError("it is no logbook that can be read")
    return tree


def _entries(text: str) -> list[object]:
    entries = _tree(text).get("entries")
    return list(entries) if isinstance(entries, Seq) else []


def _others(text: str) -> object:
    return _bare({key: value for key, value in _tree(text).items() if key != "entries"})


def _bare(value: object) -> object:
    """A value to compare: a break at the very end of a text says nothing."""
    match value:
        case str():
            return value.rstrip("\n")
        case Mapping():
            return {key: _bare(each) for key, each in value.items()}
        case Sequence():
            return [_bare(each) for each in value]
        case _:
            return str(value)


# Where


def _events(text: str) -> Iterator[Any]:
    offset = 1 if text.startswith("\ufeff") else 0
    try:
        parser = Parser(text[offset:].translate(_NO_BREAKS))
        while (event := parser.get_event()) is not None:
            yield event
    except yaml.YAMLError as error:
        raise AppendError("it is no YAML that can be read") from error


def _spot(text: str) -> _Spot:
    finder = _Finder(text)
    for event in _events(text):
        finder.see(event)
    return finder.spot()


class _Finder:
    """Follows the parser's events to the end of `entries`, or to the end of the file's map where there are none."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._offset = 1 if text.startswith("\ufeff") else 0
        self._depth = 0
        self._column: int | None = None
        """Of the file's map; None until it begins."""
        self._braces = False
        self._keys_turn = True
        self._key = ""
        self._list: Any = None
        self._list_depth = 0
        self._null: int | None = None
        self._starts: list[int] = []
        """Where the entries begin."""
        self._last: Any = None
        """The last event that stands for something written."""
        self._end_of_list: Any = None
        self._end_of_map: Any = None

    def see(self, event: Any) -> None:
        """Take one more event."""
        match event:
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._opens(event)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._closes(event)
            case yaml.ScalarEvent() | yaml.AliasEvent():
                self._node(event)
                self._last = event

    def _node(self, event: Any) -> None:
        if self._list is not None and self._end_of_list is None and self._depth == self._list_depth:
            self._starts.append(event.start_mark.index)
        if self._depth != 1:
            return
        if self._keys_turn:
            self._key = getattr(event, "value", "")
        elif self._key == "entries":
            self._is_entries(event)
        self._keys_turn = not self._keys_turn

    def _is_entries(self, event: Any) -> None:
        kind = type(event)
        if kind is yaml.SequenceStartEvent:
            self._list, self._list_depth = event, self._depth + 1
        elif kind is yaml.AliasEvent:
            raise AppendError("its entries are an alias of something written elsewhere")
        elif kind is yaml.ScalarEvent and not event.value:
            self._null = event.start_mark.index
        else:
            raise AppendError("its entries are no list")

    def _opens(self, event: Any) -> None:
        self._node(event)
        column: int = event.start_mark.column
        in_braces = bool(event.flow_style)
        if self._depth == 0 and type(event) is yaml.MappingStartEvent:
            self._column, self._braces = column, in_braces
        self._depth += 1
        if in_braces:
            self._last = event

    def _closes(self, event: Any) -> None:
        self._depth -= 1
        # Of a block only its content has an end; of brackets the bracket.
        written = event.end_mark.index > event.start_mark.index
        ends_list = self._list is not None and self._end_of_list is None and self._depth == self._list_depth - 1
        if ends_list:
            self._end_of_list = self._last
        if self._depth == 0:
            self._end_of_map = self._last
        if written:
            self._last = event

    def spot(self) -> _Spot:
        """Where to put an entry."""
        if self._column is None:
            raise AppendError("it is no logbook that can be read")
        if self._list is not None:
            return self._in_list()
        if self._null is not None:
            end = self._line_end(self._null + self._offset)
            return _Spot(end, self._column + 2, braces=False, first=False, needs_key=False)
        if self._braces:
            return _Spot(self._content_end(self._end_of_map), 0, braces=True, first=False, needs_key=True)
        return _Spot(self._after(self._end_of_map), self._column, braces=False, first=True, needs_key=True)

    def _in_list(self) -> _Spot:
        last = self._end_of_list
        if self._list.flow_style:
            empty = last is self._list
            return _Spot(self._content_end(last), 0, braces=True, first=empty, needs_key=False)
        column = self._list.start_mark.column
        return _Spot(self._after(last), column, braces=False, first=False, needs_key=False, apart=self._apart())

    def _apart(self) -> bool:
        """Whether a blank line stands before the last entry."""
        if len(self._starts) < 2:
            return False
        before = self.text[: self._starts[-1] + self._offset]
        lines = _LINE_BREAK.split(before)
        return len(lines) > 1 and not lines[-2].strip()

    def _content_end(self, event: Any) -> int:
        index: int = event.end_mark.index
        return index + self._offset

    def _after(self, event: Any) -> int:
        """The beginning of the line after what an event stands for."""
        end = self._content_end(event)
        if getattr(event, "style", None) not in ("|", ">"):
            return self._line_end(end)
        head = self.text[event.start_mark.index + self._offset : end]
        keeps = "+" in _LINE_BREAK.split(head, maxsplit=1)[0].partition("#")[0]
        return end if keeps else self._over_blank_lines(end)

    def _over_blank_lines(self, end: int) -> int:
        """Back over blank lines, which set apart what follows."""
        content = self.text[:end].rstrip(" \r\n")
        return min(self._line_end(len(content)), end)

    def _line_end(self, index: int) -> int:
        found = _LINE_BREAK.search(self.text, index)
        return found.end() if found else len(self.text)


# What


def _flow(entry: Fields, spot: _Spot) -> str:
    """On one line, among brackets."""
    words = f"entries: [{_json(entry)}]" if spot.needs_key else _json(entry)
    return words if spot.first else f", {words}"


def _json(value: object) -> str:
    """JSON's strings are YAML's, whatever is in them, but for what old YAML takes for a line break."""
    import json  # noqa: PLC0415 - seldom needed

    text = json.dumps(dict(value) if isinstance(value, Mapping) else value, ensure_ascii=False)
    return text.translate({0x85: "\\u0085", 0x2028: "\\u2028", 0x2029: "\\u2029", 0xFEFF: "\\ufeff"})


def _block(entry: Fields, spot: _Spot, text: str, odd: bool) -> str:
    own = _LINE_BREAK.search(text)
    line_break = own[0] if own else "\n"
    lines = list(_lines(entry, spot.indent + 2 if spot.needs_key else spot.indent, odd=odd))
    if spot.needs_key:
        lines.insert(0, f"{' ' * spot.indent}entries:")
    before = text[: spot.index]
    if spot.apart:
        lines.insert(0, "")
    opening = "" if not before or before.endswith(("\n", "\r")) else line_break
    return opening + line_break.join(lines) + line_break


def _lines(entry: Fields, indent: int, *, odd: bool) -> Iterator[str]:
    """An entry as lines of a block, its dash at `indent`. odd: every text in quotes."""
    dash, inside = " " * indent + "- ", " " * (indent + 2)
    for place, (key, value) in enumerate(entry.items()):
        head = f"{inside if place else dash}{key}:"
        if odd and not isinstance(value, int | float):
            yield f"{head} {_json(value)}"
        elif isinstance(value, str) and ("\n" in value or len(value) > _LONGEST_ON_A_LINE):
            yield f"{head} >-"
            yield from _folded(value, inside + "  ")
        else:
            yield f"{head} {as_yaml(value)}"


def _folded(text: str, indent: str) -> Iterator[str]:
    """Paragraphs as folded lines; a blank line between two says that a line ends there."""
    for place, paragraph in enumerate(" ".join(line.split()) for line in text.split("\n")):
        if place:
            yield ""
        yield from textwrap.wrap(
            paragraph,
            width=_WIDEST,
            initial_indent=indent,
            subsequent_indent=indent,
            break_long_words=False,
            break_on_hyphens=False,
        )
