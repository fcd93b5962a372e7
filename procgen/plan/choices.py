"""What varies in a procedure (options, variants, outcomes) as variables of truth tables, and back as conditions."""

from collections.abc import Mapping

from procgen.library.condition import ALWAYS, NEVER, All, Any, Condition, Is, Not, both
from procgen.plan.cases import ALL, NONE, UNKNOWN, Cases, variable

Value = bool | str
Assignment = dict[str, Value]

_PATIENCE = 20_000
"""How many partial assignments are tried for the smallest one before a merely irreducible one is taken."""


class Choices:
    """The choices of one plan. Names are added while it is made; what was computed before stays valid."""

    def __init__(self, values: Mapping[str, tuple[Value, ...]] | None = None) -> None:
        self.values: dict[str, tuple[Value, ...]] = {}
        self._tables: dict[str, dict[Value, Cases]] = {}
        self._name_of: list[str] = []
        self._numbers: dict[str, tuple[int, ...]] = {}
        self._known: dict[int, tuple[Condition, Cases]] = {}
        for name, each in (values or {}).items():
            self.add(name, each)

    def add(self, name: str, values: tuple[Value, ...]) -> None:
        """One more choice. The first of `values` is written 0 in binary, and codes too high stand for the last one."""
        self.values[name] = values
        width = max(len(values) - 1, 0).bit_length()
        first = len(self._name_of)
        self._name_of.extend([name] * width)
        self._numbers[name] = tuple(range(first, first + width))
        tables = dict.fromkeys(values, NONE)
        for code in range(1 << width):
            table = ALL
            for digit in range(width):
                bit = variable(first + digit)
                table = table & (bit if code >> digit & 1 else ~bit)
            value = values[min(code, len(values) - 1)]
            tables[value] = tables[value] | table
        self._tables[name] = tables

    def where(self, name: str, value: Value) -> Cases:
        """Where the choice `name` has that value."""
        return self._tables[name].get(value, NONE)

    def cases(self, condition: Condition) -> Cases:
        """Where `condition` holds."""
        if isinstance(condition, All) and not condition.of:
            return ALL
        known = self._known.get(id(condition))
        if known is None:
            # The condition is kept with its table: an identity means nothing once its object is gone.
            known = self._known[id(condition)] = (condition, self._cases(condition))
        return known[1]

    def _cases(self, condition: Condition) -> Cases:
        match condition:
            case Is(name, value):
                return self.where(name, value)
            case Not(of):
                return ~self.cases(of)
            case All(of):
                table = ALL
                for part in of:
                    table = table & self.cases(part)
                return table
            case Any(of):
                table = NONE
                for part in of:
                    table = table | self.cases(part)
                return table

    def names(self, cases: Cases) -> tuple[str, ...]:
        """The choices that `cases` depends on, in the order in which they were added."""
        return () if cases is UNKNOWN else tuple(dict.fromkeys(self._name_of[number] for number in cases.on))

    def smallest(self, cases: Cases, within: Cases) -> Assignment:
        """The fewest choices that lead into `cases` whatever the others are, and touch `within`, a part of it.

        Neither is empty or UNKNOWN. Of several it takes the one whose names come first. Past a few thousand trials, the
        first irreducible one.
        """
        return self._cube(cases, within)

    def condition(self, cases: Cases, within: Cases) -> Condition:
        """A short condition that tells `cases` from the rest of `within`. UNKNOWN gives ALWAYS."""
        if cases is UNKNOWN or cases.covers(within):
            return ALWAYS
        left = cases & within
        allowed = cases | ~within
        parts: list[Condition] = []
        while left is not NONE:
            cube = self._cube(allowed, left)
            parts.append(_conjunction(cube))
            left = left - self.table(cube)
        return (parts[0] if len(parts) == 1 else Any(tuple(parts))) if parts else NEVER

    def _cube(self, cases: Cases, wanted: Cases) -> Assignment:
        """The smallest partial assignment that lies wholly in `cases` and touches `wanted`."""
        names = self.names(cases)
        search = _Search(self, names)
        for size in range(len(names) + 1):
            found = search.within(cases, wanted, size)
            if found is not None:
                return found
            if search.tried > _PATIENCE:
                break
        return self._irreducible(cases, wanted, names)

    def _irreducible(self, cases: Cases, wanted: Cases, names: tuple[str, ...]) -> Assignment:
        """A whole assignment in `wanted`, less every choice that it can do without."""
        cube: Assignment = {}
        for name in names:
            for value in self.values[name]:
                narrowed = wanted & self.where(name, value)
                if narrowed is not NONE:
                    wanted = narrowed
                    cube[name] = value
                    break
        for name in names:
            fewer = {other: value for other, value in cube.items() if other != name}
            if cases.covers(self.table(fewer)):
                cube = fewer
        return cube

    def settle(self, cases: Cases, name: str, value: Value) -> Cases:
        """`cases` where it is known that the choice `name` is `value`."""
        code = self.values[name].index(value)
        for number in self._numbers[name]:
            cases = cases.given(number, bool(code & 1))
            code >>= 1
        return cases

    def table(self, cube: Mapping[str, Value]) -> Cases:
        """Where all of these choices are made."""
        table = ALL
        for name, value in cube.items():
            table = table & self.where(name, value)
        return table


class _Search:
    """Looks for partial assignments, one choice after the other, and stops where nothing can come of it."""

    def __init__(self, choices: Choices, names: tuple[str, ...]) -> None:
        self.choices = choices
        self.names = names
        self.tried = 0
        self.widest = max((len(choices.values[name]) - 1 for name in names), default=0).bit_length()

    def within(self, cases: Cases, wanted: Cases, size: int, start: int = 0) -> Assignment | None:
        """Choices for at most `size` of the names from `start` on that fill `cases` and leave something of `wanted`."""
        self.tried += 1
        if wanted is NONE or cases is NONE:
            return None
        if cases is ALL:
            return {}
        if cases.bits.bit_count() << size * self.widest < 1 << len(cases.on):
            return None  # fewer cases than are left open by fixing that many choices
        for index in range(start, len(self.names)):
            name = self.names[index]
            for value in self.choices.values[name]:
                settle = self.choices.settle
                found = self.within(settle(cases, name, value), settle(wanted, name, value), size - 1, index + 1)
                if found is not None:
                    return {name: value, **found}
        return None


def _conjunction(cube: Assignment) -> Condition:
    condition: Condition = ALWAYS
    for name, value in cube.items():
        condition = both(condition, Not(Is(name)) if value is False else Is(name, value))
    return condition
