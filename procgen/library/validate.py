"""Holds a file's tree against the schema of its kind, and reports what does not fit at the place where it is written."""

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from procgen.finding import Because, Finding, Place, Severity
from procgen.library import mistakes
from procgen.library.mistakes import Fault, Words
from procgen.library.near import near
from procgen.library.origin import Kind, Spot
from procgen.library.phrases import Path
from procgen.library.schema import validator, wanted
from procgen.library.state import Verb
from procgen.library.yaml_tree import Map, Seq

if TYPE_CHECKING:
    from jsonschema_rs import ValidationError

_ACTIONS = frozenset(verb.value for verb in Verb)
_TOGETHER = (frozenset({"loosen", "remove"}), frozenset({"fit", "tighten"}))
_LAYOUTS = ("circle", "grid", "row", "points")


def validate(data: Map, kind: Kind, file: str, *, damaged: bool = False) -> tuple[tuple[Finding, ...], frozenset[Path]]:
    """What in `data` is not as the format wants it, and the paths of those values; of missing keys the key's path.

    damaged: some of the file could not be read, and so nothing is reported as missing.
    """
    check = validator(kind)
    try:
        if check.is_valid(data):
            return (), frozenset()
        errors = list(check.iter_errors(data))
    except ValueError:  # a number that remembers how it was written is foreign to the validator
        errors = list(check.iter_errors(_plain(data)))
    report = _Report(data, kind, file)
    for error in _worth_reporting(errors, damaged=damaged):
        report.add(error)
    return tuple(report.findings.values()), frozenset(report.bad)


def _plain(value: object) -> object:
    """A copy in which a number is nothing but a number."""
    match value:
        case Map():
            return {key: _plain(each) for key, each in value.items()}
        case Seq():
            return [_plain(each) for each in value]
        case bool():
            return value
        case int():
            return int(value)
        case float():
            return float(value)
        case _:
            return value


def _kind_of(error: "ValidationError") -> str:
    return type(error.kind).__name__.removeprefix("ValidationErrorKind_")


def _worth_reporting(errors: Iterable["ValidationError"], *, damaged: bool) -> Iterator["ValidationError"]:
    """The errors without those that only follow from others: one mistake, one finding."""
    errors = list(errors)
    strangers: dict[Path, list[str]] = {}
    for error in errors:
        if _kind_of(error) == "AdditionalProperties":
            strangers[tuple(error.instance_path)] = error.kind.unexpected
    no_level = {path for error in errors if (path := _without_level(error)) is not None}
    for error in errors:
        path = tuple(error.instance_path)
        match _kind_of(error):
            case "Required":
                mistyped = any(
                    error.kind.property in near(key, [error.kind.property]) for key in strangers.get(path, ())
                )
                follows = "else" in error.schema_path and path in no_level
                if damaged or mistyped or follows:
                    continue
            case "AnyOf" if damaged or path in strangers:
                continue
        yield error


def _without_level(error: "ValidationError") -> Path | None:
    """The path of a notice whose level is missing or unknown, where that is what the error is about."""
    path = tuple(error.instance_path)
    if _kind_of(error) == "Required" and error.kind.property == "level":
        return path
    return path[:-1] if path and path[-1] == "level" else None


