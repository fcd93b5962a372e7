"""Whatever an author writes, wherever text may stand, it is text on the page: never markup, script, style or a request.

A short run fills every place once; PROCGEN_LONG=1 in the environment fills the whole demo library with each payload in
turn (some minutes).
"""

import os
import re
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from playwright.sync_api import Dialog, Page, Request, sync_playwright

from procgen import flow
from tests.hostile.everywhere import READ, SHOWN, Make, places
from tests.hostile.hostile_library import filled, plain, shown_only, trees, write_trees
from tests.hostile.pages import intrusions, intrusions_in_state
from tests.hostile.payloads import PAYLOADS, all_at_once, payload
from tests.written import TODAY

LONG = bool(os.environ.get("PROCGEN_LONG"))
NOT_SHOWN = frozenset(
    {
        "common.schema.json#/$defs/figures/*/file",
        "common.schema.json#/$defs/torque/align",  # refused there: nothing says from which load it starts
    }
)
"""Places whose text no page shows: the name of a picture's file, and what is refused where it is filled in."""


def numbered(text: Callable[[int], str]) -> Make:
    """Every text gets its own number."""
    numbers = count(1)
    return lambda *_: text(next(numbers))


def in_turn(number: int) -> str:
    """One payload after the other, so that each of them stands at the beginning of some texts of every kind."""
    return payload(list(PAYLOADS)[number % len(PAYLOADS)], number)


def build(files: dict[str, dict[str, object]], folder: Path) -> Path:
    flow.build(write_trees(folder / "library", files), folder / "site", on=TODAY, draft=True)
    return folder / "site"


