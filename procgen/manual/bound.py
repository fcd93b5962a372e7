"""The manual bound as one PDF: contents, bookmarks, and page numbers wherever one page names another.

    pages(site)  ->  bind(...)  ->  the same pages, and at their end book.pdf

What only works on a screen (Find, the calculator) and the sheets, which are printed one by one, stay out. WeasyPrint
sets the pages; it is an optional part of the program, and BookError says so where it is missing.
"""

import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.manual import paths
from procgen.manual.book import SiteInput
from procgen.manual.bound_drawings import drawing_style, with_own_style
from procgen.manual.page import Page
from procgen.manual.records import records_of_procedure
from procgen.manual.theme import Theme

_STYLES = ("tokens.css", "screen.css", "work.css", "upkeep.css", "print.css")
_LINK = re.compile(r'\b(href|id|src)="([^"]*)"')
_PICTURES = {
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".gif": "image/gif",
    ".webp": "image/webp",
    ".avif": "image/avif",
}


class BookError(Exception):
    """The book cannot be made; the message says why, and what to do."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page of the manual as it is bound: its place among the pages, and how deep its bookmark lies."""

    path: str
    level: int


def ready() -> None:
    """Find out before the manual is made whether a book can be. Raises BookError."""
    _weasyprint()


def bind(made: Iterable[Page], site: SiteInput) -> Iterator[Page]:
    """The pages as they come, and after the last one the book. Raises BookError where WeasyPrint does not work."""
    kept: dict[str, Page] = {}
    for page in made:
        # Each is made once, for itself and for the book.
        kept[page.path] = whole = Page(page.path, page.data)
        yield whole
    yield Page(paths.BOOK, lambda: _printed(kept, site))


def _printed(made: Mapping[str, Page], site: SiteInput) -> bytes:
    weasyprint = _weasyprint()
    sheets = _sheets(site.theme)
    html = with_own_style(_whole(made, site), drawing_style(sheets))

    def fetch(url: str) -> Any:
        """Only the manual's own pictures: no book reads from a disk or a network."""
        path = url.removeprefix("manual:/")
        return weasyprint.urls.URLFetcherResponse(url, made[path].data, {"Content-Type": _PICTURES[Path(path).suffix]})

    styles = [weasyprint.CSS(string=text, url_fetcher=fetch) for text in (*sheets.values(), _book_style(site.theme))]
    document = weasyprint.HTML(string=html, base_url="manual:/", url_fetcher=fetch)
    # A name for the document from its own words, not from the moment: the same manual gives the same bytes.
    name = sha256(html.encode("utf-8")).digest()[:16]
    pdf: bytes = document.write_pdf(stylesheets=styles, pdf_identifier=name)
    return pdf


def _weasyprint() -> Any:
    try:
        import weasyprint  # noqa: PLC0415
    except ImportError as problem:
        raise BookError(
            "A book needs WeasyPrint, which is not installed. Install it with: pip install weasyprint"
        ) from problem
    except OSError as problem:
        raise BookError(
            "WeasyPrint is installed, and the libraries that it draws with are not "
            f"({str(problem).splitlines()[0]}). On Debian: apt install libpango-1.0-0 libpangoft2-1.0-0"
        ) from problem
    return weasyprint


def _sheets(theme: Theme) -> dict[str, str]:
    served = theme.served()
    return {name: served[f"theme/styles/{name}"].read_text(encoding="utf-8") for name in _STYLES}


def _book_style(theme: Theme) -> str:
    """The style for binding alone: no page on a screen links it."""
    file = next(file for folder in theme.folders if (file := folder / "book" / "book.css").is_file())
    return file.read_text(encoding="utf-8")


