"""The sheet on a screen, from the first tick to the logbook: worked on in a real browser, opened from a disk."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright
from pypdf import PdfReader

from procgen.cli import main
from procgen.library.load import load
from procgen.upkeep.due import due
from tests.manual.sheets import CHROMIUM, DAY, bench, build, complete, next_step, opened, step, tick
from tests.sheet.boat import BOAT, WITHOUT_A_WAY_OUT, WITHOUT_LIMITS
from tests.written import write

pytestmark = pytest.mark.browser

DEMO = Path(__file__).parents[2] / "procedures"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("boat")
    return build(write(folder / "library", BOAT), folder / "site")


@pytest.fixture
def context(tmp_path: Path) -> Iterator[BrowserContext]:
    with bench(tmp_path / "profile") as context:
        yield context


@pytest.fixture
def page(context: BrowserContext, site: Path) -> Page:
    return opened(context, site / "job/belt-of-one.html")


def strip(page: Page) -> str:
    return page.locator(".sheet-strip p").inner_text()


def saved(page: Page, folder: Path) -> dict[str, Any]:
    """The record that the page saves as a file."""
    with page.expect_download() as download:
        page.get_by_role("button", name="Save", exact=True).click()
    file = folder / download.value.suggested_filename
    download.value.save_as(file)
    found: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return found


def open_record(page: Page, record: dict[str, Any], folder: Path) -> None:
    file = folder / "in.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    page.locator(".open-record input").set_input_files(file)


def complete_all(page: Page) -> None:
    """Work through the sheet, all good."""
    while number := next_step(page):
        complete(page, number)


def close(page: Page, meter: str) -> None:
    for name, value in (("on", "2026-11-01"), ("meter", meter), ("by", "A. Fitter"), ("checked-by", "B. Checker")):
        page.locator(f'[data-close="{name}"]').fill(value)


# Readings and choices


def test_a_reading_outside_its_limits_is_flagged_while_it_is_typed_and_opens_its_branch(page: Page) -> None:
    field = page.locator(f"{step('8')} .reading input")
    assert page.locator(step("8.1")).is_hidden()
    field.press_sequentially("7,")
    assert page.locator(f"{step('8')} .said").inner_text() == (
        "“7,” is no figure; type it in mm, or in in with the unit behind it."
    )
    field.press_sequentially("5")
    assert page.locator(f"{step('8')} .said").inner_text() == "Outside its limits: 5–7 mm."
    assert field.get_attribute("aria-invalid") == "true"
    assert page.locator(step("8.1")).is_visible()
    field.fill("0,25 in")
    assert page.locator(f"{step('8')} .said").inner_text() == ""
    assert page.locator(step("8.1")).is_hidden()


def test_a_step_whose_reading_is_outside_its_limits_cannot_be_ticked(context: BrowserContext, tmp_path: Path) -> None:
    strict = build(write(tmp_path / "library", WITHOUT_A_WAY_OUT), tmp_path / "site")
    page = opened(context, strict / "job/belt-of-one.html")
    box = page.locator(f"{step('8')} .step-number, {step('8')} label.step-number").first.locator("input")
    page.locator(f"{step('8')} .reading input").fill("7.5")
    box.click()
    assert not box.is_checked()
    assert page.locator(f"{step('8')} .step-said").inner_text() == "Not ticked: Play is outside its limits."
    page.locator(f"{step('8')} .reading input").fill("6.5")
    box.click()
    assert box.is_checked()
    page.locator(f"{step('8')} .reading input").fill("9")
    page.locator(f"{step('8')} .reading input").blur()
    assert not box.is_checked()


def test_a_spec_without_limits_has_its_unit_beside_the_box_and_is_read_in_it(
    context: BrowserContext, tmp_path: Path
) -> None:
    site = build(write(tmp_path / "library", WITHOUT_LIMITS), tmp_path / "site")
    page = opened(context, site / "job/belt-of-one.html")
    box = page.locator(f"{step('8')} .reading")
    assert box.locator(".entry-box b").inner_text() == "mm"
    box.locator("input").fill("6 bar")
    assert box.locator(".said").inner_text() == (
        "“6 bar” is no figure; type it in mm, or in in with the unit behind it."
    )
    box.locator("input").fill("60")
    assert box.locator(".said").inner_text() == ""
    tick(page, "8")
    assert page.locator(f"{step('8')} > .step-number input").is_checked()


def test_a_step_is_not_ticked_before_it_is_measured_or_decided(page: Page) -> None:
    for number, said in (("8", "the reading of Play is missing"), ("4", "say whether it is good or not")):
        page.locator(f"{step(number)} > .step-number input").click()
        assert not page.locator(f"{step(number)} > .step-number input").is_checked()
        assert page.locator(f"{step(number)} > .step-said").inner_text() == f"Not ticked: {said}."


def test_rejecting_an_inspection_opens_its_branch_and_accepting_closes_it(page: Page) -> None:
    own = page.locator(step("4"))
    assert page.locator(step("4.1")).is_hidden()
    own.locator(".verdict input[value=false]").check()
    assert page.locator(step("4.1")).is_visible()
    assert "of 13 steps" in strip(page)
    own.locator(".verdict input[value=true]").check()
    assert page.locator(step("4.1")).is_hidden()
    assert "of 12 steps" in strip(page)


def test_going_back_takes_the_ticks_since_and_keeps_the_reading_in_the_record(page: Page, tmp_path: Path) -> None:
    page.locator(f"{step('8')} .reading input").fill("8")
    tick(page, "8")
    page.locator(f"{step('8.1')} > .step-number input").click()
    assert page.locator(f"{step('8')} .reading input").input_value() == ""
    assert not page.locator(f"{step('8')} > .step-number input").is_checked()
    assert "Back at step 8." in page.locator(".sheet-news").inner_text()
    complete(page, "8")
    record = saved(page, tmp_path)
    assert [each["readings"] for each in record["rounds"]] == [{"play": ["8"]}]


def test_the_run_down_torque_is_added_to_each_figure(page: Page) -> None:
    rows = page.locator(f"{step('10')} .run-down tbody tr")
    rows.nth(0).locator("input").fill("4,5")
    assert rows.nth(0).locator("output").inner_text() == "24.5"
    assert rows.nth(1).locator("output").inner_text() == ""


def test_one_name_in_two_roles_is_flagged(page: Page) -> None:
    own = page.locator(step("11"))
    tick(page, "11")
    own.locator("[data-role=fitter]").fill("T.R.")
    own.locator("[data-role=checker]").fill("t.r.")
    assert own.locator("> .step-said").inner_text() == "Two roles, one name: a second person signs."
    assert "is-done" not in (own.get_attribute("class") or "")
    own.locator("[data-role=checker]").fill("M.B.")
    assert "is-done" in (own.get_attribute("class") or "")


def test_a_step_done_twice_has_two_ticks(page: Page) -> None:
    boxes = page.locator(f"{step('7')} > .step-number input")
    assert boxes.count() == 2
    boxes.nth(0).check()
    assert "is-done" not in (page.locator(step("7")).get_attribute("class") or "")
    boxes.nth(1).check()
    assert "is-done" in (page.locator(step("7")).get_attribute("class") or "")


# Kept


def test_ticks_readings_notes_and_signatures_survive_closing_the_browser(site: Path, tmp_path: Path) -> None:
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/belt-of-one.html")
        tick(page, "1")
        page.locator(f"{step('8')} .reading input").fill("6,2")
        page.locator(f"{step('11')} [data-role=fitter]").fill("T.R.")
        page.locator(f"{step('2')} .step-note summary").click()
        page.locator(f"{step('2')} .step-note textarea").fill("One nut was loose.")
        page.locator(".before [data-lay]").first.check()
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/belt-of-one.html")
        assert page.locator(f"{step('1')} > .step-number input").is_checked()
        assert page.locator(f"{step('8')} .reading input").input_value() == "6,2"
        assert page.locator(f"{step('11')} [data-role=fitter]").input_value() == "T.R."
        assert page.locator(f"{step('2')} .step-note textarea").input_value() == "One nut was loose."
        assert page.locator(".before [data-lay]").first.is_checked()
        assert strip(page).startswith("1 of 12 steps finished. Next is step 2.")


def test_undo_takes_back_the_last_thing_done(page: Page) -> None:
    undo = page.get_by_role("button", name="Undo")
    assert undo.is_disabled()
    tick(page, "1")
    tick(page, "2")
    undo.click()
    assert not page.locator(f"{step('2')} > .step-number input").is_checked()
    assert page.locator(f"{step('1')} > .step-number input").is_checked()
    undo.click()
    assert not page.locator(f"{step('1')} > .step-number input").is_checked()


def test_starting_anew_empties_the_sheet_and_can_be_taken_back(page: Page) -> None:
    tick(page, "1")
    page.locator(".strip-more summary").click()
    page.get_by_role("button", name="Start anew").click()
    assert not page.locator(f"{step('1')} > .step-number input").is_checked()
    page.get_by_role("button", name="Have it back").click()
    assert page.locator(f"{step('1')} > .step-number input").is_checked()


def test_what_could_be_undone_before_the_browser_was_closed_can_be_undone_after(site: Path, tmp_path: Path) -> None:
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/belt-of-one.html")
        tick(page, "1")
        page.locator(f"{step('8')} .reading input").fill("6.2")
        page.locator(f"{step('8')} .reading input").blur()
        page.locator(f"{step('8')} .reading input").fill("6.4")
        page.locator(f"{step('8')} .reading input").blur()
        page.locator(f"{step('2')} .step-note summary").click()
        # The battery dies while a word is typed.
        page.locator(f"{step('2')} .step-note textarea").press_sequentially("One nu")
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/belt-of-one.html")
        undo = page.get_by_role("button", name="Undo")
        note, reading = page.locator(f"{step('2')} .step-note textarea"), page.locator(f"{step('8')} .reading input")
        first = page.locator(f"{step('1')} > .step-number input")
        found = []
        while undo.is_enabled():
            found.append((note.input_value(), reading.input_value(), first.is_checked()))
            undo.click()
        found.append((note.input_value(), reading.input_value(), first.is_checked()))
        assert found == [("One nu", "6.4", True), ("", "6.4", True), ("", "6.2", True), ("", "", True), ("", "", False)]


def test_a_sheet_started_anew_can_be_had_back_after_a_reload(page: Page) -> None:
    complete(page, "1")
    complete(page, "8")
    page.locator(".strip-more summary").click()
    page.get_by_role("button", name="Start anew").click()
    page.reload()
    assert not page.locator(f"{step('1')} > .step-number input").is_checked()
    page.get_by_role("button", name="Undo").click()
    assert page.locator(f"{step('1')} > .step-number input").is_checked()
    assert page.locator(f"{step('8')} .reading input").input_value() == "6"


def test_what_can_be_undone_is_bounded_and_no_part_of_the_saved_record(page: Page, tmp_path: Path) -> None:
    box = page.locator(f"{step('1')} > .step-number input")
    box.evaluate("each => { for (let time = 0; time < 301; time += 1) each.click(); }")
    kept = "JSON.parse(Object.entries(localStorage).find(([key]) => key.startsWith('sheet|'))[1])"
    assert page.evaluate(f"{kept}.undo.length") == 200
    page.locator(f"{step('2')} .step-note summary").click()
    note = page.locator(f"{step('2')} .step-note textarea")
    for letter in "abcd":
        note.fill(letter * 60_000)
        note.blur()
    assert page.evaluate(f"JSON.stringify({kept}.undo).length") < 150_000
    page.get_by_role("button", name="Undo").click()
    assert note.input_value()[:2] == "cc"
    assert {"undo", "bench"}.isdisjoint(saved(page, tmp_path))


def test_where_the_browser_has_no_room_the_ticks_are_kept_and_what_can_be_undone_is_not(page: Page) -> None:
    tick(page, "1")
    page.evaluate("localStorage.setItem('other', '')")
    fill = """() => { for (let size = 2 ** 22; size >= 1; size /= 2) {
        try { while (true) localStorage.setItem('other', localStorage.getItem('other') + 'x'.repeat(size)); } catch { }
    } }"""
    page.evaluate(fill)
    page.evaluate("localStorage.setItem('other', localStorage.getItem('other').slice(100))")
    tick(page, "2")
    assert "keeps nothing" not in strip(page)
    page.reload()
    assert page.locator(f"{step('2')} > .step-number input").is_checked()
    assert page.get_by_role("button", name="Undo").is_disabled()


def test_what_is_open_above_the_last_tick_is_told(page: Page) -> None:
    tick(page, "1")
    tick(page, "3")
    assert strip(page) == "2 of 12 steps finished. Next is step 2. Still open above: 2."


# The pause sheet


def test_the_pause_sheet_tells_what_is_off_and_what_must_not_be_done(page: Page) -> None:
    for number in ("1", "2", "3"):
        complete(page, number)
    page.get_by_role("button", name="Pause").click()
    panel = page.get_by_role("dialog")
    assert panel.get_by_role("heading").inner_text() == "Paused before step 4"
    told = " ".join(panel.locator(".pause-state").inner_text().split())
    assert told == "Off Cover 3 Loose Cover nuts 2 Isolated Battery 1"
    assert panel.locator(".pause-rule").inner_text() == "Do not run the cover. Hands are near."
    assert "Boat One · B-001" in panel.inner_text()
    page.keyboard.press("Escape")
    assert page.get_by_role("dialog").count() == 0


def test_the_pause_sheet_is_printed_alone(page: Page, tmp_path: Path) -> None:
    for number in ("1", "2", "3"):
        complete(page, number)
    # What the page shows while the browser prints it.
    page.evaluate("window.print = () => { window.printed = document.documentElement.cloneNode(true).outerHTML; }")
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("button", name="Print this").click()
    assert "prints-now" in page.evaluate("window.printed.slice(0, 600)")
    page.evaluate("document.documentElement.classList.add('prints-now')")
    page.evaluate("document.querySelector('.now').classList.add('is-printed')")
    page.pdf(path=str(tmp_path / "pause.pdf"), prefer_css_page_size=True)
    (only,) = PdfReader(tmp_path / "pause.pdf").pages
    words = " ".join(only.extract_text().split())
    assert "Paused before step 4" in words
    assert "Next: step 4, Inspect Belt" in words
    assert "Before you start" not in words
    assert "Belt of boat one" in words


def test_the_pause_sheet_before_the_first_step_says_that_all_is_in_service(page: Page) -> None:
    page.get_by_role("button", name="Pause").click()
    assert "Everything is in service." in page.get_by_role("dialog").inner_text()


# Other devices, other prints


def test_a_record_goes_on_on_another_device(site: Path, tmp_path: Path) -> None:
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/belt-of-one.html")
        tick(page, "1")
        page.locator(f"{step('8')} .reading input").fill("6.2")
        record = saved(page, tmp_path)
    assert record["state"] == "paused"
    with bench(tmp_path / "telephone") as context:
        page = opened(context, site / "job/belt-of-one.html")
        open_record(page, record, tmp_path)
        assert page.locator(f"{step('1')} > .step-number input").is_checked()
        assert page.locator(f"{step('8')} .reading input").input_value() == "6.2"
        tick(page, "2")
        assert saved(page, tmp_path)["record"] == record["record"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"job": "another"}, "This is the record of another sheet: another."),
        ({"logbook": "two"}, "This record is of another machine: two."),
        ({"steps": None}, "This file is no record of a sheet."),
    ],
)
def test_a_file_that_does_not_fit_changes_nothing(
    page: Page, tmp_path: Path, change: dict[str, Any], said: str
) -> None:
    tick(page, "1")
    open_record(page, {**saved(page, tmp_path), **change}, tmp_path)
    assert said in page.locator(".sheet-news").inner_text()
    assert page.locator(f"{step('1')} > .step-number input").is_checked()


def test_an_outdated_print_is_told_its_ticks_kept_apart_and_what_is_the_same_carried_over(
    context: BrowserContext, tmp_path: Path
) -> None:
    library = write(tmp_path / "library", BOAT)
    page = opened(context, build(library, tmp_path / "site") / "job/belt-of-one.html")
    complete(page, "1")
    complete(page, "5")
    renew = library / "renew.yaml"
    renew.write_text(renew.read_text().replace("Slip it off.", "Slip it off towards you."))
    build(library, tmp_path / "site")
    page.reload()
    news = page.locator(".sheet-news")
    assert "that print is outdated. Of 2 steps filled in there, 1 have the same words here." in news.inner_text()
    assert not page.locator(f"{step('1')} > .step-number input").is_checked()
    news.get_by_role("button", name="Carry those over").click()
    assert page.locator(f"{step('1')} > .step-number input").is_checked()
    assert not page.locator(f"{step('5')} > .step-number input").is_checked()


def test_paused_work_goes_on_wherever_the_manual_is_opened(tmp_path: Path) -> None:
    library = write(tmp_path / "library", BOAT)
    with bench(tmp_path / "tablet") as context:
        page = opened(context, build(library, tmp_path / "site") / "job/belt-of-one.html")
        complete(page, "1")
        complete(page, "2")
        record = saved(page, tmp_path)
    file = next(tmp_path.glob("belt-of-one-*.json"))
    assert main(["record", str(file), str(library), "--on", "2026-11-01"]) == 0
    with bench(tmp_path / "office") as context:
        page = opened(context, build(library, tmp_path / "site") / "job/belt-of-one.html")
        news = page.locator(".sheet-news")
        assert f"This work pauses since {record['saved'][:10]}" in news.inner_text()
        news.get_by_role("button", name="Go on with it").click()
        assert strip(page).startswith("2 of 12 steps finished. Next is step 3.")
        page.reload()
        assert page.locator(".sheet-news").count() == 0


# Hands and eyes


def test_without_scripts_it_is_a_plain_sheet_with_every_branch_shown(site: Path) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_context(java_script_enabled=False).new_page()
        page.goto((site / "job/belt-of-one.html").as_uri())
        assert page.locator(step("4.1")).is_visible()
        assert page.locator(step("8.1")).is_visible()
        assert page.locator(".sheet-strip").count() == 0
        page.locator(f"{step('1')} > .step-number input").check()
        browser.close()


def test_the_whole_sheet_is_ticked_with_the_keyboard_alone(page: Page) -> None:
    page.locator(".sheet-form input").first.focus()
    for _ in range(200):
        focused = page.evaluate("document.activeElement.closest('.step')?.id ?? ''")
        if focused == "s1" and page.evaluate("document.activeElement.type") == "checkbox":
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert page.locator(f"{step('1')} > .step-number input").is_checked()


def test_what_fingers_touch_is_44_pixels_at_least(page: Page) -> None:
    small = page.evaluate(
        """() => [...document.querySelectorAll('.sheet input, .sheet .laid, .sheet button, .sheet summary')]
            .filter((each) => each.checkVisibility())
            .map((each) => [each, (each.closest('label') ?? each).getBoundingClientRect()])
            .filter(([, box]) => box.width < 44 || box.height < 44)
            .map(([each, box]) => `${each.outerHTML.slice(0, 80)} ${box.width}x${box.height}`)"""
    )
    assert small == []


# The whole loop


def test_a_job_is_ticked_closed_saved_recorded_and_stands_in_the_history(tmp_path: Path) -> None:
    library = tmp_path / "library"
    shutil.copytree(DEMO, library)
    site = build(library, tmp_path / "site")
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/launch-two-belt.html")
        # A reading that is out, an inspection that fails: both get their branch.
        page.locator(f"{step('22')} .verdict input[value=false]").check()
        assert page.locator(step("22.1")).is_visible()
        complete(page, "22.1")
        tick(page, "22")
        page.locator(f"{step('40')} > .step-side .reading input").fill("8.5")
        assert "Outside its limits: 5–7 mm." in page.locator(f"{step('40')} .said").inner_text()
        page.locator(f"{step('40')} > .step-side .reading input").fill("6")
        for _ in range(20):
            complete(page, next_step(page))
    with bench(tmp_path / "tablet") as context:
        page = opened(context, site / "job/launch-two-belt.html")
        assert not strip(page).startswith("0 of")
        complete_all(page)
        close(page, "1318")
        assert strip(page).endswith("Finished: save the record.")
        record = saved(page, tmp_path)
    assert record["state"] == "finished"
    file = next(tmp_path.glob("launch-two-belt-2026-11-01-*.json"))
    assert main(["record", str(file), str(library), "--on", "2026-11-01"]) == 0
    assert main(["check", str(library), "--on", "2026-11-01"]) == 0
    entry = load(library).library.logbooks["launch-two"].entries[-1]
    assert entry.did == ("renew-timing-belt", "renew-coolant-pump", "renew-thermostat", "renew-accessory-belt")
    assert {"timing-belt", "pump", "pump-gasket", "thermostat", "coolant"} <= set(entry.parts)
    assert entry.record.split()[-1] == record["record"]
    (machine,) = [each for each in due(load(library).library, DAY) if each.logbook.address.id == "launch-two"]
    (belt,) = [each for each in machine.work if each.item.address.id == "timing-belt"]
    assert belt.since
    assert belt.since.on == DAY
    build(library, tmp_path / "site")
    history = (tmp_path / "site/individual/launch-two.html").read_text(encoding="utf-8")
    latest = history[history.index("History, the latest first") :]
    assert latest.index("2026-11-01") < latest.index("2026-10-03")
    assert "was not accepted" in latest or "not accepted" in latest
