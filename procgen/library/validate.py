"""Holds a file's tree against the schema of its kind, and reports what does not fit where it is written."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from procgen.finding import Because, Finding, Place, Severity
from procgen.library import mistakes
from procgen.library.mistakes import Fault, Words
from procgen.library.near import near
from procgen.library.origin import Kind
from procgen.library.phrases import Path
from procgen.library.schema import Refusal, refusals, wanted
from procgen.library.state import Verb
from procgen.library.yaml_tree import Map, Seq, Spot

_ACTIONS = frozenset(verb.value for verb in Verb)
_TOGETHER = (frozenset({"loosen", "remove"}), frozenset({"fit", "tighten"}))
_LAYOUTS = ("circle", "grid", "row", "points")
_MOST = 500
"""Mistakes reported in one file; nobody mends more at a time."""


def validate(data: Map, kind: Kind, file: str, *, damaged: bool = False) -> tuple[tuple[Finding, ...], frozenset[Path]]:
    """What in `data` is not as the format wants it, and the paths of those values; of missing keys the key's path.

    damaged: some of the file could not be read, and so nothing is reported as missing.
    """
    try:
        refused = refusals(data, kind)
    except ValueError:  # a number that remembers how it was written is foreign to the validator
        refused = refusals(_plain(data), kind)
    if not refused:
        return (), frozenset()
    report = _Report(data, kind, file)
    for refusal in _worth_reporting(refused, damaged=damaged):
        report.add(refusal)
    return tuple(islice(report.findings.values(), _MOST)), frozenset(report.bad)


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


def _worth_reporting(refused: Sequence[Refusal], *, damaged: bool) -> Iterator[Refusal]:
    """What is refused, without what only follows from something else: one mistake, one finding."""
    strangers = {each.path: each.detail[:_MOST] for each in refused if each.rule == "additionalProperties"}
    no_level = {path for each in refused if (path := _without_level(each)) is not None}
    halves = {each.path for each in refused if "dependentRequired" in each.because_of}
    of_wrong_type = {each.path for each in refused if each.rule == "type"}
    for each in refused:
        match each.rule:
            case rule if rule != "type" and each.path in of_wrong_type:
                continue
            case "required":
                mistyped = any(each.detail in near(key, [each.detail]) for key in strangers.get(each.path, ()))
                follows = "else" in each.because_of and each.path in no_level
                if damaged or mistyped or follows:
                    continue
            case "anyOf" | "oneOf none" if damaged or each.path in strangers or each.path in halves:
                continue
            case "propertyNames" if not each.detail.strip() and damaged:
                continue
        yield each


def _without_level(refusal: Refusal) -> Path | None:
    """The path of a notice whose level is missing or unknown, where that is what is refused."""
    if refusal.rule == "required" and refusal.detail == "level":
        return refusal.path
    return refusal.path[:-1] if refusal.path[-1:] == ("level",) else None


class _Report:
    """Turns refusals into findings, each at the place where its cause is written."""

    def __init__(self, data: Map, kind: Kind, file: str) -> None:
        self.data = data
        self.kind = kind
        self.file = file
        self.findings: dict[tuple[Place, str, str], Finding] = {}
        self.bad: set[Path] = set()

    def add(self, refusal: Refusal) -> None:
        """Report one refusal."""
        path = refusal.path
        fault = Fault(self.kind, path, self._at(path), refusal.detail)
        match refusal.rule:
            case "additionalProperties":
                self._unknown(fault)
            case "required":
                self._missing(fault, of_another="dependentRequired" in refusal.because_of)
            case "propertyNames":
                name = (*path, str(refusal.detail))
                self._put("wrong-type", name, self._key_spot(name), mistakes.wrong_name(str(refusal.detail)))
            case "anyOf":
                self._put("missing-key", (*path, "do"), self._own_spot(path), mistakes.no_action(fault))
            case "oneOf several" | "oneOf none" if path[-1:] == ("pattern",):
                self._layout(fault)
            case "oneOf several":
                self._two_actions(fault)
            case _:
                self._put("wrong-type", path, self._value_spot(path), _words(refusal.rule, fault))

    def _unknown(self, fault: Fault) -> None:
        self.bad.update((*fault.path, key) for key in fault.detail[_MOST:])
        for key in fault.detail[:_MOST]:
            if len(self.findings) < _MOST:
                path = (*fault.path, key)
                self._put("unknown-key", path, self._key_spot(path), mistakes.unknown_key(fault, key))

    def _missing(self, fault: Fault, *, of_another: bool) -> None:
        key = fault.detail
        if of_another:
            needs = wanted(self.kind, fault.path).first("dependentRequired") or {}
            keys = fault.value if isinstance(fault.value, Mapping) else {}
            present = next(each for each, others in needs.items() if key in others and each in keys)
            path = (*fault.path, present)
            self._put("missing-key", path, self._key_spot(path), mistakes.companion_missing(fault, key, present))
        else:
            self._put("missing-key", (*fault.path, key), self._own_spot(fault.path), mistakes.missing_key(fault, key))

    def _layout(self, fault: Fault) -> None:
        keys = fault.value if isinstance(fault.value, Mapping) else {}
        found = [key for key in keys if key in _LAYOUTS]
        words = mistakes.not_one_layout(fault, found)
        self._put("wrong-type" if found else "missing-key", fault.path, self._value_spot(fault.path), words)

    def _two_actions(self, fault: Fault) -> None:
        keys = fault.value if isinstance(fault.value, Mapping) else {}
        first, *others = (key for key in keys if key in _ACTIONS)
        fellows = next((pair for pair in _TOGETHER if first in pair), frozenset({first}))
        odd = [key for key in others if key not in fellows]
        self.bad.update((*fault.path, key) for key in odd)
        path = (*fault.path, odd[0])
        start = Place(self.file, *self._key_spot((*fault.path, first)))
        because = (Because(message=f'"{first}" is the first action', place=start),)
        words = mistakes.two_actions(fault, first, odd[0])
        self._put("wrong-type", path, self._key_spot(path), words, because=because)

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

    # Places

    def _at(self, path: Path) -> object:
        value: object = self.data
        for part in path:
            value = value[part]  # type: ignore[index]
        return value

    def _value_spot(self, path: Path) -> Spot:
        """Where a value is written; where nothing is written after a key, the key."""
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


def _words(rule: str, fault: Fault) -> Words:
    if rule == "type" or fault.value is None:
        return mistakes.wrong_type(fault)
    match rule:
        case "pattern":
            return mistakes.wrong_text(fault)
        case "enum":
            return mistakes.wrong_choice(fault)
        case "minimum":
            return mistakes.out_of_bounds(fault, "least")
        case "maximum":
            return mistakes.out_of_bounds(fault, "most")
        case "false":
            return mistakes.one_too_many(fault)
        case _:
            return mistakes.wrong_length(fault)
