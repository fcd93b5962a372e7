"""The page of each procedure and its sheet. Both show the same steps, which are written once for the two."""

from collections.abc import Iterator

from procgen.manual import procedure, sheet
from procgen.manual.book import Book
from procgen.manual.page import Page
from procgen.manual.paths import path_of
from procgen.manual.step_writer import StepWriter
from procgen.plan.steps import Plan


def pages(book: Book) -> Iterator[Page]:
    """Two pages for every procedure."""
    for plan in book.site.plans.values():
        yield from pages_of(book, plan)


def pages_of(book: Book, plan: Plan) -> Iterator[Page]:
    """The page of one procedure, and its sheet."""
    path, _ = path_of(plan.procedure.address, book.library)
    writer = StepWriter(plan, book.leaf(path, book.section_of(plan.procedure.machine)))
    yield procedure.page(writer)
    yield from sheet.files(writer)
