"""How long work takes: the sum of the steps that give a time."""

from procgen.library.condition import holds
from procgen.plan.snapshots import complete
from procgen.plan.steps import Plan, PlannedStep


def minutes_of(planned: PlannedStep) -> float:
    """What one step takes, with what it waits for; 0 where it does not say."""
    return (planned.step.minutes or 0) + (planned.step.wait.minutes if planned.step.wait else 0)


def usual_minutes(plan: Plan) -> float:
    """The time with every option as preset, the first of each variant, and every inspection passed."""
    usual = complete(plan, {})
    return sum(minutes_of(planned) for planned in plan.steps if holds(planned.when, usual))


def minutes_words(minutes: float) -> str:
    """A time as people say it: "3 h 12 min", "25 min"."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
