"""The page of each procedure and its sheet. Both show the same steps, which are written once for the two."""

from collections.abc import Iterator

from procgen.library.library import Head
from procgen.manual import procedure, sheet
from procgen.manual.book import Book
from procgen.manual.page import Page, made_together
from procgen.manual.paths import path_of, sheet_path, state_script_path
from procgen.manual.sheet_fingerprint import sheet_mark
from procgen.manual.step_writer import StepWriter


def pages(book: Book) -> Iterator[Page]:
    """For every procedure its page, its sheet, and the script file beside that."""
    for name, head in book.library.heads.items():
        if name in book.site.plans:
            yield from _pages(book, head)


def _pages(book: Book, head: Head) -> Iterator[Page]:
    name = head.address.id
    path, sheet_ = path_of(head.address, book.library)[0], sheet_path(head.address)

    def make() -> Iterator[Page]:
        plan = book.site.plans[name]
        writer = StepWriter(plan, book.leaf(path, book.section_of(plan.procedure.machine)))
        mark = sheet_mark(writer)
        yield procedure.page(writer, mark)
        yield from sheet.files(writer, mark)

    made_from = book.account.of_procedure(name, head.place.file)
    yield from made_together((path, sheet_, state_script_path(sheet_)), make, made_from)
