"""Visits over some years in words, the same on the terminal and in the manual; and what their plan assumes."""

from collections.abc import Iterator

from procgen.library.catalogue import Manual
from procgen.measure.numeral import typeset
from procgen.plan.duration import minutes_words
from procgen.upkeep.visit_plan import Opening, VisitPlan, WorkDone
from procgen.upkeep.wording import span

_A_WEEK = 7
"""Intervals are counted in days of an average year: a day or two early is only that. Ours; no source."""


def is_early(done: WorkDone) -> bool:
    """Whether work is done more than a week before its day."""
    return done.early > _A_WEEK


def early_words(done: WorkDone) -> str:
    """ "4 months early"; empty for what is done within a week of its day."""
    return f"{span(done.early)} early" if is_early(done) else ""


def money(amount: float, manual: Manual) -> str:
    """An amount in the manual's currency, in whole units: "1 672 GBP"."""
    return f"{typeset(str(round(amount)))} {manual.currency}".strip()


def opening_title(opening: Opening) -> str:
    """The work that is searched together, by name."""
    return "; ".join(due.item.title for due in opening.work)


def short_title(opening: Opening) -> str:
    """Its first work, and how much more: "Timing belt and 5 more"."""
    return f"{opening.work[0].item.title} and {len(opening.work) - 1} more"


def verdict(opening: Opening, manual: Manual) -> str:
    """What grouping is worth, in one sentence."""
    if opening.cheapest is None:
        return f"The search was given up: {opening.gave_up}. What follows is each when it is due."
    saved = opening.when_due.total - opening.cheapest.total
    minutes = opening.when_due.minutes - opening.cheapest.minutes
    if saved < 1:
        return "Nothing is gained by doing any of it before it is due."
    fewer = len(opening.when_due.visits) - len(opening.cheapest.visits)
    visits = f"{visits_words(fewer)} fewer" if fewer > 0 else ""
    time = f"{minutes_words(minutes)} less work" if minutes >= 1 else ""
    worth = f"{money(saved, manual)} less in all" if manual.labour_rate is not None else ""
    return f"Done together: {', '.join(each for each in (visits, time, worth) if each)}."


def visits_words(count: int) -> str:
    """ "1 visit", "4 visits"."""
    return f"{count} visit{'' if count == 1 else 's'}"


def assumptions(plan: VisitPlan, manual: Manual) -> Iterator[str]:
    """What the plan assumes, a sentence or two each."""
    yield (
        "Work comes round after its interval, taken in days as the meter runs now. "
        "What is due at every nth time of other work comes round after so many of its intervals."
    )
    yield "No work is done after its day, and what is overdue is done at once."
    yield "Visits are made only on days on which something is due: any other day would be no cheaper."
    yield (
        "Working time is that of one merged plan of the work that shares access, without the steps that only the rest "
        "needs, with every inspection passed. Openings are not weighed against each other."
    )
    if manual.labour_rate is None:
        yield "The manual gives no labour rate, so the least working time is looked for, whatever the parts cost."
    else:
        yield (
            f"An hour of work costs {money(manual.labour_rate, manual)}, a part what the parts list says, and nothing "
            "where it gives no price. The way to the machine and the days without it are not counted."
        )
    yield (
        f"What is left of an interval on {plan.last.isoformat()} is worth that share of the least that the work adds "
        "to any visit, so that nothing is brought forward only because the years end."
    )
    if all(opening.cheapest for opening in plan.openings):
        yield "The search is exact: under all this, no other visits are cheaper."
