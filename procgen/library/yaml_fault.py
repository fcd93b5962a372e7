"""A place where text stops being YAML, what may be meant there, and the anatomy of a line."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import yaml

from procgen.library.text_edit import Edit, edited
from procgen.library.yaml_scalar import quoted
from procgen.library.yaml_tree import Spot

_HEAD = re.compile(r"\s*(?:-\s+)*")
_COLON = re.compile(r":\s")
_KEY = re.compile(r"""[\w(][^:"'\[\]{},#]*|"[^"]*"\s*|'[^']*'\s*""")
_COMMENT = re.compile(r"\s#(?=\s|$)")
_LONGEST = 60
"""Characters of the author's text in a message."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Where the parser gave up. Lines and columns count from 0."""

    lines: Sequence[str]
    line: int
    column: int
    problem: str
    """The parser's own words."""
    context: str
    """What the parser was about, in its own words; may be empty."""
    context_line: int
    context_column: int

    @property
    def text(self) -> str:
        """The line of the fault."""
        return self.lines[self.line]

    @property
    def in_braces(self) -> bool:
        """Whether the parser was inside { } or [ ]."""
        return "flow" in self.context

    def above(self, line: int) -> int | None:
        """The nearest line above `line` that holds anything but a comment."""
        return next((each for each in range(line - 1, -1, -1) if not is_blank(self.lines[each])), None)

    def suspects(self) -> list[int]:
        """The lines in which the mistake may be, the likeliest first."""
        above = self.above(self.line)
        lines = [self.line, self.context_line, *([] if above is None else [above])]
        return list(dict.fromkeys(lines))


@dataclass(frozen=True, slots=True)
class Mend:
    """What may be meant at a fault: what to say about it, and the text as it should be."""

    spot: Spot
    message: str
    remedy: str
    edits: tuple[Edit, ...]
    reaches_far: bool = False
    """The parser notices such a mistake only far below it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A line as `- key: value  # comment`."""

    head: str
    """Indentation and dashes."""
    key: str
    """With its colon and the space after it; empty for a plain list item."""
    value: str
    tail: str
    """The comment, or nothing."""

    @property
    def start(self) -> int:
        """Where the value begins, from 0."""
        return len(self.head) + len(self.key)


def fault_of(error: yaml.MarkedYAMLError, lines: Sequence[str]) -> Fault:
    """Where and why the parser gave up on `lines`."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark else (0, 0)
    context = error.context_mark or mark
    context_line, context_column = (context.line, context.column) if context else (0, 0)
    last = len(lines) - 1
    swallows_the_rest = line > last or "end of stream" in (error.problem or "")
    if "simple key" in (error.context or "") or (swallows_the_rest and context_line <= last):
        line, column = context_line, context_column  # noticed below, but the mistake begins here
    elif line > last:
        line, column = last, len(lines[last])
    return Fault(
        lines=lines,
        line=line,
        column=column,
        problem=error.problem or "",
        context=error.context or "",
        context_line=min(context_line, last),
        context_column=context_column,
    )


def entry(line: str) -> Entry | None:
    """The parts of a line, or None where it is blank or a comment."""
    head = _HEAD.match(line)
    if is_blank(line) or head is None or head.end() == len(line):
        return None
    comment = _COMMENT.search(line, head.end())
    end = len(line[: comment.start() if comment else None].rstrip())
    start = head.end()
    colon = _COLON.search(line, start, end)
    if colon and _KEY.fullmatch(line, start, colon.start()):
        start = end - len(line[colon.end() : end].lstrip())
    return Entry(line[: head.end()], line[head.end() : start], line[start:end], line[end:])


def is_blank(line: str) -> bool:
    """Whether a line is empty or only a comment."""
    stripped = line.strip()
    return not stripped or stripped.startswith("#")


def indentation(line: str) -> int:
    """How many characters of white space a line begins with."""
    return len(line) - len(line.lstrip())


def shortened(text: str) -> str:
    """`text` for a message."""
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "…"


def as_it_should_be(lines: Sequence[str], edits: Sequence[Edit]) -> str:
    """The first changed line after the change, without its indentation."""
    return edited(lines, edits)[edits[0].line].strip()


def in_quotes(text: str) -> str:
    """`text` in quotes; quotes that it already has around it are not doubled."""
    for mark in ('"', "'"):
        if len(text) > 1 and text[0] == text[-1] == mark:
            text = text[1:-1]
    return quoted(text)
