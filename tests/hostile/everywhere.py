"""Texts put into every place of a library where an author can write text, found by walking the JSON Schemas.

A place is named by where its schema stands: `items.schema.json#/$defs/component/title`. What fits there is named by the
definition in common.schema.json that it must fit: `prose`, `title`, `quantity` and so on.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import procgen
from procgen.library.schema import SCHEMA_OF_KIND

Schema = Mapping[str, Any]
SCHEMAS: Mapping[str, Schema] = {
    path.name: json.loads(path.read_text(encoding="utf-8"))
    for path in (Path(procgen.__file__).parent / "library" / "schemas").glob("*.json")
}
COMMON = "common.schema.json"
SHOWN = frozenset({"text", "texts", "prose", "label", "title", "note", "summary", "where"})
"""Definitions of text that is shown as it is, and read by nobody but people."""
READ = frozenset(
    {"id", "ids", "choice", "quantity", "duration", "interval", "date", "day", "state", "states", "act", "acts"}
    | {"condition", "source", "torque", "torque-stage", "level", "energy-kind", "energy-kinds"}
)
"""Definitions of text that the program takes apart."""

Make = Callable[[str, str, str], str | None]
"""For a definition, a place, and what is written there ("" for nothing): what is to be written; None to leave it."""


@dataclass(frozen=True, slots=True)
class Part:
    """A schema, or one of those that it is put together from."""

    schema: Schema
    place: str
    definition: str = ""
    """Its name in common.schema.json."""

    @property
    def file(self) -> str:
        """In which its own references are resolved."""
        return self.place.partition("#")[0]

    def parts(self) -> Iterator["Part"]:
        yield self
        if reference := self.schema.get("$ref"):
            name, _, pointer = reference.partition("#")
            target: Any = SCHEMAS[name or self.file]
            for step in pointer.strip("/").split("/") if pointer else ():
                target = target[step]
            definition = pointer.rpartition("/")[2] if (name or self.file) == COMMON else ""
            yield from Part(target, f"{name or self.file}#{pointer}", definition).parts()
        for keyword in ("allOf", "anyOf", "oneOf"):
            for part in self.schema.get(keyword, ()):
                yield from Part(part, self.place).parts()

    def keys(self) -> Mapping[str, "Part"]:
        """What may stand at a key, by key; under "*" what may stand at any other key."""
        found: dict[str, Part] = {}
        for part in self.parts():
            for key, schema in part.schema.get("properties", {}).items():
                found.setdefault(key, Part(schema, f"{part.place}/{key}"))
            if isinstance(schema := part.schema.get("additionalProperties"), dict):
                found.setdefault("*", Part(schema, f"{part.place}/*"))
        return found

    def items(self) -> "Part":
        """What may stand in a list."""
        for part in self.parts():
            if isinstance(schema := part.schema.get("items"), dict):
                return Part(schema, f"{part.place}/*")
        return Part({}, self.place)

    @property
    def text(self) -> str:
        """The definition of the text that may stand here; empty for none."""
        return next((part.definition for part in self.parts() if part.definition in SHOWN | READ), "")


def root(kind: str) -> Part:
    return Part(SCHEMAS[f"{kind}.schema.json"], f"{kind}.schema.json#")


@dataclass(slots=True)
class Filler:
    """Fills files' trees, and remembers where it put something."""

    make: Make
    adds: bool = True
    """Also where the author wrote nothing, though text is allowed."""
    filled: set[str] = field(default_factory=set)

    def file(self, tree: Mapping[str, Any]) -> dict[str, Any]:
        """A file's tree with something in every place. Its first key, which says the kind, stays the first."""
        kind = next(iter(tree))
        filled: dict[str, Any] = self._value(root(kind), dict(tree))
        return filled | ({} if kind == "manual" else {kind: tree[kind]} if isinstance(tree[kind], str) else {})

    def _value(self, part: Part, value: Any) -> Any:
        match value:
            case str():
                return self._text(part.text, part.place, value)
            case list():
                return [self._item(part, each) for each in value]
            case dict():
                keys = part.keys()
                rest = keys.get("*", Part({}, part.place))
                return {key: self._value(keys.get(key, rest), each) for key, each in value.items()} | self._more(
                    {key: each for key, each in keys.items() if key not in value and key != "*"}
                )
            case _:
                return value

    def _item(self, part: Part, value: Any) -> Any:
        # What may be a text or a list of texts is one place.
        is_text = isinstance(value, str) and part.text
        return self._text(part.text, part.place, value) if is_text else self._value(part.items(), value)

    def _text(self, definition: str, place: str, value: str) -> str:
        text = self.make(definition, place, value)
        if text is None:
            return value
        self.filled.add(place)
        return text

    def _more(self, keys: Mapping[str, Part]) -> dict[str, str]:
        """Texts for keys that the author left out."""
        made: dict[str, str] = {}
        for key, part in keys.items() if self.adds else ():
            text = self.make(part.text, part.place, "") if part.text in SHOWN else None
            if text is not None:
                made[key] = text
                self.filled.add(part.place)
        return made


def places() -> set[str]:
    """Every place where text that is shown may stand."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting = [root(kind) for kind in SCHEMA_OF_KIND.values()]
    while waiting:
        part = waiting.pop()
        if part.place in seen:
            continue
        seen.add(part.place)
        if part.text in SHOWN:
            found.add(part.place)
        waiting.extend(part.keys().values())
        waiting.extend(each for each in part.parts() if each.place != part.place)
        if part.items().place != part.place:
            waiting.append(part.items())
    # A text by itself is no place: it stands where something refers to it.
    return {place for place in found if not place.startswith(COMMON) or place.split("/")[2] not in SHOWN}
