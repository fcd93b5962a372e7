"""Sets of ways through a procedure, as truth tables: exact, and a few integer operations each.

A choice with two values is one variable; one with more is written in binary. A table has one bit for every assignment
of the variables that it depends on and of no others, so that what does not depend on a choice never pays for it.
Tables are canonical: equal sets are equal values.
"""

from dataclasses import dataclass
from functools import lru_cache

WIDEST = 16
"""The most variables that one table may depend on: 2^16 assignments. Beyond them the answer is UNKNOWN."""


@dataclass(frozen=True, slots=True)
class Cases:
    """A set of assignments."""

    on: tuple[int, ...]
    """The variables that it depends on, ascending."""
    bits: int
    """Bit i is set where the assignment i belongs to it; the first variable is the lowest digit of i."""

    def __and__(self, other: "Cases") -> "Cases":
        if self is ALL or other is NONE:
            return other
        if other is ALL or self is NONE:
            return self
        if self is UNKNOWN or other is UNKNOWN:
            return UNKNOWN
        on, mine, theirs = _joined(self, other)
        return UNKNOWN if on is None else _reduced(on, mine & theirs)

    def __or__(self, other: "Cases") -> "Cases":
        if self is NONE or other is ALL:
            return other
        if other is NONE or self is ALL:
            return self
        if self is UNKNOWN or other is UNKNOWN:
            return UNKNOWN
        on, mine, theirs = _joined(self, other)
        return UNKNOWN if on is None else _reduced(on, mine | theirs)

    def __invert__(self) -> "Cases":
        if self is UNKNOWN:
            return UNKNOWN
        if not self.on:
            return NONE if self is ALL else ALL
        return Cases(self.on, self.bits ^ _full(len(self.on)))

    def __sub__(self, other: "Cases") -> "Cases":
        if other is NONE:
            return self
        return self & ~other

    def given(self, variable: int, value: bool) -> "Cases":
        """The same set where it is known that `variable` is `value`."""
        if self is UNKNOWN or variable not in self.on:
            return self
        position = self.on.index(variable)
        bits = self.bits >> (1 << position) if value else self.bits
        on = self.on[:position] + self.on[position + 1 :]
        return _reduced(on, _gather(bits, position, len(self.on)))

    def covers(self, other: "Cases") -> bool:
        """Whether everything in `other` is in it; False where that is not known."""
        return (other - self) is NONE


NONE = Cases((), 0)
"""No way through. Every empty table is this object."""
ALL = Cases((), 1)
"""Every way through. Every full table is this object."""
UNKNOWN = Cases((-1,), 0)
"""A set that would depend on more than WIDEST variables: undecided."""


def variable(number: int) -> Cases:
    """Where variable `number` is true."""
    return Cases((number,), 0b10)


def _joined(left: Cases, right: Cases) -> tuple[tuple[int, ...] | None, int, int]:
    """Both tables over the variables of both; None in place of the variables where they are too many."""
    if left.on == right.on:
        return left.on, left.bits, right.bits
    on = tuple(sorted({*left.on, *right.on}))
    if len(on) > WIDEST:
        return None, 0, 0
    return on, _over(left, on), _over(right, on)


def _over(cases: Cases, on: tuple[int, ...]) -> int:
    """The table of `cases` over all of `on`."""
    bits, count = cases.bits, len(cases.on)
    for position, wanted in enumerate(on):
        if wanted not in cases.on:
            bits = _spread(bits, position, count)
            count += 1
    return bits


def _spread(bits: int, position: int, count: int) -> int:
    """Put a variable that changes nothing in at `position` of a table over `count` variables.

    Blocks of 2^position bits move apart to twice their distance, the upper half of the table first, and are doubled.
    """
    for level in range(count - 1, position - 1, -1):
        bits = (bits | bits << (1 << level)) & _mask(level, count + 1)
    return bits | bits << (1 << position)


def _gather(bits: int, position: int, count: int) -> int:
    """The half of a table over `count` variables in which the one at `position` is false, without that variable."""
    bits &= _mask(position, count)
    for level in range(position, count - 1):
        bits = (bits | bits >> (1 << level)) & _mask(level + 1, count)
    return bits


def _reduced(on: tuple[int, ...], bits: int) -> Cases:
    """The canonical table: variables that change nothing are left out."""
    if bits == 0:
        return NONE
    if bits == _full(len(on)):
        return ALL
    for position in range(len(on) - 1, -1, -1):
        count = len(on)
        if not ((bits >> (1 << position)) ^ bits) & _mask(position, count):
            bits = _gather(bits, position, count)
            on = on[:position] + on[position + 1 :]
    return Cases(on, bits)


def _full(count: int) -> int:
    return (1 << (1 << count)) - 1


@lru_cache(maxsize=1024)
def _mask(level: int, count: int) -> int:
    """Over `count` variables the assignments in which the one at `level` is false: runs of 2^level ones and zeros."""
    return _full(count) // ((1 << (1 << level)) + 1)
