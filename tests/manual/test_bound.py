"""The manual bound as one PDF, read back: contents, bookmarks, page numbers that are right."""

import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import Destination

from procgen.manual.bound import BookError, bind, order, ready
from procgen.manual.bound_drawings import drawing_style, with_own_style
from procgen.manual.site import pages
from tests.manual.built import site_of
from tests.written import write

LIBRARY = {
    "manual.yaml": "manual: Club manual\npublisher: The club\n",
    "engine.yaml": """\
        machine: engine
        title: Small engine
        components:
          lid: {title: Lid, held-by: [lid-bolts]}
        fasteners:
          lid-bolts: {title: Lid bolts, thread: M6, class: "8.8", count: 4, head: hex, torque: 9 N·m, threads: dry,
                      pattern: {grid: 2x2}}
        """,
    "notices.yaml": "notices:\n  starts: {level: warning, title: Starts, hazard: It starts., avoid: Pull the plug.}\n",
    "tools.yaml": "tools:\n  plug: {title: Plug puller}\n",
    "look-inside.yaml": """\
        procedure: look-inside
        machine: engine
        title: Look inside
        steps:
          - remove: lid
            notices: [starts]
            tools: [plug]
          - fit: lid
        """,
}


OWN_ITEMS = {
    "oil.yaml": """\
        procedure: change-oil
        title: Change the oil
        fasteners: {drain-plug: {title: Drain plug, thread: M12x1.5}}
        steps:
          - loosen: drain-plug
          - drain: engine-oil
        """
}
DEMO = Path(__file__).parents[2] / "procedures"


def book_of(folder: Path) -> bytes:
    site = site_of(write(folder, LIBRARY), draft=True)
    made = list(bind(pages(site), site))
    assert [page.path for page in made][-1] == "book.pdf"
    return made[-1].data


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> PdfReader:
    return PdfReader(io.BytesIO(book_of(tmp_path_factory.mktemp("library"))))


def bookmarks(outline: object, depth: int = 0) -> Iterator[tuple[int, Destination]]:
    for entry in outline if isinstance(outline, list) else []:
        if isinstance(entry, Destination):
            yield depth, entry
        else:
            yield from bookmarks(entry, depth + 1)


def test_bookmarks_follow_the_order_of_a_book(book: PdfReader) -> None:
    found = [(depth, str(entry.title)) for depth, entry in bookmarks(book.outline)]
    top = [title for depth, title in found if depth == 0]
    assert top[:2] == ["Club manual", "Small engine"]
    assert top[-2:] == ["Words and index", "Report on the library"]
    assert (1, "Torques: Small engine") in found
    assert (1, "Look inside") in found
    assert (2, "The work") in found


def test_a_bookmark_leads_to_the_page_with_that_heading(book: PdfReader) -> None:
    for _, entry in bookmarks(book.outline):
        number = book.get_destination_page_number(entry)
        assert number is not None
        assert str(entry.title) in " ".join(book.pages[number].extract_text().split())


def test_the_contents_say_on_which_page_it_is(book: PdfReader) -> None:
    said = re.search(r"Look inside[ .]*?(\d+)\n", "\n".join(page.extract_text() for page in book.pages[:2]))
    assert said
    assert "The work" in book.pages[int(said[1]) - 1].extract_text() + book.pages[int(said[1])].extract_text()


def test_every_page_has_its_head_and_says_that_it_is_a_draft(book: PdfReader) -> None:
    for number, page in enumerate(book.pages, start=1):
        text = page.extract_text()
        assert f"page {number} of {len(book.pages)}" in text
        assert "Club manual" in text
        assert "DRAFT" in text


def test_torques_and_notices_are_in_it(book: PdfReader) -> None:
    text = " ".join(" ".join(page.extract_text() for page in book.pages).split())
    assert "9 N·m" in text
    assert "WARNING" in text
    assert "It starts. Pull the plug." in text
    assert "Before you rely on this page" in text


def test_what_only_works_on_a_screen_stays_out(book: PdfReader) -> None:
    text = " ".join(page.extract_text() for page in book.pages)
    assert "One torque in every unit" not in text
    assert "Next vital check" not in text


def test_the_same_library_gives_the_same_bytes(tmp_path: Path) -> None:
    assert book_of(tmp_path / "one") == book_of(tmp_path / "two")


@pytest.mark.parametrize("which", ["small", "demo"])
def test_every_page_of_the_manual_that_is_no_sheet_and_no_tool_of_the_screen_is_bound(
    tmp_path: Path, which: str
) -> None:
    site = site_of(DEMO if which == "demo" else write(tmp_path, LIBRARY | OWN_ITEMS))
    made = {page.path for page in pages(site) if page.path.endswith(".html")}
    left_out = {path for path in made if path.startswith(("sheet/", "job/"))} | {"find.html", "torque-calculator.html"}
    assert {leaf.path for leaf in order(site.library)} == made - left_out


@pytest.mark.parametrize(
    ("problem", "said"),
    [(ImportError("no module"), "pip install weasyprint"), (OSError("cannot load libpango"), "libpango-1.0-0")],
)
def test_where_it_cannot_be_set_the_message_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, problem: Exception, said: str
) -> None:
    class Missing:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "weasyprint":
                raise problem

    for name in [name for name in sys.modules if name.partition(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    with pytest.raises(BookError, match=said):
        ready()


def test_drawings_carry_the_styles_of_the_page_with_the_values_of_paper() -> None:
    sheets = {
        "tokens.css": ":root { --ink: #123456; --label: Arial; }\n",
        "work.css": ".hole { fill: var(--ink); }\n.turn { font: 800 15px var(--label); fill: red; }\np { top: 0; }\n",
        "print.css": "@media print { :root { --ink: #000; } }\n",
    }
    style = drawing_style(sheets)
    assert style == (".hole {fill: #000;}\n.turn {font-weight: 800; font-size: 15px; font-family: Arial; fill: red;}")
    assert with_own_style('<svg class="order-drawing"></svg>', "a > b {}") == (
        '<svg class="order-drawing"><style>a &gt; b {}</style></svg>'
    )
