"""A procedure at the bench, in a real browser: where one is, the next vital check, keys, gloves, no scripts."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.manual.opened import open_page

pytestmark = pytest.mark.browser

PUMP = "procedure/renew-coolant-pump.html"


@pytest.fixture
def pump(browser: Browser, site: str) -> Iterator[Page]:
    page = open_page(browser, site + PUMP, still=True)
    yield page
    page.context.close()


def focused_step(page: Page) -> str:
    return str(
        page.evaluate("document.activeElement.closest('.step')?.querySelector('.step-number').textContent ?? ''")
    )


def vital_steps(page: Page) -> list[str]:
    steps = page.locator(".step.vital > .step-number").all()
    return [step.inner_text() for step in steps if step.is_visible()]


@pytest.mark.parametrize("width", [390, 820, 1280])
def test_the_parts_of_the_page_stay_within_reach(browser: Browser, site: str, width: int) -> None:
    page = open_page(browser, site + PUMP, width=width, still=True)
    for anchor in ("hazards", "work", "sources"):
        tab = page.locator(f'.rail a[href="#{anchor}"]')
        tab.click()
        page.wait_for_function("(a) => document.querySelector('.rail [aria-current]')?.hash === '#' + a", arg=anchor)
        assert page.locator(f"#{anchor}").is_visible()
        box = tab.bounding_box()
        assert box
        assert box["height"] >= 43.9
        assert box["y"] + box["height"] <= 900
    page.context.close()


def test_while_scrolling_the_rail_says_which_step_it_is(pump: Page) -> None:
    step = pump.locator(".step", has_text="Slacken the tensioner bolt by one turn").first
    step.evaluate("(step) => step.scrollIntoView({ block: 'start' })")
    number = step.locator(".step-number").first.inner_text()
    pump.wait_for_function(
        "(words) => document.querySelector('.rail-where').textContent === words", arg=f"Step {number} of 56"
    )


def test_the_next_vital_check_is_one_press_away_and_after_the_last_comes_the_first(pump: Page) -> None:
    wanted = vital_steps(pump)
    assert len(wanted) > 2
    button = pump.get_by_role("button", name="Next vital check")
    met = []
    for _ in range(len(wanted) + 1):
        button.click()
        met.append(focused_step(pump))
    assert met == [*wanted, wanted[0]]


def test_a_vital_check_behind_a_shut_fold_is_opened(pump: Page) -> None:
    pump.evaluate("document.querySelectorAll('.fold').forEach((fold) => { fold.open = false })")
    for _ in range(12):
        pump.keyboard.press("v")
    assert pump.locator(".step:focus").is_visible()


def test_keys_walk_the_steps(pump: Page) -> None:
    for _ in range(3):
        pump.keyboard.press("n")
    assert focused_step(pump) == "3"
    pump.keyboard.press("p")
    assert focused_step(pump) == "2"


def test_the_list_of_keys_opens_by_a_control_and_by_a_key_and_every_key_is_on_it(pump: Page) -> None:
    pump.get_by_role("button", name="Keys").click()
    dialog = pump.get_by_role("dialog", name="Keys on this page")
    assert dialog.locator("kbd").all_inner_texts() == ["/", "?", "v", "n", "p", "s", "o", "t", "b"]
    dialog.get_by_role("button", name="Close").click()
    assert not dialog.is_visible()
    pump.keyboard.press("?")
    assert dialog.is_visible()
    pump.keyboard.press("n")
    assert focused_step(pump) == ""
    pump.keyboard.press("Escape")
    assert not dialog.is_visible()


def test_keys_can_be_turned_off_for_the_whole_manual(pump: Page, site: str) -> None:
    # WCAG 2.2, 2.1.4: a shortcut of one character can be turned off.
    pump.keyboard.press("?")
    pump.get_by_role("checkbox", name="Single keys act").uncheck()
    pump.get_by_role("button", name="Close").click()
    pump.keyboard.press("n")
    assert focused_step(pump) == ""
    pump.goto(site + "index.html")
    pump.keyboard.press("/")
    assert pump.url.endswith("index.html")
    pump.get_by_role("button", name="Keys").click()
    pump.get_by_role("checkbox", name="Single keys act").check()
    pump.get_by_role("button", name="Close").click()
    pump.keyboard.press("/")
    pump.wait_for_url("**/find.html")


def test_no_key_acts_while_someone_types_or_holds_another_key(browser: Browser, site: str) -> None:
    page = open_page(browser, site + "find.html")
    page.keyboard.type("n?/v")
    assert page.locator("#wanted").input_value() == "n?/v"
    assert not page.get_by_role("dialog").is_visible()
    page.goto(site + PUMP)
    page.keyboard.press("Control+n")
    page.keyboard.press("Alt+n")
    assert focused_step(page) == ""
    page.locator(".switches input").first.focus()
    page.keyboard.press("n")
    assert focused_step(page) == ""
    page.context.close()


def test_a_number_on_a_figure_leads_to_its_key_to_the_step_and_back(pump: Page) -> None:
    pump.locator(".figure .callouts a").first.click()
    line = pump.locator(".key li:target")
    assert line.is_visible()
    line.locator("a[href^='#step-']").first.click()
    step = pump.locator(".step:target")
    assert step.is_visible()
    step.locator(".callout-mark").first.click()
    assert pump.locator(".key li:target").is_visible()


def test_without_scripts_all_of_it_can_be_read_and_reached(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP, javascript=False)
    assert all(step.is_visible() for step in page.locator(".step").all())
    page.locator('.rail a[href="#torques"]').click()
    assert page.url.endswith("#torques")
    unusable = page.locator(".rail button, .acts, .lamps, .switches label").all()
    assert not any(each.is_visible() for each in unusable)
    page.context.close()


def test_in_bench_mode_what_a_glove_touches_is_56_pixels_high(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP, width=820, light="bench")
    small = page.evaluate(
        """() => [...document.querySelectorAll(
            '.thumb-index a, .running-head a, .lamps button, .switches label, .rail a, .rail button, .fold > summary, '
            + '.state > summary')]
            .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 55.9).map((e) => e.outerHTML)"""
    )
    assert small == []
    assert page.evaluate("parseFloat(getComputedStyle(document.querySelector('.instruction')).fontSize)") >= 26
    page.context.close()


def test_nothing_that_has_the_focus_is_hidden_by_the_rail(pump: Page) -> None:
    # WCAG 2.2, 2.4.11
    hidden = pump.evaluate(
        """() => [...document.querySelectorAll('main a, main summary, main input')].filter((each) => {
            if (!each.offsetParent || each.closest('.rail')) return false;
            each.focus();
            return each.getBoundingClientRect().top >= document.querySelector('.rail').getBoundingClientRect().top;
        }).map((each) => each.outerHTML)"""
    )
    assert hidden == []


def test_where_less_motion_is_asked_for_nothing_glides(pump: Page) -> None:
    assert pump.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
    moving = "[...document.querySelectorAll('*')].filter((e) => getComputedStyle(e).transitionDuration !== '0s').length"
    assert pump.evaluate(moving) == 0
