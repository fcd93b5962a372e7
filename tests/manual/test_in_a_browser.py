"""The demo manual in a real browser, opened from a disk: it works by keyboard, in any light, at any width."""

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.manual.opened import ONE_OF_EACH, open_page

pytestmark = pytest.mark.browser

COLOURFUL = (
    "index.html",
    "machine/m40/pump-bolts.html",
    "procedure/renew-raw-water-impeller.html",
    "sheet/renew-raw-water-impeller.html",
    "torque-calculator.html",
    "notices.html",
    "find.html",
    "report.html",
)
LIGHTS = ("day", "night", "bench")


@pytest.mark.parametrize("light", LIGHTS)
def test_axe_finds_nothing_on_any_kind_of_page(browser: Browser, site: str, light: str) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 900}, bypass_csp=True)
    context.add_init_script(f"localStorage.setItem('manual-light', '{light}')")
    page = context.new_page()
    found = []
    # Only colours differ between the lights, and these pages have them all.
    rules = {} if light == "day" else {"runOnly": ["color-contrast", "link-in-text-block"]}
    for path in ONE_OF_EACH if light == "day" else COLOURFUL:
        page.goto(site + path)
        if path == "find.html":
            page.keyboard.type("pump")
        if path.startswith("procedure/"):
            page.locator(".state > summary").nth(6).click()
            page.locator(".state dl").wait_for()
        violations = Axe().run(page, options=rules)["violations"]
        found += [f"{path}: {each['id']}: {each['nodes'][0]['html']}" for each in violations]
    context.close()
    assert found == []


def test_no_page_scrolls_sideways_at_320_pixels(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html", width=320)
    wide = []
    for path in ONE_OF_EACH:
        page.goto(site + path)
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 320:
            wide.append(f"{path}: {width}")
    page.context.close()
    assert wide == []


def test_what_fingers_touch_is_44_pixels_high(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "procedure/renew-coolant-pump.html", width=390)
    small = page.evaluate(
        """() => [...document.querySelectorAll(
            '.thumb-index a, .running-head a, .lamps button, .switches label, .fold > summary, .state > summary')]
            .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 43.9).map((e) => e.outerHTML)"""
    )
    page.context.close()
    assert small == []


def test_on_a_phone_every_cell_of_a_wide_table_has_the_width_of_the_page(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html", width=390)
    cramped = []
    for path in ("torque/m40.html", "tools.html", "parts.html", "sources.html", "report.html", "fleet.html"):
        page.goto(site + path)
        widths = page.evaluate(
            "[...document.querySelectorAll('td, tbody th')].filter((e) => getComputedStyle(e).display === 'block')"
            ".map((e) => e.getBoundingClientRect().width)"
        )
        assert widths, path
        cramped += [path for width in widths if width < 340]
        assert page.evaluate("[...document.querySelectorAll('.table')].every((e) => e.scrollWidth <= e.clientWidth)")
    page.context.close()
    assert cramped == []


def test_nothing_leaves_the_folder(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for path in ONE_OF_EACH:
        page.goto(site + path)
    page.context.close()
    assert asked
    assert [url for url in asked if not url.startswith(site)] == []


def test_an_option_hides_its_steps_and_the_time_follows(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "procedure/renew-timing-belt.html")
    only = page.locator(".step", has_text="Spin the roller by hand").first
    before = page.locator("#working-time dd").inner_text()
    assert not only.is_visible()
    page.locator("input[name=renew-rollers][value=false]").check()
    assert only.is_visible()
    assert page.locator("#working-time dd").inner_text() != before
    page.context.close()


def test_the_time_on_the_page_is_the_time_that_the_switches_reckon(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html")
    for path in ("renew-timing-belt", "renew-coolant-pump"):
        without = open_page(browser, f"{site}procedure/{path}.html", javascript=False)
        page.goto(f"{site}procedure/{path}.html")
        said = without.locator("#working-time dd").inner_text()
        assert page.locator("#working-time dd").inner_text() == said
        without.context.close()
    page.context.close()


def test_without_a_script_every_step_is_shown_with_its_condition(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "procedure/renew-timing-belt.html", javascript=False)
    steps = page.locator(".step").all()
    assert steps
    assert all(step.is_visible() for step in steps)
    assert page.locator(".step", has_text="Spin the roller by hand").first.locator(".only-if").first.is_visible()
    assert not page.locator(".switches label").first.is_visible()
    page.context.close()


def test_find_ranks_forgives_a_slip_and_is_walked_by_keyboard(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html")
    page.keyboard.press("/")
    page.wait_for_url("**/find.html")
    page.keyboard.type("colant pump")
    titles = page.locator(".found-title").all_inner_texts()
    assert titles[:2] == ["Inspect the coolant pump", "Renew the coolant pump"]
    assert page.locator("#found-count").inner_text() == f"{len(titles)} found"
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/procedure/renew-coolant-pump.html")
    page.context.close()


def test_find_knows_section_numbers_and_threads(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "find.html")
    page.keyboard.type("M8x1.25")
    assert "Coolant pump bolts" in page.locator(".found-title").all_inner_texts()
    page.keyboard.press("Escape")
    page.keyboard.type("nothing has this name")
    assert page.locator("#found-count").inner_text() == "Nothing has that name."
    page.context.close()


def test_a_light_that_was_chosen_is_kept(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "index.html")
    page.get_by_role("button", name="Bench").click()
    page.goto(site + "machine/m40.html")
    assert page.evaluate("document.documentElement.dataset.light") == "bench"
    assert page.get_by_role("button", name="Bench").get_attribute("aria-pressed") == "true"
    page.context.close()


def test_a_link_to_a_step_opens_the_fold_around_it(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "procedure/renew-coolant-pump.html")
    fold = page.locator("details.fold-open").first
    fold.locator("> summary").click()
    inner = fold.locator(".step").first
    assert not inner.is_visible()
    page.evaluate("(id) => { location.hash = id }", inner.get_attribute("id"))
    page.wait_for_function("document.querySelector('details.fold-open').open")
    assert inner.is_visible()
    page.context.close()


def test_the_choices_of_a_sheet_stand_in_one_line_whichever_is_made(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "sheet/renew-timing-belt.html")
    tops = page.evaluate(
        "[...document.querySelectorAll('.which')].map((e) => [...e.querySelectorAll('label')].map((l) => l.offsetTop))"
    )
    page.context.close()
    assert len(tops) == 3
    assert all(len(set(line)) == 1 for line in tops)
