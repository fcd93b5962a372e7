"""In a real browser: the open page follows the files, stays where the reader was, and says what is wrong."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright

from tests.watch.watched import Watched, watching
from tests.written import write

pytestmark = pytest.mark.browser

STEPS = "".join(f"  - do: Put oil on hinge pin number {number}.\n" for number in range(1, 41))
GOOD = f"procedure: grease-hinge\ntitle: Grease the hinge\nsteps:\n{STEPS}"
BAD = GOOD.replace("  - do: Put oil on hinge pin number 40.\n", "  - do: Put oil on it.\n    colour: red\n")
COLOUR = 'unknown-key The key "colour"'
TIME_OUT_MS = 60_000


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return write(tmp_path / "library", {"hinge.yaml": GOOD})


@pytest.fixture
def watched(library: Path, tmp_path: Path) -> Iterator[Watched]:
    with watching(library, tmp_path / "site") as watched:
        yield watched


@pytest.fixture
def page(browser: Browser, watched: Watched) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 800, "height": 600})
    page.set_default_timeout(TIME_OUT_MS)
    complaints: list[str] = []
    page.on(
        "console", lambda said: complaints.append(said.text) if said.type == "error" and not is_gone(said) else None
    )
    page.on("pageerror", lambda error: complaints.append(str(error)))
    show(page, watched, "procedure/grease-hinge.html")
    yield page
    page.close()
    assert complaints == []


def is_gone(said: ConsoleMessage) -> bool:
    """The page itself was taken away, by a test that does so."""
    return "404" in said.text and said.location["url"].endswith("grease-hinge.html")


def show(page: Page, watched: Watched, path: str) -> None:
    """Open a page, and wait until it listens."""
    page.goto(watched.address + path)
    mark(page)


def mark(page: Page) -> None:
    """Wait until the page listens, and mark it, so that it is known again."""
    page.wait_for_selector("html[data-watched]")
    page.evaluate("document.documentElement.dataset.seen = 1")


def save(library: Path, text: str) -> None:
    (library / "hinge.yaml").write_text(text, encoding="utf-8")


def wait_until_loaded_again(page: Page) -> None:
    page.wait_for_selector("html[data-watched]:not([data-seen])")


def y_of(page: Page, text: str) -> float:
    """Where a step stands in the window."""
    box = page.get_by_text(text, exact=True).bounding_box()
    assert box
    return box["y"]


def test_a_saved_file_loads_the_page_again_where_the_reader_was(library: Path, page: Page) -> None:
    page.get_by_text("Put oil on hinge pin number 20.", exact=True).scroll_into_view_if_needed()
    before = page.evaluate("scrollY")
    assert before > 600
    save(library, GOOD.replace("number 20.", "number twenty."))
    wait_until_loaded_again(page)
    expect(page.get_by_text("Put oil on hinge pin number twenty.", exact=True)).to_be_in_viewport()
    assert page.evaluate("scrollY") == pytest.approx(before, abs=2)


def test_where_the_page_grows_above_the_reader_the_same_step_stays_in_view(library: Path, page: Page) -> None:
    page.get_by_text("Put oil on hinge pin number 30.", exact=True).scroll_into_view_if_needed()
    before, y_before = page.evaluate("scrollY"), y_of(page, "Put oil on hinge pin number 30.")
    save(library, GOOD.replace("title:", f"summary: {'Much is to be said of it. ' * 80}\ntitle:"))
    wait_until_loaded_again(page)
    assert page.evaluate("scrollY") > before + 100
    assert y_of(page, "Put oil on hinge pin number 30.") == pytest.approx(y_before, abs=3)


def test_a_finding_is_shown_in_a_strip_that_vanishes_when_it_is_mended(library: Path, page: Page) -> None:
    strip = page.get_by_role("complementary", name="Findings")
    expect(strip).to_have_count(0)
    save(library, BAD)
    wait_until_loaded_again(page)
    expect(strip).to_be_visible()
    expect(strip).to_contain_text(re.compile(r"library: 1 error"))
    strip.get_by_text("1 error").click()
    expect(strip).to_contain_text(re.compile(r"hinge\.yaml:\d+:5 unknown-key"))
    # It stays unfolded when the page is loaded again for something else.
    mark(page)
    save(library, BAD.replace("pin number 1.", "pin number one."))
    wait_until_loaded_again(page)
    expect(strip).to_contain_text("unknown-key")
    expect(strip.get_by_text("hinge.yaml:")).to_be_visible()
    save(library, GOOD)
    expect(strip).to_have_count(0, timeout=TIME_OUT_MS)
    expect(page.get_by_text("DRAFT")).to_have_count(0)


def test_the_strip_is_not_printed_and_hides_nothing_at_the_end_of_the_page(library: Path, page: Page) -> None:
    save(library, BAD)
    wait_until_loaded_again(page)
    strip = page.get_by_role("complementary", name="Findings")
    expect(strip).to_be_visible()
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    end, top = page.locator(".colophon").bounding_box(), strip.bounding_box()
    assert end
    assert top
    assert end["y"] + end["height"] <= top["y"]
    page.emulate_media(media="print")
    expect(strip).to_be_hidden()


def test_ticks_kept_in_the_browser_survive_and_a_field_being_filled_in_is_not_torn_away(
    library: Path, page: Page
) -> None:
    page.evaluate("""() => {
        localStorage.setItem("tick", "3");
        const field = document.createElement("textarea");
        field.id = "note";
        field.addEventListener("change", () => localStorage.setItem("note", field.value));
        document.querySelector("main").prepend(field);
    }""")
    page.locator("#note").press_sequentially("found it dry")
    save(library, GOOD.replace("number 20.", "number twenty."))
    strip = page.get_by_role("complementary", name="Findings")
    expect(strip).to_contain_text("loaded again when you leave the field", timeout=TIME_OUT_MS)
    assert page.locator("#note").input_value() == "found it dry"
    page.locator("#note").blur()
    wait_until_loaded_again(page)
    assert page.evaluate("[localStorage.tick, localStorage.note]") == ["3", "found it dry"]


def test_a_page_that_did_not_change_is_left_alone(library: Path, page: Page) -> None:
    builds = page.evaluate("document.documentElement.dataset.watched")
    write(library, {"notes/readme.txt": "nothing that is built"})
    page.wait_for_selector(f"html:not([data-watched='{builds}'])")
    assert page.evaluate("document.documentElement.dataset.seen") == "1"


def test_a_page_that_goes_and_comes_back_is_followed(library: Path, page: Page) -> None:
    (library / "hinge.yaml").rename(library / "hinge.txt")
    wait_until_loaded_again(page)
    expect(page.get_by_role("heading", name="No such page")).to_be_visible()
    mark(page)
    (library / "hinge.txt").rename(library / "hinge.yaml")
    wait_until_loaded_again(page)
    expect(page.get_by_role("heading", name="Grease the hinge")).to_be_visible()