def _whole(made: Mapping[str, Page], site: SiteInput) -> str:
    """All pages in one, in the order of a book."""
    manual = site.library.manual
    letters = tuple(sorted(path for path in made if path.startswith("index/")))
    leaves = tuple(leaf for leaf in order(site.library, letters) if leaf.path in made)
    bound = {leaf.path: f"p{place}" for place, leaf in enumerate(leaves)}
    draft = f'<p class="draft-string">DRAFT. {_errors(site)}</p>' if site.draft else ""
    return "".join(
        (
            f'<!DOCTYPE html><html lang="{escape(manual.language)}" data-paper="{escape(manual.paper)}">',
            f'<head><meta charset="utf-8"><title>{escape(manual.title)}</title>',
            f'<meta name="author" content="{escape(manual.publisher)}"></head><body>',
            f'<p class="manual-string">{escape(manual.title)}</p>{draft}',
            *(_leaf(leaf, _text(made[leaf.path]), bound) for leaf in leaves),
            "</body></html>",
        )
    )


def _errors(site: SiteInput) -> str:
    return "Errors were found: not for use on a machine." if site.findings else "Not for use on a machine."


def _text(page: Page) -> str:
    return page.data.decode("utf-8")


def _leaf(leaf: Leaf, html: str, bound: Mapping[str, str]) -> str:
    matter = html.partition('<main id="matter">')[2].partition("</main>")[0]
    if leaf.path == paths.FRONT:
        # The safety wording stands once in a book, up front.
        matter += html.partition('<footer class="imprint">')[2].partition("</footer>")[0]
    matter = _LINK.sub(lambda found: _moved(found[1], found[2], leaf.path, bound), matter)
    return f'<section class="bound level-{leaf.level}" id="{bound[leaf.path]}">{matter}</section>'


def _moved(name: str, value: str, here: str, bound: Mapping[str, str]) -> str:
    """An id, a link or a source as it is in the book, where all pages are one."""
    own = bound[here]
    if name == "id":
        return f'id="{own}-{value}"'
    path, _, anchor = value.partition("#")
    if "://" in path or path.startswith("mailto:"):
        return f'{name}="{value}"'
    there = posixpath.normpath(posixpath.join(posixpath.dirname(here), unquote(path))) if path else here
    if name == "src":
        return f'src="manual:/{there}"'
    if there not in bound:
        return ""
    return f'href="#{bound[there]}-{anchor}"' if anchor else f'href="#{bound[there]}"'


def order(library: Library, letters: tuple[str, ...] = ()) -> Iterator[Leaf]:
    """The pages in the order in which one would bind them: each machine with all that is its own, then the shelves.

    letters: the pages of a long index.
    """
    yield Leaf(paths.FRONT, 1)
    for machine in library.machines.values():
        yield from _machine(machine, library)
    for procedure in library.procedures.values():
        if procedure.is_bare:
            yield from _procedure(procedure, 1, library)
    for path, shelf in (
        (paths.FLEET, library.logbooks),
        (paths.TOOLS, library.tools),
        (paths.PARTS, library.parts),
        (paths.NOTICES, library.notices),
        (paths.SOURCES, library.sources),
    ):
        yield from (Leaf(path, 1),) if shelf else ()
        yield from (Leaf(paths.path_of(record.address, library)[0], 2) for record in shelf.values())
    yield Leaf(paths.WORDS, 1)
    yield from (Leaf(path, 2) for path in letters)
    yield Leaf(paths.REPORT, 1)


def _procedure(procedure: Procedure, level: int, library: Library) -> Iterator[Leaf]:
    yield Leaf(paths.path_of(procedure.address, library)[0], level)
    for record in records_of_procedure(procedure):
        if record is not procedure:
            yield Leaf(paths.path_of(record.address, library)[0], 3)


def _machine(machine: Machine, library: Library) -> Iterator[Leaf]:
    yield Leaf(paths.path_of(machine.address, library)[0], 1)
    yield Leaf(paths.torque_table_path(machine.address.id), 2)
    for procedure in library.procedures.values():
        if not procedure.is_bare and procedure.machine.address == machine.address:
            yield from _procedure(procedure, 2, library)
    for assembly in machine.assemblies:
        yield Leaf(paths.path_of(assembly.address, library)[0], 2)
        items = (machine.items[item] for item in assembly.items)
        yield from (Leaf(paths.path_of(item.address, library)[0], 3) for item in items)
    loose = (item for item in machine.items.values() if item.id not in machine.assembly_of)
    yield from (Leaf(paths.path_of(item.address, library)[0], 2) for item in loose)
