"""The pages that show due work and readings are valid, light, safe, and say in words what they draw."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, sync_playwright

from procgen.manual.site import pages
from procgen.output.write import write_site
from tests.manual.built import site_of
from tests.manual.reading import tree
from tests.written import write

CHROMIUM = Path("/usr/bin/chromium")
DEMO = Path(__file__).parent.parent.parent / "procedures"
ON = date(2026, 11, 1)
SHOWN = (
    "index.html",
    "individual/launch-one.html",
    "individual/launch-two.html",
    "individual/trailer-a.html",
    "visits/launch-one.html",
)


def manual(root: Path, on: date | None = ON) -> dict[str, str]:
    return {
        page.path: page.data.decode("utf-8")
        for page in pages(replace(site_of(root), on=on))
        if page.path.endswith(".html")
    }


@pytest.fixture(scope="module")
def demo() -> dict[str, str]:
    return manual(DEMO)


@pytest.mark.parametrize("path", SHOWN)
def test_a_page_is_valid_html_and_under_100_kilobytes(demo: dict[str, str], path: str) -> None:
    tree(demo[path])
    assert len(demo[path].encode("utf-8")) < 100_000


@pytest.mark.parametrize("path", SHOWN)
def test_nothing_needs_what_the_security_policy_forbids(demo: dict[str, str], path: str) -> None:
    assert not re.search(r"<[^>]* (?:style|on[a-z]+)=", demo[path].partition("<body")[2])


def test_every_piece_of_work_in_the_chart_stands_in_the_table_with_its_day(demo: dict[str, str]) -> None:
    page = demo["individual/launch-two.html"]
    charted = re.findall(r'class="due-day-text"[^>]*>([0-9-]+)<', page)
    tabled = re.findall(r'class="due-row"[^>]*data-due="([0-9-]+)"', page)
    assert charted == tabled
    assert len(charted) == 14


def test_every_reading_in_a_drawing_stands_in_its_table(demo: dict[str, str]) -> None:
    for trend in demo["individual/trailer-a.html"].split('<section class="trend">')[1:]:
        assert trend.count("<circle") == trend.partition("<tbody>")[2].partition("</tbody>")[0].count("<tr>") == 7


def test_without_a_day_the_manual_says_nothing_of_due_work() -> None:
    for path, page in manual(DEMO, on=None).items():
        assert 'class="due-' not in page, path
        assert 'class="rows in-there"' not in page, path
        assert not path.startswith("visits/"), path


def test_titles_with_marks_in_them_stay_text(tmp_path: Path) -> None:
    hostile = '"<b onclick=x>&lt;" ]]>'
    library = {
        "engine.yaml": f"""\
            machine: engine
            meter: hours
            components:
              belt: {{}}
            specs:
              slack: {{title: '{hostile}', of: belt, limits: 5–7 mm}}
            schedule:
              belt: {{title: '{hostile}', every: 1 year, do: renew-belt}}
            """,
        "renew-belt.yaml": "procedure: renew-belt\nmachine: engine\nsteps:\n  - do: Do it.\n",
        "log.yaml": f"""\
            logbook: one
            machine: engine
            name: '{hostile}'
            entries:
              - {{on: 2024-01-01, hours: 1, did: renew-belt, readings: {{slack: 5 mm}}}}
              - {{on: 2025-01-01, hours: 2, readings: {{slack: 6 mm}}}}
            """,
    }
    found = manual(write(tmp_path, library))
    for path in ("index.html", "individual/one.html"):
        tree(found[path])
        assert "<b onclick" not in found[path]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium here")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("manual") / "site"
    write_site(pages(replace(site_of(DEMO), on=ON)), out, DEMO)
    return out


@pytest.mark.browser
@pytest.mark.parametrize("path", [SHOWN[0], SHOWN[1], SHOWN[4]])
@pytest.mark.parametrize("light", ["day", "night", "bench"])
def test_no_barrier_is_found(browser: Browser, built: Path, path: str, light: str) -> None:
    """WCAG 2.2 AA as axe-core judges it."""
    page = browser.new_page(viewport={"width": 1100, "height": 900})
    page.goto((built / path).as_uri())
    page.evaluate("light => { document.documentElement.dataset.light = light; }", light)
    found = Axe().run(page)["violations"]
    page.close()
    assert [(each["id"], each["nodes"][0]["html"]) for each in found] == []


@pytest.mark.browser
@pytest.mark.parametrize("path", SHOWN)
def test_a_page_does_not_scroll_sideways_at_320_pixels(browser: Browser, built: Path, path: str) -> None:
    page = browser.new_page(viewport={"width": 320, "height": 700})
    page.goto((built / path).as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.close()
