"""What lies on the bench before the work begins: each part and consumable, how much of it, and whether it is there."""

import datetime
from dataclasses import dataclass

from procgen.library.library import Library
from procgen.library.origin import PartId
from procgen.manual.facts import plural
from procgen.manual.sheet_view import BenchLine, BenchRow
from procgen.manual.step_writer import StepWriter
from procgen.plan.needs import PartNeed, part_needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What a job says of its parts."""

    on_hand: frozenset[PartId]
    planned: datetime.date | None
    """The day by which they are needed."""


def bench_rows(steps: StepWriter, stock: Stock | None) -> tuple[BenchRow, ...]:
    """Every part and consumable of a plan, in the order of first use. stock: None where nobody has said."""
    return tuple(_row(need, steps, stock) for need in part_needs(steps.plan, steps.leaf.library))


def bench_line(id_: PartId, library: Library, stock: Stock | None) -> BenchLine:
    """Whether a part is there. Consumables are looked for on their shelf, and not missed on a list."""
    part = library.parts.get(id_)
    there = stock is not None and id_ in stock.on_hand
    counts = stock is not None and (there or part is None or not part.consumable)
    about = ", ".join(text for text in (part.number, part.where) if text) if part else ""
    return BenchLine(
        title=part.title if part else id_.replace("-", " "),
        about=about,
        on_hand=there if counts else None,
        lead=_lead(part.lead_days if part else None, stock),
    )


def _lead(days: int | None, stock: Stock | None) -> str:
    if not days:
        return ""
    words = f"{plural(days, 'day')} to come"
    if stock is None or stock.planned is None:
        return words
    return f"{words}, order by {(stock.planned - datetime.timedelta(days=days)).isoformat()}"


def _row(need: PartNeed, steps: StepWriter, stock: Stock | None) -> BenchRow:
    return BenchRow(
        line=bench_line(need.part, steps.leaf.library, stock),
        amount=_amount(need, steps),
        steps=", ".join(steps.by_key[key].number for key in need.steps),
        only_if="" if need.is_certain else steps.when_words(need.when),
    )


def _amount(need: PartNeed, steps: StepWriter) -> str:
    """How much for certain, and how much at most where inspections may ask for more."""
    text = steps.leaf.book.measures.text
    if need.amount_at_most:
        most = text(need.amount_at_most)
        least = text(need.amount) if need.amount else ""
        return most if most == least or not least else f"{least}; {most} at most"
    if need.count_at_most > max(need.count, 1):
        return f"{need.count}; {need.count_at_most} at most" if need.count else f"{need.count_at_most} at most"
    return str(need.count) if need.count else ""
