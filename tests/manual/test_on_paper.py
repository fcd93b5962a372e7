"""A procedure's page on paper, printed by a real browser and read back: nothing is lost, and nothing is parted."""

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from procgen.manual.site import pages
from tests.manual.built import site_of
from tests.manual.opened import open_page
from tests.manual.reading import elements, texts, words

pytestmark = pytest.mark.browser

PATH = "procedure/renew-coolant-pump.html"
DEMO = Path(__file__).parents[2] / "procedures"
MOST = 16
"""Pages of A4 that the longest procedure may take: it has 56 steps, 5 figures and 8 safety messages."""


def plain(text: str) -> str:
    """Words only: how a printed line breaks does not count."""
    return re.sub(r"[\W_]+", "", text).lower()


@pytest.fixture(scope="module")
def html() -> str:
    return next(page.data.decode() for page in pages(site_of(DEMO)) if page.path == PATH)


@pytest.fixture(scope="module")
def printed(browser: Browser, site: str, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, list[str]]:
    """For each paper the text of each page, from a screen set for the night with its folds shut."""
    page = open_page(browser, site + PATH, light="night")
    page.locator("input[name=flush][value=true]").check()
    page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = false })")
    folder = tmp_path_factory.mktemp("paper")
    made = {paper: on_paper(page, paper, folder / f"{paper}.pdf") for paper in ("A4", "Letter")}
    page.context.close()
    return made


def on_paper(page: Page, paper: str, file: Path) -> list[str]:
    page.evaluate("(paper) => { document.documentElement.dataset.paper = paper }", paper)
    page.pdf(path=file, prefer_css_page_size=True)
    return [each.extract_text() for each in PdfReader(file).pages]


def steps(html: str) -> Iterator[tuple[str, list[str]]]:
    """Of every step its number, and what must stand on one page with it: notices, instruction, torques."""
    for step in elements(html, "section", class_="step"):
        (number, *_) = texts(step, "p", class_="step-number")
        (body, *_) = elements(step, "div", class_="step-body")
        together = texts(body, class_="notice-text") + texts(body, class_="instruction")
        sides = [side for side in step if side.get("class") == "step-side"]
        for side in sides:
            together += texts(side, class_="stage-main")
        yield number, together


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_page_says_what_it_is_and_which_of_how_many(printed: Mapping[str, list[str]], paper: str) -> None:
    sheet = printed[paper]
    for number, text in enumerate(sheet, start=1):
        assert "Renew the coolant pump" in text
        assert f"page {number} of {len(sheet)}" in text
        assert re.search(r"Revision 2, fingerprint [2-9A-Z]{4}-[2-9A-Z]{4}", text)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_step_its_notices_and_its_torques_are_on_one_page(
    printed: Mapping[str, list[str]], html: str, paper: str
) -> None:
    sheet = [plain(text) for text in printed[paper]]
    parted = [
        number
        for number, together in steps(html)
        if not any(all(plain(words) in text for words in together) for text in sheet)
    ]
    assert parted == []


def test_every_torque_and_every_safety_message_of_the_procedure_is_printed(
    printed: Mapping[str, list[str]], html: str
) -> None:
    sheet = plain(" ".join(printed["A4"]))
    (summary,) = elements(html, "table", class_="torque-summary")
    (hazards,) = elements(html, "div", class_="hazards")
    torques = texts(summary, class_="stage-main")
    notices = texts(hazards, class_="notice-text")
    assert len(torques) >= 8
    assert len(notices) == 8
    assert [text for text in (*torques, *notices) if plain(text) not in sheet] == []


def test_what_can_hurt_is_said_in_full_before_the_work_and_in_short_only_where_it_was_said(html: str) -> None:
    (hazards,) = elements(html, "div", class_="hazards")
    full = {words(title): words(notice) for notice in hazards for title in elements(notice, class_="signal-title")}
    seen = set()
    for notice in elements(html, "div", class_="notice"):
        (title,) = texts(notice, class_="signal-title")
        if "again" in (notice.get("class") or "").split():
            assert title in seen
            assert words(notice).split()[0] == full[title].split()[0]
        seen.add(title)


def test_for_which_options_it_was_printed_is_on_the_paper(printed: Mapping[str, list[str]]) -> None:
    first = " ".join(printed["A4"][0].split())
    assert "Flush the circuit as well? Yes" in first
    assert "Cooling Any" in first


def test_paper_is_used_well(printed: Mapping[str, list[str]]) -> None:
    assert len(printed["A4"]) <= MOST


def test_nothing_that_is_folded_is_missing(printed: Mapping[str, list[str]]) -> None:
    sheet = " ".join(" ".join(printed["A4"]).split())
    assert "Take out the upper cover bolts" in sheet
    assert "Before you rely on this page" in sheet


def test_boxes_are_large_enough_for_a_pencil_in_a_glove(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PATH)
    page.emulate_media(media="print")
    size = "(pick) => [...document.querySelectorAll(pick)].map((e) => parseFloat(getComputedStyle(e, '::after').width))"
    mm = 96 / 25.4
    assert min(page.evaluate(size, ".step-number, .plate .stage")) >= 7.9 * mm
    heights = page.evaluate("[...document.querySelectorAll('.write-box')].map((e) => e.getBoundingClientRect().height)")
    assert min(heights) >= 12.9 * mm
    page.context.close()


def test_the_head_of_a_table_stands_on_each_of_its_pages(printed: Mapping[str, list[str]]) -> None:
    heads = [text for text in printed["A4"] if re.search(r"What\s+Find it by\s+Steps", text)]
    assert len(heads) == 2


def test_the_head_of_a_table_of_visits_is_never_alone_at_the_foot_of_a_page(
    browser: Browser, site: str, tmp_path: Path
) -> None:
    page = open_page(browser, site + "visits/launch-one.html")
    page.evaluate("document.querySelector('.visits').prepend(document.createElement('div'))")
    heads = 0
    # The page pushed down bit by bit, by less than a head is high.
    for down_mm in range(0, 125, 5):
        page.evaluate("(down) => { document.querySelector('.visits').firstChild.style.height = `${down}mm` }", down_mm)
        for text in on_paper(page, "A4", tmp_path / "visits.pdf"):
            for below in text.lower().split("the visits, ")[1:]:
                heads += 1
                assert re.search(r"^\d{4}-\d\d-\d\d ", below, re.MULTILINE), f"{down_mm} mm down: {below}"
    page.context.close()
    assert heads > 25


def test_letter_paper_prints_on_letter_and_a4_on_a4(browser: Browser, site: str, tmp_path: Path) -> None:
    page = open_page(browser, site + "procedure/make-engine-safe.html")
    for paper, size in (("Letter", (612, 792)), ("A4", (595, 842))):
        on_paper(page, paper, tmp_path / "sheet.pdf")
        box = PdfReader(tmp_path / "sheet.pdf").pages[0].mediabox
        assert (round(box.width), round(box.height)) == size
    page.context.close()
