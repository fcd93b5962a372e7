"""Words of the trade, and the index of everything that has a name."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.catalogue import Term
from procgen.library.items import Record
from procgen.library.library import Head
from procgen.library.origin import Kind
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.page import Page
from procgen.manual.paths import safe_name
from procgen.manual.records import every_record

_Named = tuple[Record | Head, str]
"""Something that has a page or an anchor of its own, and what it is."""
_LONG = 600
"""With more entries than this, each letter of the index has a page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TermView:
    """A word and what it means."""

    anchor: str
    title: str
    meaning: Markup
    note: Markup
    see: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class IndexLine:
    """One entry of the index."""

    to: Link
    kind: str


@dataclass(frozen=True, slots=True)
class IndexLetter:
    """All entries under one letter."""

    letter: str
    anchor: str
    lines: tuple[IndexLine, ...]
    href: str
    """Of the page with its lines, where the index is too long for one; else the anchor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterView:
    """A letter of a long index on a page of its own."""

    title: str
    number: str
    letter: IndexLetter
    back: Link


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsView:
    """All that the template shows."""

    title: str
    number: str
    terms: tuple[TermView, ...]
    letters: tuple[IndexLetter, ...]


def pages(book: Book) -> Iterator[Page]:
    """The one page."""
    leaf = book.leaf(paths.WORDS, numbering.WORDS)
    title = "Words and index"

    def view() -> WordsView:
        terms = sorted(book.library.terms.values(), key=lambda term: sort_key(term.title))
        return WordsView(
            title=title,
            number=numbering.WORDS,
            terms=tuple(_term(term, leaf) for term in terms),
            letters=tuple(_letters(leaf)),
        )

    made_from = book.account.of_names()
    yield leaf.page("words.html", view, title=title, number=numbering.WORDS, made_from=made_from)
    yield from (_letter_page(book, letter) for letter in book.recalled("letters", made_from, lambda: _own_pages(leaf)))


def _own_pages(leaf: Leaf) -> tuple[str, ...]:
    """The letters that have pages of their own."""
    return tuple(sorted(_by_letter(leaf))) if _is_long(leaf) else ()


def _is_long(leaf: Leaf) -> bool:
    return sum(1 for _ in every_record(leaf.library)) > _LONG


def _letter_page(book: Book, letter: str) -> Page:
    leaf = book.leaf(_letter_path(letter), numbering.WORDS)
    title = f"Index, {letter}"

    def view() -> LetterView:
        lines = _lines(_by_letter(leaf)[letter], leaf)
        full = IndexLetter(letter, _anchor(letter), lines, leaf.href(_letter_path(letter)))
        back = Link("Words and index", leaf.href(paths.WORDS))
        return LetterView(title=title, number=numbering.WORDS, letter=full, back=back)

    made_from = book.account.of_names()
    return leaf.page("letter.html", view, title=title, number=numbering.WORDS, made_from=made_from)


def _letter_path(letter: str) -> str:
    return f"index/{safe_name(letter.lower())}.html"


def sort_key(title: str) -> tuple[str, str]:
    """How titles are sorted: without accents and capitals; the title itself decides between equals."""
    plain = unicodedata.normalize("NFKD", title.casefold())
    return "".join(letter for letter in plain if not unicodedata.combining(letter)), title


def _term(term: Term, leaf: Leaf) -> TermView:
    known = (leaf.library.resolve(name, None) for name in term.see)
    return TermView(
        anchor=f"word-{safe_name(term.address.id)}",
        title=term.title,
        meaning=leaf.block(term.meaning),
        note=leaf.block(term.note),
        see=tuple(leaf.record(record) for record in known if record),
    )


def _letters(leaf: Leaf) -> Iterator[IndexLetter]:
    """Every letter; with its lines where they stand on the same page."""
    is_long = _is_long(leaf)
    by_letter = _by_letter(leaf)
    for letter in sorted(by_letter):
        anchor = _anchor(letter)
        href = leaf.href(_letter_path(letter)) if is_long else f"#{anchor}"
        yield IndexLetter(letter, anchor, () if is_long else _lines(by_letter[letter], leaf), href)


def _by_letter(leaf: Leaf) -> dict[str, list[_Named]]:
    found: dict[str, list[_Named]] = {}
    for record, kind in named_records(leaf):
        found.setdefault(_letter_of(record), []).append((record, kind))
    return found


def _lines(named: list[_Named], leaf: Leaf) -> tuple[IndexLine, ...]:
    entries = sorted(named, key=lambda entry: (*sort_key(entry[0].title), entry[0].address))
    return tuple(IndexLine(leaf.to(record.address), kind) for record, kind in entries)


def _anchor(letter: str) -> str:
    return f"letter-{safe_name(letter.lower())}"


def _letter_of(record: Record | Head) -> str:
    first = sort_key(record.title)[0][:1].upper()
    return first if first.isalpha() else "0–9"


def named_records(leaf: Leaf) -> Iterator[_Named]:
    """Everything that has a page or an anchor of its own, with what it is."""
    for record, _ in every_record(leaf.library):
        yield record, _KINDS.get(record.address.kind, record.address.kind.value)


_KINDS = {Kind.LOGBOOK: "individual machine", Kind.SCHEDULE: "planned work", Kind.SPEC: "measurement"}
