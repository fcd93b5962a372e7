"""The whole manual as a stream of pages.

    pages(site: SiteInput) -> Iterator[Page]

`SiteInput` (in book.py) is the linked library, every procedure expanded, the findings, and the theme
(`procgen.manual.theme.find_theme(overriding=())`). Pages come one at a time and are not kept; written out by
`procgen.output.write.write_site(pages, out, library_root)`. The same input gives the same bytes in the same order.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from procgen.manual import (
    assembly,
    fleet,
    front,
    item,
    job_sheet,
    machine,
    notices,
    part_list,
    procedure_pages,
    report_page,
    source_list,
    tool_list,
    torque_calculator,
    torque_table,
    visits,
    words,
)
from procgen.manual.book import Book, SiteInput, book
from procgen.manual.figure_view import figure_pages
from procgen.manual.find import pages as find_pages
from procgen.manual.page import Page


@dataclass(frozen=True, slots=True)
class PageType:
    """A kind of page: what it is called, and the function that makes all pages of it."""

    name: str
    pages: Callable[[Book], Iterator[Page]]


PAGE_TYPES = (
    PageType("front page", front.pages),
    PageType("machine", machine.pages),
    PageType("assembly", assembly.pages),
    PageType("item", item.pages),
    PageType("procedure and its sheet", procedure_pages.pages),
    PageType("job sheet", job_sheet.pages),
    PageType("torque table", torque_table.pages),
    PageType("torque calculator", torque_calculator.pages),
    PageType("individual machine", fleet.pages),
    PageType("visits", visits.pages),
    PageType("tools", tool_list.pages),
    PageType("parts", part_list.pages),
    PageType("notices", notices.pages),
    PageType("sources", source_list.pages),
    PageType("words", words.pages),
    PageType("find", find_pages),
    PageType("report", report_page.pages),
)
"""Every kind of page, in the order of the thumb index."""


def pages(site: SiteInput) -> Iterator[Page]:
    """Every file of the manual: pages, figures, styles and scripts."""
    open_book = book(site)
    for page_type in PAGE_TYPES:
        yield from page_type.pages(open_book)
    yield from figure_pages(open_book)
    yield from site.theme.pages()
