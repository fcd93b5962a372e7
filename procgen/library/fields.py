"""A map of the author's being read into a record: one method for each shape that a value can have.

A value that cannot be read is reported once, at its own place, and counts as not given; its key is then in `faulty`,
so that no check calls missing what is only broken.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from procgen.finding import Place
from procgen.library.condition import ALWAYS, Condition, ConditionError, misfit, names, parse_condition
from procgen.library.near import offer
from procgen.library.origin import Accepted, Address, Citation, ItemId, Kind, Origin, Prose, SourceId, Spot
from procgen.library.references import VALUES, references
from procgen.library.resolver import ItemScope, Mention, Resolver
from procgen.library.yaml_tree import Map, Seq
from procgen.measure.error import MeasureError
from procgen.measure.interval import Interval, parse_interval
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.measure.torque import Torque, TorqueError, parse_torque
from procgen.measure.torque_notation import read_stages
from procgen.measure.unit_table import Dimension


@dataclass(frozen=True, slots=True)
class Reader:
    """What the reading of every map in one file needs: the file, who is being read, what names mean here."""

    resolver: Resolver
    file: str
    by: Address
    scope: ItemScope

    def naming(self, by: Address) -> "Reader":
        """The same, for another record of the file."""
        return replace(self, by=by)


class Fields:
    """A map and the record that it becomes."""

    __slots__ = ("data", "faulty", "own", "reader")

    def __init__(self, reader: Reader, data: Map, own: Spot | None = None) -> None:
        """Read `data`; `own` is where its name is written, where it has one."""
        self.reader = reader
        self.data = data
        self.own = own or (data.line, data.column)
        self.faulty = set(data.lost)

    # Where things are

    @property
    def origin(self) -> Origin:
        """Where the record and its values are written."""
        return Origin(self.reader.file, self.own, self.data.spots)

    def at(self, key: str) -> Place:
        """Where the value of `key` is written, or the record's own place."""
        spots = self.data.spots.get(key)
        return Place(self.reader.file, *(spots[1] if spots else self.own))

    def each(self, key: str) -> Iterator[tuple[object, Place]]:
        """The values of `key`, one or a list, each with its place."""
        value = self.data.get(key)
        if isinstance(value, Seq):
            for part, spot in zip(value, value.spots, strict=True):
                if part is not None:
                    yield part, Place(self.reader.file, *spot)
        elif value is not None:
            yield value, self.at(key)

    def mention(self, how: str, place: Place) -> Mention:
        """This record naming something."""
        return Mention(self.reader.by, how, place)

    def fail(self, check: str, key: str, place: Place, message: str, remedy: str = "") -> None:
        """Report the value of `key` as unreadable."""
        self.reader.resolver.report(check, place, message, remedy=remedy)
        self.faulty.add(key)

    # Plain values

    def text(self, key: str, default: str = "") -> str:
        """A short text."""
        value = self.data.get(key)
        return default if value is None else str(value)

    def texts(self, key: str) -> tuple[str, ...]:
        """One text or several."""
        if key not in self.data:
            return ()
        return tuple(str(value) for value, _ in self.each(key))

    def flag(self, key: str, *, default: bool = False) -> bool:
        """true or false."""
        value = self.data.get(key)
        return value if isinstance(value, bool) else default

    def whole(self, key: str, default: int) -> int:
        """A whole number."""
        value = self.data.get(key)
        return value if isinstance(value, int) else default

    def number(self, key: str) -> float | None:
        """A number."""
        value = self.data.get(key)
        return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None

    def day(self, key: str) -> date | None:
        """An ISO 8601 date."""
        value = self.data.get(key)
        if value is None:
            return None
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            self.fail(
                "wrong-type", key, self.at(key), f'"{value}" is no date.', "write it as year-month-day: 2026-04-01"
            )
            return None

    def prose(self, key: str) -> Prose | None:
        """Markdown, with the names in it checked."""
        value = self.data.get(key)
        return None if value is None else self.as_prose(str(value), self.at(key))

    def as_prose(self, text: str, place: Place) -> Prose:
        """`text` as Markdown, with the names in it checked."""
        for reference in references(text):
            self._reference(reference.name, reference.value, place)
        return Prose(text, place)

    def _reference(self, name: str, value: str, place: Place) -> None:
        resolver, scope = self.reader.resolver, self.reader.scope
        if value and value not in VALUES:
            resolver.unknown(value, f'value of "{name}"', place, VALUES, "use one of " + ", ".join(VALUES))
        mention = self.mention("text", place)
        declared = scope.find(name)
        if declared:
            resolver.note(declared.address, mention)
        elif name in scope.implied:
            resolver.note(Address(scope.implied[name], name, scope.implies), mention)
        else:
            kinds = (Kind.TOOL, Kind.PART, Kind.PROCEDURE, Kind.MACHINE, Kind.NOTICE, Kind.SOURCE, Kind.TERM)
            for kind in kinds:
                if name in resolver.names.shop[kind]:
                    return resolver.note(resolver.names.shop[kind][name].address, mention)
            if not (scope.broken or scope.implies):
                known = {*scope.known(), *(each for kind in kinds for each in resolver.names.shop[kind])}
                otherwise = "mend the name, or write {{ for a plain brace"
                resolver.unknown(name, "name in the text", place, known, otherwise)
        return None

    # Measured values

    def quantity(self, key: str, dimension: Dimension | None = None) -> Quantity | None:
        """A quantity, of `dimension` where one is given."""
        value = self.data.get(key)
        return None if value is None else self.as_quantity(key, value, self.at(key), dimension)

    def as_quantity(self, key: str, value: object, place: Place, dimension: Dimension | None) -> Quantity | None:
        """`value`, written under `key` at `place`, as a quantity."""
        try:
            return parse_quantity(str(value), dimension=dimension)
        except MeasureError as error:
            self.fail("bad-quantity", key, place, f"`{key}`: {error}")
            return None

    def minutes(self, key: str) -> float | None:
        """A duration in minutes."""
        quantity = self.quantity(key, Dimension.TIME)
        if quantity is None:
            return None
        return quantity.middle_in("min")

    def torque(self, key: str = "torque") -> Torque | None:
        """A torque in any of its notations."""
        value = self.data.get(key)
        if value is None:
            return None
        try:
            return parse_torque(value)
        except TorqueError as error:
            self.fail("bad-torque", key, self._inside(key, error), f"`{key}`: {error}")
            return None

    def stage_places(self, key: str = "torque") -> tuple[Place, ...]:
        """Where each stage of a torque is written; none where the torque cannot be read."""
        if key in self.faulty:
            return ()
        return tuple(place for part, place in self.each(key) for _ in read_stages(part, ()))

    def interval(self, key: str = "every") -> Interval | None:
        """How often: whichever comes first."""
        value = self.data.get(key)
        if value is None:
            return None
        try:
            return parse_interval(value)
        except MeasureError as error:
            self.fail("bad-quantity", key, self._inside(key, error), f"`{key}`: {error}")
            return None

    def _inside(self, key: str, error: MeasureError) -> Place:
        """The place of the fault in the value of `key`, as near as the error's path can be followed."""
        place, value = self.at(key), self.data.get(key)
        for number, part in enumerate(error.path, start=1):
            if isinstance(value, Map) and part in value.spots:
                key_is_at_fault = error.at_key and number == len(error.path)
                place = Place(self.reader.file, *value.spots[str(part)][0 if key_is_at_fault else 1])
                value = value[str(part)]
            elif isinstance(value, Seq) and isinstance(part, int) and part < len(value):
                place, value = Place(self.reader.file, *value.spots[part]), value[part]
            else:
                break
        return place

    def condition(self, key: str, choices: Mapping[str, tuple[bool | str, ...]]) -> Condition:
        """A condition over the `choices`, or one that always holds."""
        value = self.data.get(key)
        if value is None:
            return ALWAYS
        try:
            condition = parse_condition(str(value))
        except ConditionError as error:
            self.fail("bad-condition", key, self.at(key), f"`{key}`: {error}.")
            return ALWAYS
        fault = misfit(condition, choices)
        if fault:
            known = offer(next(iter(names(condition) - choices.keys()), ""), choices, "")
            self.fail("bad-condition", key, self.at(key), f"`{key}`: {fault}.", known)
            return ALWAYS
        return condition

    # Names

    def items(self, key: str, *kinds: Kind) -> tuple[ItemId, ...]:
        """Items of the machine, of the given kinds (any where none is given)."""
        if key not in self.data:
            return ()
        found = (self.item(str(value), key, place, *kinds) for value, place in self.each(key))
        return tuple(item for item in found if item)

    def item(self, name: str, how: str, place: Place, *kinds: Kind) -> ItemId | None:
        """One item by name."""
        found = self.reader.resolver.item(name, kinds, self.reader.scope, self.mention(how, place))
        if found is None:
            self.faulty.add(how)
            return None
        return ItemId(found)

    def shop(self, key: str, kind: Kind) -> tuple[str, ...]:
        """Shop-wide things of one kind."""
        if key not in self.data:
            return ()
        found = (self.shop_name(str(value), kind, key, place) for value, place in self.each(key))
        return tuple(name for name in found if name)

    def shop_one(self, key: str, kind: Kind) -> str | None:
        """One shop-wide thing of one kind."""
        return next(iter(self.shop(key, kind)), None)

    def shop_name(self, name: str, kind: Kind, how: str, place: Place) -> str | None:
        """One shop-wide thing by name."""
        found = self.reader.resolver.shop(name, kind, self.mention(how, place))
        if found is None:
            self.faulty.add(how)
        return found

    def citation(self, key: str = "source") -> Citation | None:
        """A source and a place in it: `maker-3 p. 6-14`."""
        value = self.data.get(key)
        if value is None:
            return None
        name, _, locator = str(value).strip().partition(" ")
        place = self.at(key)
        source = self.shop_name(name, Kind.SOURCE, key, place)
        return Citation(SourceId(source), locator.strip(), place) if source else None

    def accepted(self) -> tuple[Accepted, ...]:
        """The findings that this record accepts, each for everything that is written in it."""
        value = self.data.get("accepting")
        if not isinstance(value, Map):
            return ()
        begins, ends = Place(self.reader.file, *self.own), Place(self.reader.file, *_last_spot(self.data))
        return tuple(
            Accepted(
                check=check,
                reason=str(reason),
                place=Place(self.reader.file, *value.spots[check][0]),
                begins=begins,
                ends=ends,
            )
            for check, reason in value.items()
        )

    # Maps inside

    def inside(self, key: str) -> "Fields | None":
        """The map that is the value of `key`."""
        value = self.data.get(key)
        return Fields(self.reader, value, self.data.spots[key][1]) if isinstance(value, Map) else None

    def listed(self, key: str) -> Iterator["Fields"]:
        """The maps in the list that is the value of `key`."""
        for value, place in self.each(key):
            if isinstance(value, Map):
                yield Fields(self.reader, value, (place.line, place.column))

    def named(self, key: str) -> Iterator[tuple[str, "Fields"]]:
        """The maps under the names in the value of `key`; a name with nothing, or with a text behind it, is a map too.

        The text is then what `meaning` would be: a term may be given in short.
        """
        value = self.data.get(key)
        if isinstance(value, Map):
            for name, entry in value.items():
                spot = value.spots[name][0]
                yield name, Fields(self.reader, entry if isinstance(entry, Map) else _in_short(value, name), spot)


def _in_short(parent: Map, name: str) -> Map:
    entry = Map(*parent.spots[name][1])
    if isinstance(parent[name], str):
        entry["meaning"] = parent[name]
        entry.spots["meaning"] = parent.spots[name]
    return entry


def _last_spot(value: object) -> Spot:
    """The last place at which something is written inside `value`."""
    last: Spot = (0, 0)
    waiting: list[object] = [value]
    while waiting:
        each = waiting.pop()
        if isinstance(each, Map):
            last = max([last, *(spots[1] for spots in each.spots.values())])
            waiting.extend(each.values())
        elif isinstance(each, Seq):
            last = max([last, *each.spots])
            waiting.extend(each)
    return last
