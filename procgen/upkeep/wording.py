"""Due work in words and figures, the same on the terminal, in calendars and in the manual."""

from datetime import date
from fractions import Fraction

from procgen.measure.numeral import decimal_of, typeset
from procgen.measure.quantity import exactly
from procgen.measure.typeset import show
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.history import Basis, Since
from procgen.upkeep.limits import METER_OF, LimitUse
from procgen.upkeep.trend import Trend

_IN_DAYS = 90
_IN_MONTHS = 730


def span(days: int) -> str:
    """A time as people say it: "34 days", "7 months", "4 years". `due.js` has the same rule."""
    if days <= _IN_DAYS:
        return f"{days} day{'' if days == 1 else 's'}"
    if days <= _IN_MONTHS:
        return f"{days * 48 // 1461} months"
    return f"{days * 4 // 1461} years"


def time_left(days: int | None) -> str:
    """How long there is: "34 days left", "due today", "7 months over"; empty where no day is known.

    days: until it is due, negative once it is overdue. `due.js` has the same rule.
    """
    if days is None:
        return ""
    if days == 0:
        return "due today"
    return f"{span(days)} left" if days > 0 else f"{span(-days)} over"


def percent(used: Fraction | None) -> str:
    """How much is used: "45 %", never rounded up, so that 100 % is reached and not near; "?" where nobody knows."""
    return "?" if used is None else f"{used * 100 // 1}\u202f%"


def limit_used(use: LimitUse, on: date) -> str:
    """A limit and how much of it is used: "109 % of 5 years"."""
    return f"{percent(use.used_on(on))} of {use.text}"


def bites_first(due: Due) -> tuple[LimitUse, ...]:
    """Its limits, the one that bites before the others."""
    return tuple(sorted(due.limits, key=lambda use: use is not due.bites))


def last_done(due: Due, meter: str) -> str:
    """ "2021-05-09 at 640 h"; for work that was never done, from when its limits count."""
    since = due.since
    if since is None:
        return "never"
    if since.basis is Basis.IN_SERVICE:
        return f"never; counted from {since.on}, when it came into service"
    at = "" if since.meter is None or meter == "none" else f" at {meter_figure(since.meter, meter)}"
    return f"{since.on}{at}"


def how_done(since: Since, due_title: str) -> str:
    """Why an entry counts, where it does not name the work itself; else empty. due_title: of the work that reset it."""
    match since.basis:
        case Basis.RESET:
            return f"reset by {due_title}"
        case Basis.PARTS:
            return "its parts are listed"
        case Basis.DID | Basis.IN_SERVICE:
            return ""


def remarks(due: Due, machine: MachineDue) -> tuple[str, ...]:
    """What else there is to say: why it counts as done, what cannot be told."""
    since = due.since
    by = machine.machine.schedule.get(since.by) if since else None
    said = [how_done(since, by.title if by else "") if since else ""]
    said += [f"{use.text}: {use.trouble}" for use in due.limits if use.trouble]
    return tuple(dict.fromkeys(each for each in said if each))


def plans(due: Due) -> tuple[str, ...]:
    """The jobs that will do it: "planned 2026-12-12: Launch Two, belt service"."""
    return tuple(f"planned{f' {job.planned}' if job.planned else ''}: {job.title}" for job in due.planned)


def meter_figure(value: Fraction, meter: str) -> str:
    """A meter's figure with its unit, cut to whole units: "1 312 h"."""
    unit = METER_OF.get(meter)
    behind = {"cycle": "cycles"}.get(unit, str(unit)) if unit else ""
    return f"{typeset(decimal_of(Fraction(value // 1), 0))} {behind}".strip()


def meter_line(machine: MachineDue) -> str:
    """What the meter said, says about now, and how fast it runs; empty for a machine without a meter."""
    latest, now, meter = machine.track.latest, machine.meter_now, machine.machine.meter
    if meter == "none":
        return ""
    if latest is None or now is None:
        return "The meter was never read."
    read = f"{meter_figure(latest.value, meter)} on {latest.on}"
    if machine.track.yearly is None:
        return f"{read}. Too few readings to tell how fast the meter runs."
    about = f"; about {meter_figure(now, meter)} on {machine.on}" if latest.on < machine.on else ""
    return f"{read}{about}, at {meter_figure(machine.track.yearly, meter)} a year."


def limit_text(trend: Trend, limit: Fraction) -> str:
    """A limit of a trend with its unit, to the digit that the author wrote."""
    limits = trend.spec.limits
    return _together(show(exactly(limit, trend.unit, limits.resolution if limits else Fraction(1))))


def _together(figure: str) -> str:
    """A figure whose unit stays on its line."""
    return figure.replace(" ", "\u00a0")


def heading_for(trend: Trend, on: date) -> str:
    """Where the readings of a part lead: a sentence, also where they lead nowhere yet."""
    series = trend.current
    if not series.readings:
        return f"Renewed on {series.renewed_on}; not measured since."
    last, projection = series.readings[-1], series.projection
    said = f"{_together(show(last.value))} on {last.on}"
    if last.is_outside:
        return f"{said}: outside its limits."
    if series.line is None:
        return f"{said}. No line before there are three readings of one part, at different times."
    if projection is None:
        return f"{said}. No trend towards a limit can be told from the scatter."
    end = f"{'upper' if projection.is_upper else 'lower'} limit of {limit_text(trend, projection.limit)}"
    if projection.due_on is None:
        return f"{said}; heading for its {end}, nobody can tell when."
    between = f" (between {projection.earliest or 'long ago'} and {projection.latest or 'far off'})"
    if projection.due_on <= on:
        return f"{said}; by its line it came to its {end} about {projection.due_on}{between}: measure it now."
    return f"{said}; by its line it comes to its {end} about {projection.due_on}{between}."
