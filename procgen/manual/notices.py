"""Safety notices: all of them, worst first, and a page for each with the steps that it protects."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.catalogue import Notice
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.facts import Fact, facts
from procgen.manual.notice_view import NoticeView, notice_view, worst_first
from procgen.manual.page import Page
from procgen.manual.used_by import UseGroup, used_by


@dataclass(frozen=True, slots=True)
class NoticeLine:
    """A notice and the procedures that show it."""

    notice: NoticeView
    procedures: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticesView:
    """All notices."""

    title: str
    number: str
    lines: tuple[NoticeLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticePageView:
    """One notice on its own page."""

    title: str
    number: str
    notice: NoticeView
    facts: tuple[Fact, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """The list, then each notice."""
    notices = book.library.notices
    if not notices:
        return
    leaf = book.leaf(paths.NOTICES, numbering.NOTICES)
    title = "Safety notices"

    def view() -> NoticesView:
        lines = tuple(_line(notice, leaf) for notice in worst_first(tuple(notices.values())))
        return NoticesView(title=title, number=numbering.NOTICES, lines=lines)

    made_from = book.account.of_list(notice.address for notice in notices.values())
    yield leaf.page("notices.html", view, title=title, number=numbering.NOTICES, made_from=made_from)
    for notice in notices.values():
        yield _page(notice, book)


def _line(notice: Notice, leaf: Leaf) -> NoticeLine:
    touches = leaf.book.work.get(notice.address, ())
    return NoticeLine(notice_view(notice, leaf), tuple(leaf.to(touch.procedure) for touch in touches))


def _page(notice: Notice, book: Book) -> Page:
    leaf = book.leaf(paths.path_of(notice.address, book.library)[0], numbering.NOTICES)
    made_from = book.account.of_record(notice.address, notice.origin.file)
    number = book.numbers[notice.address]
    return leaf.page("notice.html", lambda: _view(notice, leaf), title=notice.title, number=number, made_from=made_from)


def _view(notice: Notice, leaf: Leaf) -> NoticePageView:
    return NoticePageView(
        title=notice.title,
        number=leaf.book.numbers[notice.address],
        notice=notice_view(notice, leaf),
        facts=facts(Fact(label="Announces", text=", ".join(sorted(kind.replace("-", " ") for kind in notice.kinds)))),
        used_by=used_by(notice.address, leaf),
        deviations=tuple(deviations_of(notice, leaf)),
    )
