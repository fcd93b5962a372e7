"""An old manual, opened on later days in a real browser: it says what the program would say on that day."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

from procgen.library.load import load
from procgen.manual.site import pages
from procgen.output.write import write_site
from procgen.upkeep.due import MachineDue, due, machine_due
from procgen.upkeep.gauge import Standing
from procgen.upkeep.wording import bites_first, percent, time_left
from tests.manual.built import site_of
from tests.written import write

CHROMIUM = Path("/usr/bin/chromium")
BUILT = date(2026, 11, 1)
LIBRARY = {
    "engine.yaml": """\
        machine: engine
        meter: hours
        schedule:
          oil: {title: Oil, every: [200 h, 1 year], do: change-oil}
          look: {title: Look, every: 1 month, do: look, kind: inspect}
          belt: {title: Belt, every: [1500 h, 5 years], do: renew-belt, kind: renew}
          rollers: {title: Rollers, every-nth: {of: belt, n: 2}, do: renew-rollers, kind: renew}
          tray: {title: Tray, every: 700 h, do: clean-tray}
          paint: {title: Paint, every: 10 years, do: paint-it}
        """,
    **{
        f"{name}.yaml": f"procedure: {name}\nmachine: engine\nsteps:\n  - do: Do it.\n"
        for name in ("change-oil", "look", "renew-belt", "renew-rollers", "clean-tray", "paint-it")
    },
    "log.yaml": """\
        logbook: one
        machine: engine
        entries:
          - {on: 2024-02-29, hours: 10, did: [renew-belt, renew-rollers]}
          - {on: 2026-06-30, hours: 317.7, did: [change-oil, clean-tray]}
          - {on: 2026-10-31, hours: 389, did: look}
        """,
    "idle.yaml": "logbook: two\nmachine: engine\n",
}

# Every two months for fourteen years, leap days, and the days around each turn, which the test adds.
GRID = [*(BUILT + timedelta(days=day) for day in range(0, 5000, 61)), date(2028, 2, 29), date(2029, 3, 1)]

SHOWN = """() => JSON.stringify([...document.querySelectorAll(".due-board")].map((board) => ({
  today: board.querySelector(".due-today").textContent,
  counts: board.querySelector(".due-counts").textContent,
  rows: [...board.querySelectorAll(".due-row")].map((row) => [
    row.querySelector("th a").textContent,
    row.querySelector(".due-standing").textContent,
    row.dataset.standing,
    row.querySelector(".due-left")?.textContent ?? "",
    [...row.querySelectorAll(".due-share .measure")].map((share) => share.textContent),
    "hideFine" in row.dataset ? row.hidden : null,
  ]),
})))"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The library, and the manual of it that was built on one day and never again."""
    library = write(tmp_path_factory.mktemp("library"), LIBRARY)
    out = tmp_path_factory.mktemp("manual") / "site"
    write_site(pages(replace(site_of(library), on=BUILT)), out, library)
    return library, out


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium here")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        page = browser.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        yield page
        browser.close()
        assert said == []


def shown(page: Page, file: Path, day: date) -> dict[str, dict[str, object]]:
    """What each board of a page shows on a day, by the names of its work."""
    page.clock.set_fixed_time(datetime.combine(day, time(23, 30)))
    page.goto(file.as_uri())
    boards: list[dict[str, object]] = json.loads(page.evaluate(SHOWN))
    return {str(number): board for number, board in enumerate(boards)}


def expected(machine: MachineDue, *, is_front: bool) -> dict[str, object]:
    """What the program says on that day, the most urgent first."""
    counts = {standing: machine.count(standing) for standing in Standing}
    return {
        "today": machine.on.isoformat(),
        "counts": ", ".join(f"{number} {standing}" for standing, number in counts.items() if number),
        "rows": [
            [
                each.item.title,
                each.standing,
                each.standing,
                time_left(each.days_left),
                [percent(use.used_on(machine.on)) for use in bites_first(each)],
                (each.standing is Standing.FINE) if is_front else None,
            ]
            for each in machine.work
        ],
    }


@pytest.mark.browser
def test_on_every_later_day_the_page_says_what_the_program_says(site: tuple[Path, Path], page: Page) -> None:
    library, out = site
    loaded = load(library).library
    logbook = loaded.logbooks["one"]
    turns = {day for each in machine_due(loaded, logbook, BUILT).work for day in (each.due_on, each.soon_on) if day}
    around = {day + timedelta(days=days) for day in turns for days in (-91, -90, -1, 0, 1)}
    for day in sorted({*GRID, *(day for day in around if day >= BUILT)}):
        machine = machine_due(loaded, logbook, day)
        found = shown(page, out / "individual" / "one.html", day)
        assert found["0"] == expected(machine, is_front=False), day


@pytest.mark.browser
def test_on_the_front_page_work_shows_itself_when_it_is_no_longer_fine(site: tuple[Path, Path], page: Page) -> None:
    library, out = site
    loaded = load(library).library
    for day in (BUILT, BUILT + timedelta(days=60), BUILT + timedelta(days=400), BUILT + timedelta(days=3000)):
        found = shown(page, out / "index.html", day)
        machines = {each.logbook.name: each for each in due(loaded, day)}
        names = page.locator(".due-board h3 a").all_inner_texts()
        assert len(names) == 2
        for place, name in enumerate(name.split()[-1] for name in names):
            machine = machines[name]
            assert found[str(place)] == expected(machine, is_front=True), day


@pytest.mark.browser
def test_a_clock_that_lies_before_the_build_changes_nothing(site: tuple[Path, Path], page: Page) -> None:
    _, out = site
    on_the_day = shown(page, out / "individual" / "one.html", BUILT)
    assert shown(page, out / "individual" / "one.html", date(1999, 12, 31)) == on_the_day


@pytest.mark.browser
def test_the_chart_moves_with_the_day(site: tuple[Path, Path], page: Page) -> None:
    _, out = site
    day = date(2027, 7, 1)  # the oil is due on 2027-06-30
    shown(page, out / "individual" / "one.html", day)
    chart = page.locator(".due-timeline")
    per_day, start = float(chart.get_attribute("data-per-day") or 0), chart.get_attribute("data-start") or ""
    left = float(chart.get_attribute("data-left") or 0)
    moved = chart.locator(".due-today-line").get_attribute("transform")
    assert moved == f"translate({(day - BUILT).days * per_day:.1f} 0)"
    bar = chart.locator('.due-over[data-due="2027-06-30"]')
    assert float(bar.get_attribute("width") or 0) == pytest.approx(per_day, abs=0.06)
    due_x = left + (date(2027, 6, 30) - date.fromisoformat(start)).days * per_day
    assert float(bar.get_attribute("x") or 0) == pytest.approx(due_x, abs=0.06)
