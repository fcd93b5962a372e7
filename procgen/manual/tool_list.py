"""Tools: the list of all with where each is used, and a page for each."""

from collections.abc import Iterator

from procgen.library.catalogue import Tool
from procgen.manual import numbering, paths
from procgen.manual.book import Book, Leaf
from procgen.manual.catalogue_pages import CatalogueRow, entry_page, list_page, row
from procgen.manual.facts import Fact, facts
from procgen.manual.page import Page
from procgen.measure.typeset import show


def pages(book: Book) -> Iterator[Page]:
    """The list, then each tool."""
    tools = book.library.tools
    if not tools:
        return
    leaf = book.leaf(paths.TOOLS, numbering.TOOLS)
    yield list_page(
        leaf, "Tools", numbering.TOOLS, ("Figures", "Where kept"), records=tools.values(), rows=lambda: _rows(leaf)
    )
    for tool in tools.values():
        own = book.leaf(paths.path_of(tool.address, book.library)[0], numbering.TOOLS)
        kind = tool.kind.replace("-", " ").capitalize() if tool.kind != "general" else "Tool"
        yield entry_page(tool, own, kind, _facts(tool))


def _rows(leaf: Leaf) -> Iterator[CatalogueRow]:
    for tool in leaf.library.tools.values():
        figures = ", ".join(fact.text for fact in _figures(tool) if fact.text)
        yield row(tool, leaf, figures, tool.where)


def _figures(tool: Tool) -> Iterator[Fact]:
    """What is marked on the tool, in the unit in which it is marked."""
    for label, quantity in (
        ("Range", tool.range),
        ("Drive", tool.drive),
        ("Across flats", tool.hex),
        ("Resolution", tool.resolution),
        ("Accuracy", tool.accuracy),
        ("Offset", tool.offset),
        ("Length", tool.length),
        ("Capacity", tool.capacity),
    ):
        yield Fact(label=label, text=show(quantity) if quantity else "")


def _facts(tool: Tool) -> tuple[Fact, ...]:
    return facts(
        Fact(label="Number", text=tool.number),
        Fact(label="Special tool", text="Yes" if tool.special else ""),
        *_figures(tool),
        Fact(label="Where kept", text=tool.where),
    )
