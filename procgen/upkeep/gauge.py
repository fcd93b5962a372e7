"""How much of an interval is used, as a straight line over the days; and when that makes work due soon, or overdue.

Due soon: no more than 90 days are left, or no more than a tenth of the interval; but never before three quarters of it
are used, or work done every month would always be due soon. Common practice, no source.
"""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction

from procgen.upkeep.meter import days_later

SOON_DAYS = 90
SOON_SHARE = Fraction(9, 10)
NEVER_SOON_BEFORE = Fraction(3, 4)


class Standing(StrEnum):
    """How work stands."""

    OVERDUE = "overdue"
    """A limit is reached: from the day on which it falls due."""
    NEVER_DONE = "never done"
    """No entry, and no day on which the machine came into service: nothing to count from."""
    SOON = "due soon"
    UNKNOWN = "unknown"
    """No limit of it can be told."""
    FINE = "fine"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """How much of a limit is used, from a day on: used + days × per_day."""

    start: date
    used: Fraction
    """On that day: 0 none of it, 1 all of it; more where it is overdue."""
    per_day: Fraction
    """0 or more."""

    def on(self, day: date) -> Fraction:
        """How much is used on a day; days before the start count as the start."""
        return self.used + self.per_day * max((day - self.start).days, 0)

    def day_of(self, used: Fraction) -> date | None:
        """The first day on which so much is used, no earlier than the start; None: never."""
        if used <= self.used:
            return self.start
        return days_later(self.start, (used - self.used) / self.per_day) if self.per_day else None

    def in_whole_numbers(self) -> tuple[int, int, int]:
        """(p, q, r) so that (p + q · days) / r is used: exact for a program that has no fractions."""
        whole = math.lcm(self.used.denominator, self.per_day.denominator)
        return int(self.used * whole), int(self.per_day * whole), whole


def soon_from(gauge: Gauge, due_on: date | None) -> date | None:
    """The day from which a limit that falls due on `due_on` (None: never, or nobody knows) is due soon."""
    enough = gauge.day_of(NEVER_SOON_BEFORE)
    by_share = gauge.day_of(SOON_SHARE)
    by_days = date.min + timedelta(days=max((due_on - date.min).days - SOON_DAYS, 0)) if due_on else None
    near = min((day for day in (by_share, by_days) if day is not None), default=None)
    return None if near is None or enough is None else max(near, enough)


def standing_on(day: date, *, due_on: date | None, soon_on: date | None, otherwise: Standing) -> Standing:
    """How work stands on a day. The manual's `due.js` has the same rule, for the reader's own day."""
    if due_on is not None and day >= due_on:
        return Standing.OVERDUE
    if soon_on is not None and day >= soon_on:
        return Standing.SOON
    return otherwise