class _Report:
    """Turns errors into findings, each at the place where its cause is written."""

    def __init__(self, data: Map, kind: Kind, file: str) -> None:
        self.data = data
        self.kind = kind
        self.file = file
        self.findings: dict[tuple[Place, str, str], Finding] = {}
        self.bad: set[Path] = set()

    def add(self, error: "ValidationError") -> None:
        """Report one error."""
        path: Path = tuple(error.instance_path)
        value = self._at(path)
        fault = Fault(self.kind, path, value, None)
        match _kind_of(error):
            case "AdditionalProperties":
                for key in error.kind.unexpected:
                    self._put(
                        "unknown-key", (*path, key), self._key_spot((*path, key)), mistakes.unknown_key(fault, key)
                    )
            case "Required":
                self._missing(fault, error)
            case "PropertyNames":
                name = str(error.kind.error.instance)
                self._put("wrong-type", (*path, name), self._key_spot((*path, name)), mistakes.wrong_name(fault, name))
            case "AnyOf":
                self._put("missing-key", (*path, "do"), self._own_spot(path), mistakes.no_action(fault))
            case "OneOfMultipleValid" | "OneOfNotValid":
                self._not_one(fault)
            case _:
                self._put("wrong-type", path, self._value_spot(path), _words(fault, error))

    def _missing(self, fault: Fault, error: "ValidationError") -> None:
        key = error.kind.property
        if "dependentRequired" in error.schema_path:
            needs = wanted(self.kind, fault.path).first("dependentRequired") or {}
            present = next(each for each, others in needs.items() if key in others and each in (fault.value or ()))  # type: ignore[operator]
            words = mistakes.companion_missing(fault, key, present)
            self._put("missing-key", (*fault.path, present), self._key_spot((*fault.path, present)), words)
        else:
            self._put("missing-key", (*fault.path, key), self._own_spot(fault.path), mistakes.missing_key(fault, key))

    def _not_one(self, fault: Fault) -> None:
        keys = fault.value if isinstance(fault.value, Mapping) else {}
        if fault.path[-1:] == ("pattern",):
            found = [key for key in keys if key in _LAYOUTS]
            words = mistakes.two_layouts(fault, found)
            return self._put("wrong-type" if found else "missing-key", fault.path, self._value_spot(fault.path), words)
        actions = [key for key in keys if key in _ACTIONS]
        first = actions[0]
        fellows = next((pair for pair in _TOGETHER if first in pair), frozenset({first}))
        second, *more = (key for key in actions if key not in fellows)
        self.bad.update((*fault.path, key) for key in more)
        path = (*fault.path, second)
        because = Because(
            message=f'"{first}" is the first action', place=Place(self.file, *self._key_spot((*fault.path, first)))
        )
        return self._put(
            "wrong-type", path, self._key_spot(path), mistakes.two_actions(fault, first, second), because=(because,)
        )

    def _put(self, check: str, path: Path, spot: Spot, words: Words, *, because: tuple[Because, ...] = ()) -> None:
        self.bad.add(path)
        place = Place(self.file, *spot)
        finding = Finding(
            check=check,
            severity=Severity.ERROR,
            place=place,
            message=words.message,
            because=because,
            remedy=words.remedy,
        )
        # What an alias repeats is reported once, where it is written.
        key = str(path[-1]) if check == "missing-key" and path else ""
        self.findings.setdefault((place, check, key), finding)

    def _at(self, path: Path) -> object:
        value: object = self.data
        for part in path:
            value = value[part]  # type: ignore[index]
        return value

    def _value_spot(self, path: Path) -> Spot:
        if not path:
            return (self.data.line, self.data.column)
        above, last = self._at(path[:-1]), path[-1]
        if isinstance(above, Map):
            key_spot, value_spot = above.spots[str(last)]
            return key_spot if above[str(last)] is None else value_spot
        return above.spots[int(last)] if isinstance(above, Seq) else (1, 1)

    def _key_spot(self, path: Path) -> Spot:
        above = self._at(path[:-1])
        return above.spots[str(path[-1])][0] if isinstance(above, Map) else self._value_spot(path[:-1])

    def _own_spot(self, path: Path) -> Spot:
        """Where the name of a map is written, or where it begins if it has none."""
        return self._key_spot(path) if path and isinstance(path[-1], str) else self._value_spot(path)


def _words(fault: Fault, error: "ValidationError") -> Words:
    detail = error.kind
    match _kind_of(error):
        case "Type":
            return mistakes.wrong_type(Fault(fault.kind, fault.path, fault.value, tuple(detail.types)))
        case "Pattern":
            return mistakes.wrong_text(fault)
        case "Enum":
            return mistakes.wrong_choice(fault, detail.options)
        case "Minimum":
            return mistakes.out_of_bounds(fault, detail.limit, "least")
        case "Maximum":
            return mistakes.out_of_bounds(fault, detail.limit, "most")
        case "FalseSchema":
            return mistakes.one_too_many(fault)
        case _:
            return mistakes.wrong_length(fault)
