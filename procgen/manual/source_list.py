"""Sources: what each is and what cites it, and where they disagree, with the reason why one is followed."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.catalogue import Source
from procgen.library.items import Record
from procgen.library.library import Head
from procgen.library.origin import Address, Kind
from procgen.manual import numbering, paths
from procgen.manual.authority import CitationView, OtherValueView, citation, other_values
from procgen.manual.book import Book, Leaf
from procgen.manual.catalogue_pages import CatalogueRow, row
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.facts import Fact, facts
from procgen.manual.page import Page
from procgen.manual.records import every_record
from procgen.manual.used_by import UseGroup, used_by


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A value about which sources differ."""

    other: OtherValueView
    followed_source: CitationView | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcesView:
    """All sources."""

    title: str
    number: str
    rows: tuple[CatalogueRow, ...]
    disagreements: tuple[Disagreement, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceView:
    """One source."""

    title: str
    number: str
    kind: str
    facts: tuple[Fact, ...]
    note: object
    disagreements: tuple[Disagreement, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """The list, then each source."""
    sources = book.library.sources
    if not sources:
        return
    leaf = book.leaf(paths.SOURCES, numbering.SOURCES)
    title = "Sources"

    def view() -> SourcesView:
        rows = (row(source, leaf, _kind(source), source.date, _cited(source, leaf)) for source in sources.values())
        disagreements = tuple(_disagreements(leaf, None))
        return SourcesView(title=title, number=numbering.SOURCES, rows=tuple(rows), disagreements=disagreements)

    cited = (_cited(source, leaf) for source in sources.values())
    touched = book.account.of_list(source.address for source in sources.values())
    made_from = book.account.of_record(book.library.manual.address, more=(touched, _disputes(book), *cited))
    yield leaf.page("sources.html", view, title=title, number=numbering.SOURCES, made_from=made_from)
    for source in sources.values():
        yield _page(source, book)


def _disputes(book: Book) -> str:
    """The name of all on which sources may differ."""
    disputed = (name for name, extract in book.extracts.items() if extract.is_disputed)
    return book.account.of_names(*disputed)


def _kind(source: Source) -> str:
    return source.kind.value.replace("-", " ").capitalize()


def _cited(source: Source, leaf: Leaf) -> str:
    return str(len({use.by for use in leaf.library.used_by(source.address)}))


def _page(source: Source, book: Book) -> Page:
    leaf = book.leaf(paths.path_of(source.address, book.library)[0], numbering.SOURCES)
    number = book.numbers[source.address]
    made_from = book.account.of_record(source.address, source.origin.file, more=(_disputes(book),))
    return leaf.page("source.html", lambda: _view(source, leaf), title=source.title, number=number, made_from=made_from)


def _view(source: Source, leaf: Leaf) -> SourceView:
    replaced = Address(Kind.SOURCE, source.replaces) if source.replaces else None
    later = tuple(other for other in leaf.library.sources.values() if other.replaces == source.address.id)
    return SourceView(
        title=source.title,
        number=leaf.book.numbers[source.address],
        kind=_kind(source),
        facts=facts(
            Fact(label="Date", text=source.date),
            Fact(label="Replaces", links=(leaf.to(replaced),) if replaced else ()),
            Fact(label="Replaced by", links=tuple(leaf.record(other) for other in later)),
        ),
        note=leaf.block(source.note),
        disagreements=tuple(_disagreements(leaf, source)),
        used_by=used_by(source.address, leaf),
        deviations=tuple(deviations_of(source, leaf)),
    )


def _disputed(head: Head, leaf: Leaf) -> Record | None:
    """The procedure, where sources differ on it as a whole."""
    name = head.address.id
    return leaf.library.procedures[name] if leaf.book.extracts[name].is_disputed else None


def _disagreements(leaf: Leaf, source: Source | None) -> Iterator[Disagreement]:
    """Where sources differ; with `source`, only where it is one of them."""
    for named, machine in every_record(leaf.library):
        record = _disputed(named, leaf) if isinstance(named, Head) else named
        if record is None:
            continue
        cited = {record.source.source} if record.source else set()
        for other, view in zip(record.other_values, other_values(record, leaf, machine), strict=True):
            involved = cited | ({other.source.source} if other.source else set())
            if source is None or source.address.id in involved:
                yield Disagreement(view, citation(record.source, leaf))
