"""How things stand after each step, on the page of a procedure: what the fold says is what the compiled plan says."""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import combinations, product
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from procgen.library.condition import names
from procgen.library.load import load
from procgen.library.state import DISTURBS
from procgen.manual.pause_view import rule_words
from procgen.manual.site import pages
from procgen.output.write import write_site
from procgen.plan.expand import expand
from procgen.plan.snapshots import Snapshot, complete, snapshots
from procgen.plan.steps import Plan
from tests.manual.built import site_of
from tests.manual.opened import open_page
from tests.written import write

pytestmark = pytest.mark.browser

DEMO = Path(__file__).parents[2] / "procedures"
PUMP = "procedure/renew-coolant-pump.html"

READ_FOLDS = """() => [...document.querySelectorAll('.step')].map((step) => {
    const fold = step.querySelector(':scope > .step-body > .state');
    if (!fold || !fold.checkVisibility()) return null;
    const words = (within, what) => [...within.querySelectorAll(what)].map((each) => each.textContent.trim());
    return {
        number: step.querySelector('.step-number').textContent.trim(),
        rows: [...fold.querySelectorAll('.pause-state > div')].map((row) => [words(row, 'dt')[0], words(row, 'dd a')]),
        left_by: [...fold.querySelectorAll('dd span')].map((each) => [words(each, 'a')[0], words(each, 'b')[0] ?? '']),
        rules: words(fold, '.pause-rule'),
        taken: words(fold, '.sub').at(-1) ?? '',
        all: fold.querySelector('.state-body').textContent,
    };
})"""
OPEN_ALL = "document.querySelectorAll('.state').forEach((fold) => { fold.open = true })"


def folds(page: Page) -> list[dict[str, Any] | None]:
    """What every fold says, by the place of its step; None where the step is not shown, or has no fold."""
    page.evaluate(OPEN_ALL)
    page.wait_for_function(
        "[...document.querySelectorAll('.state')].every((fold) => fold.querySelector('.state-body').hasChildNodes())"
    )
    found: list[dict[str, Any] | None] = page.evaluate(READ_FOLDS)
    return found


@cache
def plan_of(name: str) -> Plan:
    library = load(DEMO).library
    return expand(library.procedures[name], library)[0]


class Ways:
    """The ways through a plan under certain options and variants."""

    def __init__(self, plan: Plan, chosen: Mapping[str, bool | str]) -> None:
        self.plan = plan
        self.chosen = chosen
        self._known: dict[tuple[str, ...], tuple[Snapshot, ...]] = {}

    def states(self, failed: tuple[str, ...]) -> tuple[Snapshot, ...]:
        """The state before every step where these inspections fail, and no other."""
        if failed not in self._known:
            outcomes = {name: name not in failed for name in self.plan.outcomes}
            self._known[failed] = snapshots(self.plan, complete(self.plan, {**self.chosen, **outcomes}))
        return self._known[failed]

    def fewest_failed(self, place: int) -> list[tuple[str, ...]]:
        """The least sets of failed inspections with which a step is done."""
        for size in range(len(self.plan.outcomes) + 1):
            found = [each for each in combinations(self.plan.outcomes, size) if self.states(each)[place].reached]
            if found:
                return found
        return []


def rows(state: Snapshot, plan: Plan) -> dict[str, set[str]]:
    """A state as a fold shows it."""
    kinds = {
        "Off": state.off,
        "Loose": state.loose,
        "Parted": state.parted,
        "Drained": state.drained,
        "Isolated": state.isolated,
        "In place": state.placed,
        "Holds": state.true,
    }
    return {label: {plan.machine.items[item].title for item in items} for label, items in kinds.items() if items}


def taken(words: str, plan: Plan) -> tuple[str, ...]:
    """The inspections that a fold takes to have failed."""
    head = words.partition("not good")[0] if "not good" in words else ""
    numbers = set(re.findall(r"\d[\d.]*", head))
    return tuple(name for name, key in plan.outcomes.items() if plan.step(key).number in numbers)


def switch_settings(plan: Plan) -> Iterator[dict[str, bool | str]]:
    """Every setting of a page's switches at which nothing is left open."""
    asked = {name for step in plan.steps for name in names(step.when)}
    variants = {name: values for name, values in plan.machine.variants.items() if name in asked and len(values) > 1}
    options = {name: option.values for name, option in plan.procedure.options.items()}
    switches = {**options, **variants}
    for values in product(*switches.values()):
        yield dict(zip(switches, values, strict=True))


@pytest.mark.parametrize(
    "name",
    [
        "renew-timing-belt",
        "renew-coolant-pump",
        "inspect-coolant-pump",
        "repack-hub-bearings",
        "set-valve-clearances",
        "raise-trailer",
        "lower-trailer",
    ],
)
def test_the_fold_says_what_the_plan_says_at_every_step_for_every_choice(
    browser: Browser, site: str, name: str
) -> None:
    plan = plan_of(name)
    page = open_page(browser, f"{site}procedure/{name}.html", still=True)
    seen = 0
    for chosen in switch_settings(plan):
        for option, value in chosen.items():
            page.locator(f'input[name="{option}"][value="{str(value).lower()}"]').check()
        ways = Ways(plan, chosen)
        for place, fold in enumerate(folds(page)):
            if fold is None:
                continue
            failed = taken(fold["taken"], plan)
            assert failed in ways.fewest_failed(place), (chosen, fold)
            state = ways.states(failed)[place + 1]
            said = {label: set(titles) for label, titles in fold["rows"]}
            assert said == rows(state, plan), (chosen, fold["number"], failed)
            assert len(fold["rules"]) == len(state.armed)
            for rule in state.armed:
                assert any(words.startswith(rule_words(rule, plan.machine)) for words in fold["rules"])
            seen += 1
    page.context.close()
    assert seen >= len(plan.steps) / 2


