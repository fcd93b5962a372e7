"""One limit of an interval, measured on one machine: how much of it is used, and on which day it is reached."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from procgen.measure.conversion import conversion
from procgen.measure.interval import CalendarLimit, Limit, Meter, MeterLimit, add_calendar
from procgen.measure.unit_table import unit
from procgen.upkeep.gauge import Gauge, soon_from
from procgen.upkeep.history import Since
from procgen.upkeep.meter import Track

METER_OF = {"hours": Meter.HOURS, "km": Meter.KILOMETRES, "mi": Meter.MILES, "cycles": Meter.CYCLES}
"""What a machine's `meter` counts, in the words of its file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EveryNth:
    """At every nth time of other work."""

    of: str
    """Id of the other work."""
    n: int
    text: str
    """For print: "every 2nd Timing belt"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitUse:
    """How far one limit is used."""

    limit: Limit | EveryNth
    gauge: Gauge | None
    """None where it cannot be told; `trouble` says why."""
    due_on: date | None = None
    """The day on which it is reached, or was; None where it never will be, or nobody knows when."""
    soon_on: date | None = None
    """The day from which it is due soon."""
    trouble: str = ""
    """Why it cannot be told, or not in full: a half sentence."""

    @property
    def text(self) -> str:
        """The limit for print: "1 500 h"."""
        return self.limit.text

    def used_on(self, day: date) -> Fraction | None:
        """How much of it is used: 0 nothing, 1 all; None where nobody knows."""
        return self.gauge.on(day) if self.gauge else None


def measured(limit: Limit, since: Since, track: Track, meter: str, times: int = 1) -> LimitUse:
    """A limit, or so many times it, counted from `since`.

    meter: what the machine's own meter counts: hours, km, mi, cycles or none.
    """
    if isinstance(limit, CalendarLimit):
        return _by_calendar(limit, since, times)
    own = METER_OF.get(meter)
    if own is None:
        return LimitUse(limit=limit, gauge=None, trouble="the machine has no meter")
    factor = factor_between(limit.meter, own)
    if factor is None:
        return LimitUse(limit=limit, gauge=None, trouble=f"the machine's meter counts {meter}")
    return _by_meter(limit, limit.amount * factor * times, since, track)


def factor_between(limit: Meter, own: Meter) -> Fraction | None:
    """How many of the machine's unit make one of the limit's; None where they count different things."""
    if limit is own:
        return Fraction(1)
    if {limit, own} == {Meter.KILOMETRES, Meter.MILES}:
        return conversion(unit(limit), unit(own)).slope
    return None


def _by_calendar(limit: CalendarLimit, since: Since, times: int) -> LimitUse:
    whole = CalendarLimit(amount=limit.amount * times, unit=limit.unit, text=limit.text)
    due_on = add_calendar(since.on, whole)
    gauge = Gauge(start=since.on, used=Fraction(0), per_day=Fraction(1, max((due_on - since.on).days, 1)))
    return LimitUse(limit=limit, gauge=gauge, due_on=due_on, soon_on=soon_from(gauge, due_on))


def _by_meter(limit: MeterLimit, amount: Fraction, since: Since, track: Track) -> LimitUse:
    if since.meter is None or track.latest is None:
        return LimitUse(limit=limit, gauge=None, trouble="no reading of the meter tells")
    start = max(since.on, track.noted[-1].on)
    now = track.at(start)
    used = Fraction(0) if now is None else max(now - since.meter, Fraction(0)) / amount
    gauge = Gauge(start=start, used=used, per_day=(track.rate or Fraction(0)) / amount)
    due_on = track.day_of(since.meter + amount) if used >= 1 else gauge.day_of(Fraction(1))
    trouble = "" if track.rate is not None else "too few readings of the meter to tell how fast it runs"
    return LimitUse(limit=limit, gauge=gauge, due_on=due_on, soon_on=soon_from(gauge, due_on), trouble=trouble)
