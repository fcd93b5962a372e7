"""Work that is due at every nth time of other work: "the rollers with every second belt".

It is counted in intervals of the work that has an interval of its own. Times of the other work are counted after the
day on which the nth work was last done itself, so doing both together starts a new count.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from procgen.library.machine import ScheduleItem
from procgen.measure.interval import Interval
from procgen.upkeep.gauge import Gauge, soon_from
from procgen.upkeep.history import History, Since
from procgen.upkeep.limits import EveryNth, LimitUse, measured


@dataclass(frozen=True, slots=True, kw_only=True)
class _Count:
    """How many intervals of the base work are left, and since when the present one runs."""

    base: ScheduleItem
    every: Interval
    since: Since | None
    left: int
    """Whole intervals from `since` on; 0 where the nth time has been."""
    whole: int
    """How many make one round."""
    reached: date | None = None
    """The day of the nth time, where that has been."""


def nth_use(item: ScheduleItem, history: History) -> LimitUse:
    """The `every-nth` of an item, measured."""
    of = history.machine.schedule[item.nth_of]
    limit = EveryNth(of=item.nth_of, n=item.nth, text=f"every {ordinal(item.nth)} {of.title}")
    count = _count(item, history, frozenset())
    if count is None:
        return LimitUse(limit=limit, gauge=None, trouble=f"{of.title} has no interval that can be counted")
    if count.reached is not None:
        gauge = Gauge(start=count.reached, used=Fraction(1), per_day=Fraction(0))
        return LimitUse(limit=limit, gauge=gauge, due_on=count.reached, soon_on=count.reached)
    if count.since is None:
        return LimitUse(limit=limit, gauge=None, trouble=f"nothing tells when {of.title} was last done")
    return _first_of(limit, count, list(_of_base(count, count.since, history)))


def _of_base(count: _Count, since: Since, history: History) -> Iterator[LimitUse]:
    meter = history.machine.meter
    return (measured(limit, since, history.track, meter, count.left) for limit in count.every.limits)


def _first_of(limit: EveryNth, count: _Count, uses: list[LimitUse]) -> LimitUse:
    known = [use for use in uses if use.gauge]
    if not known:
        return LimitUse(limit=limit, gauge=None, trouble=next(use.trouble for use in uses))
    first = min(known, key=lambda use: use.due_on or date.max)
    assert first.gauge is not None  # noqa: S101 - `known` has no others
    # The round is `whole` intervals, of which `left` are still measured.
    share = Fraction(count.left, count.whole)
    gauge = replace(first.gauge, used=1 - share + first.gauge.used * share, per_day=first.gauge.per_day * share)
    return LimitUse(
        limit=limit,
        gauge=gauge,
        due_on=first.due_on,
        soon_on=soon_from(gauge, first.due_on),
        trouble=first.trouble,
    )


def _count(item: ScheduleItem, history: History, inside: frozenset[str]) -> _Count | None:
    """None where the other work has no interval, or the work is counted by itself in a ring."""
    name = item.address.id
    if item.every is not None:
        return _Count(base=item, every=item.every, since=history.since(item), left=1, whole=1)
    other = history.machine.schedule.get(item.nth_of)
    if other is None or item.nth < 1 or name in inside:
        return None
    below = _count(other, history, inside | {name})
    if below is None:
        return None
    own = history.since(item)
    times = [each.on for each in history.times_done(other) if own is None or each.on > own.on]
    whole = item.nth * below.whole
    if len(times) >= item.nth:
        return replace(below, left=0, whole=whole, reached=times[item.nth - 1])
    if own and not times and item.nth > 1 and _was_due_by(own.on, below, history):
        # The other work was overdue when this was done: its next time lies after that, and so do the times after it.
        rest = (item.nth - 1) * below.whole
        return replace(below, since=own, left=rest, whole=rest, reached=None)
    left = below.left + (item.nth - len(times) - 1) * below.whole
    return replace(below, left=max(left, 1), whole=whole, reached=None)


def _was_due_by(day: date, count: _Count, history: History) -> bool:
    """Whether work had fallen due by a day."""
    uses = _of_base(count, count.since, history) if count.since else ()
    return any(use.due_on is not None and use.due_on <= day for use in uses)


def ordinal(number: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 22nd."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"
