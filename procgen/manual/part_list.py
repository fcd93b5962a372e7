"""Parts and consumables: the list of all with where each is used, and a page for each."""

from collections.abc import Iterator

from procgen.library.catalogue import Part
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf
from procgen.manual.catalogue_pages import CatalogueRow, entry_page, list_page, row
from procgen.manual.facts import Fact, facts, plural
from procgen.manual.page import Page


def pages(book: Book) -> Iterator[Page]:
    """The list, then each part."""
    parts = book.library.parts
    if not parts:
        return
    leaf = book.leaf(paths.PARTS, numbering.PARTS)
    heads = ("Number", "Lead time", "Where kept")
    yield list_page(
        leaf, "Parts and consumables", numbering.PARTS, heads, records=parts.values(), rows=lambda: _rows(leaf)
    )
    for part in parts.values():
        own = book.leaf(paths.path_of(part.address, book.library)[0], numbering.PARTS)
        yield entry_page(part, own, "Consumable" if part.consumable else "Part", _facts(part, own))


def _rows(leaf: Leaf) -> Iterator[CatalogueRow]:
    for part in leaf.library.parts.values():
        yield row(part, leaf, part.number, _lead(part), part.where)


def _lead(part: Part) -> str:
    return plural(part.lead_days, "day") if part.lead_days else ""


def _facts(part: Part, leaf: Leaf) -> tuple[Fact, ...]:
    currency = leaf.library.manual.currency
    price = f"{part.price:.2f} {currency}".strip() if part.price is not None else ""
    replaced = leaf.library.parts.get(part.replaces)
    return facts(
        Fact(label="Number", text=part.number),
        Fact(label="Single use", text="Yes: new every time" if part.single_use else ""),
        Fact(label="Unit", text=part.unit),
        Fact(label="Lead time", text=_lead(part)),
        Fact(label="Price", text=price),
        Fact(label="Replaces", text=part.replaces, links=(leaf.record(replaced),) if replaced else ()),
        Fact(label="Where kept", text=part.where),
    )
