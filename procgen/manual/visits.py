"""The visits to each individual machine over the next years: which scheduled work is cheapest done together."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from procgen.library.catalogue import Manual
from procgen.library.fleet import Logbook
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.drawings.visit_years import VisitYears, visit_years
from procgen.manual.facts import Fact, duration, facts, plural
from procgen.manual.page import Page
from procgen.plan.naming import in_sentence
from procgen.upkeep.visit_plan import Opening, Visit, VisitPlan, Visits, WorkDone
from procgen.upkeep.visit_words import (
    assumptions,
    early_words,
    money,
    opening_title,
    short_title,
    verdict,
)
from procgen.upkeep.wording import meter_line


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneLine:
    """One piece of work at a visit."""

    work: Link
    early: str
    """Empty for what is done on its day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitView:
    """One visit."""

    on: str
    work: tuple[DoneLine, ...]
    counts: tuple[Link, ...]
    """What counts as done with it."""
    minutes: str
    parts: str
    """Empty where no money is reckoned."""
    cost: str


@dataclass(frozen=True, slots=True)
class TotalLine:
    """One figure of all visits."""

    name: str
    together: str
    """Empty where the search was given up."""
    when_due: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningView:
    """Work that shares access, and its visits."""

    anchor: str
    title: str
    short: str
    """For captions, of which no two are alike."""
    shares: str
    verdict: str
    drawing: VisitYears
    totals: tuple[TotalLine, ...]
    visits: tuple[VisitView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutLine:
    """Work that takes no part, and why."""

    work: Link
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitsView:
    """The visits to one machine."""

    title: str
    number: str
    facts: tuple[Fact, ...]
    openings: tuple[OpeningView, ...]
    has_money: bool
    left_out: tuple[LeftOutLine, ...]
    assumptions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitsSummary:
    """What an individual machine's own page says of its visits."""

    to: Link
    years: str
    lines: tuple[str, ...]
    """Of each opening, its work and what grouping is worth."""


def pages(book: Book) -> Iterator[Page]:
    """One page for each machine that has scheduled work, where the manual knows its day."""
    for logbook in book.library.logbooks.values():
        has_work = partial(_has_work, logbook, book)
        if book.recalled("has work", book.account.of_upkeep(logbook), has_work):
            yield _page(logbook, book)


def _has_work(logbook: Logbook, book: Book) -> bool:
    return any(machine.logbook is logbook and machine.work for machine in book.due)


def _page(logbook: Logbook, book: Book) -> Page:
    leaf = book.leaf(paths.visits_path(logbook.address), numbering.FLEET)
    return leaf.page(
        "visits.html",
        lambda: _view(logbook, leaf),
        title=_title(logbook),
        number=book.numbers[logbook.address],
        made_from=book.account.of_upkeep(logbook),
    )


def summary(logbook: Logbook, leaf: Leaf) -> VisitsSummary | None:
    """None where there is no page of its visits, or nothing on it."""
    plan = leaf.book.visits_to(logbook)
    if plan is None or not plan.openings:
        return None
    manual = leaf.library.manual
    return VisitsSummary(
        to=Link(_title(logbook), leaf.href(paths.visits_path(logbook.address))),
        years=plural(plan.years, "year"),
        lines=tuple(f"{opening_title(each)}. {verdict(each, manual)}" for each in plan.openings),
    )


def _title(logbook: Logbook) -> str:
    return f"Visits to {logbook.name}"


def _view(logbook: Logbook, leaf: Leaf) -> VisitsView:
    plan, manual = leaf.book.visits_to(logbook), leaf.library.manual
    assert plan is not None  # noqa: S101 - there is a page only where there is scheduled work
    machine = plan.machine
    return VisitsView(
        title=_title(logbook),
        number=leaf.book.numbers[logbook.address],
        facts=facts(
            Fact(label="On", links=(leaf.record(logbook),)),
            Fact(label="Machine", links=(leaf.record(machine.machine),)),
            Fact(label="From", text=machine.on.isoformat()),
            Fact(label="To", text=plan.last.isoformat()),
            Fact(label="Meter", text=meter_line(machine)),
            Fact(label="Labour", text=f"{money(manual.labour_rate, manual)} an hour" if manual.labour_rate else ""),
        ),
        openings=tuple(_opening(each, number, plan, leaf) for number, each in enumerate(plan.openings, 1)),
        has_money=manual.labour_rate is not None,
        left_out=tuple(LeftOutLine(work=leaf.to(each.due.item.address), reason=each.reason) for each in plan.left_out),
        assumptions=tuple(assumptions(plan, manual)),
    )


def _opening(opening: Opening, number: int, plan: VisitPlan, leaf: Leaf) -> OpeningView:
    manual, items = leaf.library.manual, plan.machine.machine.items
    shares = [items[name].title for name in opening.shares]
    visits = opening.cheapest or opening.when_due
    return OpeningView(
        anchor=f"opening-{number}",
        title=opening_title(opening),
        short=short_title(opening),
        shares=", ".join((*shares[:1], *map(in_sentence, shares[1:]))),
        verdict=verdict(opening, manual),
        drawing=visit_years(opening, plan),
        totals=tuple(_totals(opening, manual)),
        visits=tuple(_visit(each, leaf) for each in visits.visits),
    )


def _totals(opening: Opening, manual: Manual) -> Iterator[TotalLine]:
    figures: dict[str, Callable[[Visits], str]] = {
        "Visits": lambda visits: str(len(visits.visits)),
        "Work": lambda visits: duration(visits.minutes),
    }
    if manual.labour_rate is not None:
        figures["Parts"] = lambda visits: money(visits.parts, manual)
        figures["Work and parts"] = lambda visits: money(visits.cost, manual)
        figures["Less what is left at the end"] = lambda visits: money(visits.left, manual)
        figures["Comes to"] = lambda visits: money(visits.total, manual)
    for name, figure in figures.items():
        yield TotalLine(name, figure(opening.cheapest) if opening.cheapest else "", figure(opening.when_due))


def _visit(visit: Visit, leaf: Leaf) -> VisitView:
    manual = leaf.library.manual
    has_money = manual.labour_rate is not None
    return VisitView(
        on=visit.on.isoformat(),
        work=tuple(_done(each, leaf) for each in visit.work),
        counts=tuple(leaf.to(each.due.item.address) for each in visit.counts),
        minutes=duration(visit.minutes),
        parts=money(visit.parts, manual) if has_money else "",
        cost=money(visit.cost, manual) if has_money else "",
    )


def _done(done: WorkDone, leaf: Leaf) -> DoneLine:
    return DoneLine(work=leaf.to(done.due.item.address), early=early_words(done))
