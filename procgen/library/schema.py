"""The JSON Schemas of the format: loaded when first needed, compiled for checking, and asked for their words."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from procgen.library.origin import Kind

if TYPE_CHECKING:
    from jsonschema_rs import Draft202012Validator, ValidationError

Schema = Mapping[str, Any]

SCHEMAS = Path(__file__).parent / "schemas"
"""The folder that editors can be pointed at."""

SCHEMA_OF_KIND: dict[Kind, str] = {
    Kind.MANUAL: "manual",
    Kind.TOOL: "tools",
    Kind.PART: "parts",
    Kind.SOURCE: "sources",
    Kind.NOTICE: "notices",
    Kind.TERM: "terms",
    Kind.MACHINE: "machine",
    Kind.ASSEMBLY: "assembly",
    Kind.PROCEDURE: "procedure",
    Kind.LOGBOOK: "logbook",
    Kind.JOB: "job",
}
"""The first key of a file of each kind, which is also the name of its schema."""

KIND_OF_KEY: dict[str, Kind] = {key: kind for kind, key in SCHEMA_OF_KIND.items()}
"""What the first key of a file says about the rest."""

_BASE = "json-schema:///"
"""What a relative `$ref` is resolved against where a schema has no identifier of its own."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the format wants in one place: schemas that apply there, the most particular first."""

    schemas: tuple[Schema, ...]

    def first(self, keyword: str) -> Any:
        """The most particular value of a keyword, or None."""
        return next((schema[keyword] for schema in self.schemas if keyword in schema), None)

    @property
    def noun(self) -> str:
        """What belongs there: "a fastener", "text", "a list of steps"."""
        return _as_noun(self.first("title") or "a value")

    @property
    def keys(self) -> Mapping[str, Schema]:
        """The keys that a map in this place may have; empty where it may have any."""
        return self.first("properties") or {}

    @property
    def example(self) -> object:
        """A value that would do, or None."""
        return next(iter(self.first("examples") or ()), None)


@cache
def schema_files() -> Mapping[str, Schema]:
    """Every schema by its file name."""
    return {path.name: json.loads(path.read_text(encoding="utf-8")) for path in sorted(SCHEMAS.glob("*.json"))}


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing in a file's tree that its schema does not allow."""

    rule: str
    """The JSON Schema keyword that is broken; for oneOf "none" or "several" follows it."""
    path: tuple[str | int, ...]
    """Keys and positions that lead to the value."""
    detail: Any
    """What the rule names: the unknown keys, the missing key, the types, the choices, the limit, the name."""
    because_of: tuple[str | int, ...]
    """The path of the rule in the schema."""


_RULES = {
    "AdditionalProperties": "additionalProperties",
    "AnyOf": "anyOf",
    "Enum": "enum",
    "FalseSchema": "false",
    "Maximum": "maximum",
    "MaxItems": "maxItems",
    "MinItems": "minItems",
    "Minimum": "minimum",
    "MinProperties": "minProperties",
    "OneOfMultipleValid": "oneOf several",
    "OneOfNotValid": "oneOf none",
    "Pattern": "pattern",
    "PropertyNames": "propertyNames",
    "Required": "required",
    "Type": "type",
}
"""The validator's names for the rules that the schemas use."""


def refusals(data: object, kind: Kind) -> tuple[Refusal, ...]:
    """What in `data` the schema of `kind` does not allow; `data` is made of plain values, maps and lists."""
    validator = _validator(kind)
    return () if validator.is_valid(data) else tuple(map(_refusal, validator.iter_errors(data)))


@cache
def _validator(kind: Kind) -> "Draft202012Validator":
    # In Rust: about 200 times as fast as checking in Python, and imported in a third of the time.
    from jsonschema_rs import Draft202012Validator, Registry  # noqa: PLC0415

    schemas: dict[str, Any] = {_BASE + name: schema for name, schema in schema_files().items()}
    return Draft202012Validator(schemas[_BASE + _file_name(kind)], registry=Registry(list(schemas.items())))


def _refusal(error: "ValidationError") -> Refusal:
    rule = _RULES[type(error.kind).__name__]
    detail = error.kind.value
    if rule == "propertyNames":
        detail = detail.instance
    return Refusal(rule, tuple(error.instance_path), detail, tuple(error.schema_path))


def wanted(kind: Kind, path: tuple[str | int, ...]) -> Wanted:
    """What the format wants at `path` in a file of `kind`."""
    here = _resolved(_file_name(kind), schema_files()[_file_name(kind)])
    for part in path:
        here = [found for file, schema in here for below in _below(schema, part) for found in _resolved(file, below)]
    return Wanted(tuple(schema for _, schema in here))


@cache
def owners() -> Mapping[str, tuple[str, ...]]:
    """For each key, the nouns of the things that may have it."""
    found: dict[str, dict[str, None]] = {}
    for schema in schema_files().values():
        for part in parts(schema):
            for key in (
                part.get("properties", ()) if "title" in part and part.get("additionalProperties") is False else ()
            ):
                found.setdefault(key, {})[_as_noun(part["title"])] = None
    return {key: tuple(nouns) for key, nouns in found.items()}


def parts(schema: object) -> Iterator[Schema]:
    """Every map inside a schema, itself included."""
    waiting = [schema]
    while waiting:
        each = waiting.pop()
        if isinstance(each, dict):
            yield each
            waiting.extend(reversed(each.values()))
        elif isinstance(each, list):
            waiting.extend(reversed(each))


def _as_noun(title: str) -> str:
    return title[:1].lower() + title[1:]


def _file_name(kind: Kind) -> str:
    return f"{SCHEMA_OF_KIND[kind]}.schema.json"


def _below(schema: Schema, part: str | int) -> Iterator[Schema]:
    """The schemas that hold for one key of a map, or one place in a list."""
    if isinstance(part, str):
        below = schema.get("properties", {}).get(part, schema.get("additionalProperties"))
    else:
        first = schema.get("prefixItems", ())
        below = first[part] if part < len(first) else schema.get("items")
    if isinstance(below, dict):
        yield below


def _resolved(file: str, schema: Schema) -> list[tuple[str, Schema]]:
    """A schema and, after it, what it refers to; each with the file that it stands in."""
    found = [(file, schema)]
    while "$ref" in schema:
        name, _, pointer = schema["$ref"].partition("#")
        file = name or file
        schema = schema_files()[file]
        for key in pointer.split("/")[1:]:
            schema = schema[key]
        found.append((file, schema))
    return found