def test_a_step_that_is_not_done_has_its_fold_hidden_with_it_and_one_that_goes_back_has_none(
    browser: Browser, site: str
) -> None:
    plan = plan_of("renew-timing-belt")
    page = open_page(browser, f"{site}procedure/renew-timing-belt.html", still=True)
    shown = [fold is not None for fold in folds(page)]
    visible = [step.is_visible() for step in page.locator(".step").all()]
    assert False in visible
    assert shown == [is_shown and step.go_back_to is None for is_shown, step in zip(visible, plan.steps, strict=True)]
    assert any(step.go_back_to for step in plan.steps)
    page.context.close()


def test_the_number_in_the_box_is_the_step_that_left_it_so(browser: Browser, site: str) -> None:
    plan = plan_of("renew-coolant-pump")
    page = open_page(browser, site + PUMP, still=True)
    checked = 0
    for step, fold in zip(plan.steps, folds(page), strict=True):
        left_by = dict(fold["left_by"]) if fold and not step.branch_of else {}
        for action in step.actions:
            title = plan.machine.items[action.item].title
            if action.verb in DISTURBS and title in left_by:
                assert left_by[title] == step.number
                checked += 1
    page.context.close()
    assert checked > 10


LIBRARY = {
    "boat.yaml": """\
        machine: boat
        variants: {cooling: [raw, keel]}
        components:
          lid: {title: Lid}
          hatch: {title: Hatch}
        """,
    "look.yaml": """\
        procedure: look
        machine: boat
        starts-with: hatch off
        leaves: hatch off
        steps:
          - remove: lid
            when: cooling = raw
          - do: Look.
          - fit: lid
            when: cooling = raw
          - do: Shut the book.
        """,
    "read.yaml": "procedure: read\nmachine: boat\nsteps:\n  - do: Read.\n",
}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> str:
    root = write(tmp_path_factory.mktemp("small") / "library", LIBRARY)
    out = root.parent / "site"
    write_site(pages(site_of(root)), out, root)
    return out.as_uri() + "/"


def test_what_depends_on_a_variant_that_nobody_chose_says_so_and_an_open_fold_follows_the_choice(
    browser: Browser, small: str
) -> None:
    page = open_page(browser, small + "procedure/look.html", still=True)
    folds(page)
    off = page.locator(".state").nth(1).locator("dd span")
    assert [" ".join(words.split()) for words in off.all_inner_texts()] == ["Hatch", "Lid, on some machines 1"]
    page.get_by_label("Keel").check()
    assert [" ".join(words.split()) for words in off.all_inner_texts()] == ["Hatch"]
    page.context.close()


def test_where_nothing_is_ever_disturbed_nothing_is_said_of_it(browser: Browser, small: str) -> None:
    page = open_page(browser, small + "procedure/read.html")
    assert page.locator(".state, .state-elsewhere").count() == 0
    page.context.close()


def test_a_state_of_another_build_is_not_shown(browser: Browser, small: str, tmp_path: Path) -> None:
    manual = Path(small.removeprefix("file://"))
    there = tmp_path / "manual"
    copytree(manual, there)
    script = there / "sheet/look.js"
    script.write_text(script.read_text().replace('"fingerprint":"', '"fingerprint":"X'))
    page = open_page(browser, (there / "procedure/look.html").as_uri())
    assert page.locator(".state").count() == 0
    assert page.locator(".state-elsewhere").is_visible()
    page.goto((there / "sheet/look.html").as_uri())
    page.get_by_role("button", name="Pause").click()
    said = page.get_by_role("dialog").inner_text()
    assert "cannot be told here" in said
    assert "Everything is in service" not in said
    page.context.close()


def test_without_scripts_the_page_says_where_the_state_is_and_has_no_empty_fold(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP, javascript=False)
    assert page.locator(".state").count() == 0
    line = page.locator(".state-elsewhere")
    assert line.is_visible()
    line.locator("a").click()
    assert page.url.endswith("sheet/renew-coolant-pump.html#work")
    assert page.locator(".pause .pause-state").first.is_visible()
    page.context.close()


def test_with_scripts_the_folds_take_the_place_of_that_line_and_are_shut(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP)
    assert not page.locator(".state-elsewhere").is_visible()
    assert page.locator(".state").count() > 40
    assert page.locator(".state[open]").count() == 0
    page.context.close()


def test_on_paper_there_is_nothing_of_it_and_printing_opens_no_fold(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP)
    page.locator(".state > summary").first.click()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".state[open]").count() == 1
    page.emulate_media(media="print")
    assert not any(fold.is_visible() for fold in page.locator(".state").all())
    page.context.close()


def test_a_key_opens_the_fold_of_the_step_that_one_is_at(browser: Browser, site: str) -> None:
    page = open_page(browser, site + PUMP, still=True)
    for key in "nns":
        page.keyboard.press(key)
    fold = page.locator(".state[open]")
    assert fold.locator("summary").inner_text() == "How it stands after step 2"
    page.keyboard.press("s")
    assert fold.count() == 0
    page.context.close()


@pytest.mark.parametrize("width", [320, 390, 820])
def test_an_open_fold_does_not_make_the_page_scroll_sideways(browser: Browser, site: str, width: int) -> None:
    page = open_page(browser, site + PUMP, width=width)
    folds(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()
