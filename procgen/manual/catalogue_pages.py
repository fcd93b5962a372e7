"""What the pages of tools, parts, notices and sources have in common: a list of all, and a page for each."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.items import Record
from procgen.manual.authority import OtherValueView, other_values
from procgen.manual.book import Leaf, Link
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.facts import Fact
from procgen.manual.page import Page
from procgen.manual.used_by import UseGroup, used_by

_MOST_LOCATORS = 14


@dataclass(frozen=True, slots=True)
class CatalogueRow:
    """One entry of a list."""

    to: Link
    cells: tuple[str, ...]
    procedures: tuple[Link, ...]
    """Where it is used: shown by section number."""
    more: str
    """How many procedures are left out; empty for none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueView:
    """A list of all entries of a kind."""

    title: str
    number: str
    heads: tuple[str, ...]
    """Of the cells between the name and the procedures."""
    rows: tuple[CatalogueRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryView:
    """One entry on its own page."""

    title: str
    number: str
    kind: str
    facts: tuple[Fact, ...]
    note: Markup
    others: tuple[OtherValueView, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def row(record: Record, leaf: Leaf, *cells: str) -> CatalogueRow:
    """The line of one entry in its list."""
    touches = leaf.book.work.get(record.address, ())
    procedures = tuple(leaf.to(touch.procedure) for touch in touches[:_MOST_LOCATORS])
    left = len(touches) - len(procedures)
    return CatalogueRow(leaf.record(record), cells, procedures, f"and {left} more" if left else "")


def entry_page(record: Record, leaf: Leaf, kind: str, facts: tuple[Fact, ...]) -> Page:
    """The page of one entry."""
    number = leaf.book.numbers[record.address]

    def view() -> EntryView:
        return EntryView(
            title=record.title,
            number=number,
            kind=kind,
            facts=facts,
            note=leaf.block(record.note),
            others=other_values(record, leaf, None),
            used_by=used_by(record.address, leaf),
            deviations=tuple(deviations_of(record, leaf)),
        )

    made_from = leaf.book.account.of_record(record.address, record.origin.file)
    return leaf.page("entry.html", view, title=record.title, number=number, made_from=made_from)


def list_page(
    leaf: Leaf,
    title: str,
    number: str,
    heads: tuple[str, ...],
    *,
    records: Collection[Record],
    rows: Callable[[], Iterator[CatalogueRow]],
) -> Page:
    """The list of all entries of a kind."""

    def view() -> CatalogueView:
        return CatalogueView(title=title, number=number, heads=heads, rows=tuple(rows()))

    made_from = leaf.book.account.of_list(record.address for record in records)
    return leaf.page("catalogue.html", view, title=title, number=number, made_from=made_from)
