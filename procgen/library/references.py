"""Names in braces in the author's text: `{pump-bolts}`, `{pump-bolts.torque}`; `{{` and `}}` are plain braces."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_REFERENCE = re.compile(r"\{\{|\}\}|\{(?P<name>[a-z0-9]+(?:-[a-z0-9]+)*)(?:\.(?P<value>[a-z-]+))?\}")

VALUES = ("torque", "limits", "capacity", "title", "number", "thread", "count")
"""What may stand after the dot."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A name in a text, and which of its values is meant."""

    name: str
    value: str
    """One of VALUES where the author keeps to them; empty for the title and a link."""


def pieces(text: str) -> Iterator[str | Reference]:
    """The text in order, cut into plain text and references; joined, plain text keeps every other brace as it is."""
    position = 0
    for match in _REFERENCE.finditer(text):
        if match.start() > position:
            yield text[position : match.start()]
        if match["name"]:
            yield Reference(match["name"], match["value"] or "")
        else:
            yield match[0][0]
        position = match.end()
    if position < len(text):
        yield text[position:]


def references(text: str) -> tuple[Reference, ...]:
    """Only the references in a text."""
    return tuple(piece for piece in pieces(text) if isinstance(piece, Reference)) if "{" in text else ()
