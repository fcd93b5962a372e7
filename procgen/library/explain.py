"""What the format says about a kind of file, a map or a key: read off the schemas, so that it is never out of date."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from procgen.library.schema import SCHEMA_OF_KIND, Schema, schema_files

RECORD = "record"
"""The kind of file that a page writes, and nobody by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A key at one place of the format."""

    path: str
    """Where it stands: "assembly › fasteners › NAME › torque"."""
    name: str
    noun: str
    """What it takes: "text", "a list of steps"."""
    description: str
    words: tuple[str, ...]
    """The values that it may have, where they are a closed set."""
    default: str
    example: str
    """As YAML, on one line; empty where there is none."""


def _resolved(schema: Schema, home: str) -> tuple[Schema, str]:
    """A schema with what it refers to filled in (its own words stand before those), and the file it comes from."""
    merged: dict[str, Any] = {key: value for key, value in schema.items() if key != "$ref"}
    while "$ref" in schema:
        name, _, pointer = str(schema["$ref"]).partition("#/")
        home = name or home
        target: Any = schema_files()[home]
        for part in pointer.split("/") if pointer else ():
            target = target[part]
        schema = target
        merged = {**{key: value for key, value in schema.items() if key != "$ref"}, **merged}
    return merged, home


def kinds() -> tuple[str, ...]:
    """The kinds of file that people write, by their first key; and the record that a sheet saves."""
    return (*SCHEMA_OF_KIND.values(), RECORD)


def kind_summary(kind: str) -> tuple[str, tuple[Entry, ...]]:
    """What a kind of file is for, and its keys."""
    schema, home = _resolved(schema_files()[f"{kind}.schema.json"], f"{kind}.schema.json")
    entries = _entries(schema, home, kind, deep=False)
    return str(schema.get("description", "")), tuple(entries)


def entries_of(key: str) -> tuple[Entry, ...]:
    """Every place of the format where `key` stands, each meaning once."""
    seen: dict[tuple[str, str], Entry] = {}
    for entry in every_entry():
        if entry.name == key:
            seen.setdefault((entry.description, entry.noun), entry)
    return tuple(seen.values())


@cache
def every_entry() -> tuple[Entry, ...]:
    """Every key of the format, file by file; what repeats itself (a step in a step) once a file."""
    found: list[Entry] = []
    for kind in kinds():
        name = f"{kind}.schema.json"
        schema, home = _resolved(schema_files()[name], name)
        found.extend(_entries(schema, home, kind, deep=True))
    return tuple(found)


def _entries(schema: Schema, home: str, path: str, *, deep: bool) -> Iterator[Entry]:
    waiting: list[tuple[Schema, str, str]] = [(schema, home, path)]
    seen: set[str] = set()
    while waiting:
        found, home, path = waiting.pop(0)
        for key, inner in found.get("properties", {}).items():
            resolved, inner_home = _resolved(inner, home)
            yield _entry(key, resolved, f"{path} › {key}")
            if deep:
                waiting.extend(_inside(resolved, inner_home, f"{path} › {key}", seen))


def _inside(schema: Schema, home: str, path: str, seen: set[str]) -> Iterator[tuple[Schema, str, str]]:
    """The maps that a value may hold, each once."""
    for holder, mark in (
        (schema, ""),
        (schema.get("additionalProperties"), " › NAME"),
        (schema.get("items"), ""),
        *((option, "") for option in (*schema.get("anyOf", ()), *schema.get("oneOf", ()))),
    ):
        if not isinstance(holder, Mapping):
            continue
        resolved, inner_home = _resolved(holder, home) if holder is not schema else (schema, home)
        mark_of_it = json.dumps(resolved, sort_keys=True, default=str)
        if "properties" in resolved:
            if mark_of_it not in seen:
                seen.add(mark_of_it)
                yield resolved, inner_home, path + mark
        elif holder is not schema:
            yield from _inside(resolved, inner_home, path + mark, seen)


def _entry(key: str, schema: Schema, path: str) -> Entry:
    examples = schema.get("examples") or ()
    words = schema.get("enum") or ()
    return Entry(
        path=path,
        name=key,
        noun=str(schema.get("title") or _noun_of_type(schema)),
        description=str(schema.get("description", "")),
        words=tuple(str(word) for word in words),
        default="" if "default" not in schema else _yaml(schema["default"]),
        example=f"{key}: {_yaml(examples[0])}" if examples else "",
    )


def _noun_of_type(schema: Schema) -> str:
    if "enum" in schema:
        return "a word"
    nouns = {"string": "text", "integer": "a whole number", "number": "a number", "boolean": "true or false"}
    types = schema.get("type", "")
    listed = types if isinstance(types, list) else [types]
    return " or ".join(nouns.get(each, "a list" if each == "array" else "a map") for each in listed)


def _yaml(value: object) -> str:
    import yaml  # noqa: PLC0415 - only for explaining

    text = yaml.safe_dump(value, default_flow_style=True, allow_unicode=True, width=1_000_000, sort_keys=False)
    return text.removesuffix("\n").removesuffix("\n...")