def problems(site: Path) -> list[str]:
    found = [what for page in sorted(site.rglob("*.html")) for what in intrusions(page)]
    states = sorted(path for folder in ("sheet", "job") for path in (site / folder).glob("*.js"))
    assert len(states) >= len(list((site / "sheet").glob("*.html")))
    found += [what for script in states for what in intrusions_in_state(script)]
    for file in sorted(site.rglob("*")):
        if file.suffix in (".html", ".js", ".json", ".svg"):
            text = file.read_text(encoding="utf-8")
            found += [f"{file.name}: a template ran" for _ in re.findall(r"zqzqzq|zqz\n|root:x:0", text)]
    return found


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A manual of which every text is all payloads at once."""
    files, _ = filled(shown_only(numbered(all_at_once)), whole=LONG)
    return build(files, tmp_path_factory.mktemp("hostile"))


def test_the_walk_of_the_schemas_reaches_every_place_where_text_is_shown() -> None:
    _, reached = filled(lambda definition, *_: "zq" if definition in SHOWN else None)
    assert places() - reached == set()


def test_every_text_is_on_a_page_and_no_page_has_more_than_text(hostile_site: Path) -> None:
    assert problems(hostile_site) == []
    pages = "".join(path.read_text(encoding="utf-8") for path in hostile_site.rglob("*.html"))
    assert len(set(re.findall(r"zqf\((\d+)\)", pages))) > 300


def test_every_place_but_a_few_is_shown_somewhere(tmp_path: Path) -> None:
    # Without this the others might look at pages on which nothing was put.
    numbers = {place: f"zq{number}zq" for number, place in enumerate(sorted(places()))}
    shown = ""
    # Some texts exclude others, such as the three ways to say how a nut is tightened without a figure.
    for adds in (True, False):
        files, _ = filled(shown_only(lambda _, place, __: numbers.get(place)), adds=adds)
        site = build(files, tmp_path / f"adds-{adds}")
        shown += "".join(path.read_text(encoding="utf-8") for path in site.rglob("*.html"))
    assert {place for place, number in numbers.items() if number not in shown} == NOT_SHOWN


@pytest.mark.parametrize("turn", range(len(PAYLOADS) if LONG else 1))
def test_each_payload_by_itself_is_text_wherever_it_stands(turn: int, tmp_path: Path) -> None:
    files, _ = filled(shown_only(numbered(lambda number: in_turn(number + turn))), whole=LONG)
    assert problems(build(files, tmp_path)) == []


GROUPS = (
    "quantity duration interval torque torque-stage",
    "state states act acts condition choice",
    "date day level energy-kind energy-kinds source",
    "id ids",
)


def test_every_definition_is_in_a_group() -> None:
    assert set(" ".join(GROUPS).split()) == READ


@pytest.mark.parametrize("definitions", [*GROUPS, *(sorted(READ) if LONG else ())])
def test_what_the_program_takes_apart_is_refused_as_text(definitions: str, tmp_path: Path) -> None:
    """A figure, an id, a date that is hostile: it is quoted in a finding, and findings are on pages."""
    numbers = count(1)
    files, _ = filled(lambda each, *_: in_turn(next(numbers)) if each in definitions.split() else None, adds=False)
    assert problems(build(files, tmp_path)) == []


def test_hostile_keys_and_file_names_are_text(tmp_path: Path) -> None:
    numbers = count(1)

    def rename(value: object, depth: int = 0) -> object:
        match value:
            case dict():
                return {
                    in_turn(next(numbers)) if depth and next(numbers) % 5 == 0 else key: rename(each, depth + 1)
                    for key, each in value.items()
                }
            case list():
                return [rename(each, depth + 1) for each in value]
            case _:
                return value

    files = {name: plain(rename(tree)) for name, tree in trees().items()}
    names = (
        "<img src=x onerror=zqf(1)>.yaml",
        'zq" onclick="zqf(2)\'.yaml',
        "{{ 'zq' * 3 }}.yaml",
        "zq](javascript:zqf(3)).yaml",
    )
    assert problems(build(files | {name: {"procedure": name, "zq": 1} for name in names}, tmp_path)) == []


@pytest.fixture
def page() -> Iterator[Page]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        # Without its policy the page stands by its escaping alone.
        context = browser.new_context(bypass_csp=True)
        context.add_init_script("window.zqf = (place) => console.error('zqf ran at', place); window.print = () => {};")
        yield context.new_page()
        browser.close()


TOUCH = """() => {
  for (const fold of document.querySelectorAll('details')) fold.open = true;
  for (const each of document.querySelectorAll('main *')) {
    for (const name of ['mouseover', 'focus', 'click']) {
      if (name !== 'click' || !each.closest('a, form button, [download]')) {
        each.dispatchEvent(new Event(name, {bubbles: false}));
      }
    }
  }
  for (const box of document.querySelectorAll('input[type=checkbox], input[type=radio]')) box.click();
  return new Promise((done) => setTimeout(done));  // folds are filled in after this turn
}"""


@pytest.mark.browser
def test_in_a_browser_nothing_runs_asks_or_leaves(hostile_site: Path, page: Page) -> None:
    happened: list[str] = []

    def note_request(request: Request) -> None:
        if not request.url.startswith(hostile_site.as_uri()):
            happened.append(f"request: {request.url}")

    def note_dialog(dialog: Dialog) -> None:
        happened.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    page.on("request", note_request)
    page.on("dialog", note_dialog)
    page.on("pageerror", lambda error: happened.append(f"{page.url}: {error}"))
    page.on("console", lambda said: happened.append(f"{page.url}: {said.text}") if said.type == "error" else None)
    page.on("popup", lambda popup: happened.append(f"popup: {popup.url}"))
    pages = sorted(hostile_site.rglob("*.html"))
    assert len(pages) > 50
    states = 0
    for file in pages:
        page.goto(file.as_uri())
        page.evaluate(TOUCH)
        states += page.locator(".state dd a", has_text="zqf(").count()
        assert page.url.split("#")[0] == file.as_uri()
        assert happened == []
    assert states > 20
    page.goto((hostile_site / "find.html").as_uri())
    page.get_by_label("A name, a number").fill("zq")
    assert page.locator("#found li").count() > 10
    assert happened == []
