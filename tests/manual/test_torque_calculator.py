"""The calculator's page in a real browser: it gives the numbers of the program."""

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

from procgen.fasteners.friction import ThreadCondition
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.misreading import TorqueUnit
from procgen.fasteners.strength import StrengthError, class_names
from procgen.fasteners.threads import all_threads, parse_thread
from procgen.fasteners.tightening import LOW_SHARE, tightening_band
from procgen.fasteners.wrench import wrench_setting_nm
from procgen.manual.site import pages
from procgen.manual.torque_calculator import tables
from procgen.output.write import write_site
from tests.manual.built import built, site_of
from tests.written import write

CHROMIUM = Path("/usr/bin/chromium")
SEED = 20261101


@pytest.fixture(scope="module")
def calculator(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium here")
    library = write(tmp_path_factory.mktemp("library"), "procedure: p\nsteps: [{do: Look.}]\n")
    out = tmp_path_factory.mktemp("manual") / "site"
    write_site(pages(site_of(library)), out, library)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        page = browser.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((out / "torque-calculator.html").as_uri())
        yield page
        browser.close()
        assert said == []


ASK = """fields => {
  for (const [id, value] of Object.entries(fields)) document.getElementById(id).value = value;
  document.getElementById("thread").dispatchEvent(new Event("input", {bubbles: true}));
  const exact = (id) => (document.getElementById(id).dataset.exact || "").split(" ").filter(Boolean).map(Number);
  const units = [...document.querySelectorAll("output[data-unit]")];
  return JSON.stringify({
    band: exact("band"), clamp: exact("clamp"), least: exact("least"), setting: exact("setting"),
    units: Object.fromEntries(units.map((unit) => [unit.dataset.unit, Number(unit.dataset.exact)])),
    text: document.getElementById("band").textContent, judged: document.getElementById("judged").textContent,
  });
}"""


def ask(page: Page, **fields: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(page.evaluate(ASK, fields))
    return answer


@pytest.mark.browser
def test_the_bands_are_those_of_the_program_for_threads_classes_conditions_and_heads(calculator: Page) -> None:
    chance = random.Random(SEED)  # noqa: S311 - cases, not secrets
    threads = [thread.designation for thread in all_threads()]
    cases = [
        (thread, chance.choice(class_names()), chance.choice(list(ThreadCondition)), chance.choice(list(Head)))
        for thread in threads
        for _ in range(3)
    ]
    made = 0
    for thread, grade, condition, head in cases:
        answer = ask(calculator, thread=thread, grade=grade, condition=condition, head=head)
        try:
            band = tightening_band(parse_thread(thread), grade, condition, head)
        except StrengthError:
            assert answer["text"] == "this class is not made in that size", (SEED, thread, grade)
            continue
        assert answer["band"] == pytest.approx([band.low_nm, band.high_nm], rel=1e-7), (
            SEED,
            thread,
            grade,
            condition,
            head,
        )
        assert answer["clamp"] == pytest.approx([band.preload_low_n, band.preload_high_n], rel=1e-7)
        assert answer["least"] == pytest.approx([LOW_SHARE * band.low_nm], rel=1e-7)
        made += 1
    assert made > 500


@pytest.mark.browser
def test_what_is_shown_is_rounded_as_the_command_rounds_it(calculator: Page) -> None:
    assert (
        ask(calculator, thread="M8", grade="8.8", condition="oiled", head="hex")["text"] == "18–30 N·m (13–22 lbf·ft)"
    )


@pytest.mark.browser
def test_a_torque_is_told_in_every_unit(calculator: Page) -> None:
    for unit in TorqueUnit:
        answer = ask(calculator, amount="22,5", unit=unit)
        assert answer["units"] == pytest.approx({other: 22.5 * unit.nm / other.nm for other in TorqueUnit})


@pytest.mark.browser
def test_a_setting_behind_an_adapter_is_that_of_the_program(calculator: Page) -> None:
    for handle in (250, 360.5, 600):
        for adapter in (0, 40, 110):
            for angle in (0, 30, 90, 135, 180):
                fields = {"handle": str(handle), "adapter": str(adapter), "angle": str(angle)}
                answer = ask(calculator, amount="45", unit="N·m", **fields)
                assert answer["setting"] == pytest.approx([wrench_setting_nm(45, handle, adapter, angle)])
    assert ask(calculator, amount="45", unit="N·m", handle="50", adapter="60", angle="180")["setting"] == []
    assert ask(calculator, amount="a few", unit="N·m", handle="360", adapter="40", angle="0")["setting"] == []


@pytest.mark.browser
def test_a_torque_is_held_against_the_bolt_above_it(calculator: Page) -> None:
    bolt = {"thread": "M8", "grade": "8.8", "condition": "dry", "head": "hex", "unit": "N·m"}
    assert str(ask(calculator, **bolt, amount="22")["judged"]).startswith("Fits the bolt above: 81 %")
    assert str(ask(calculator, **bolt, amount="33")["judged"]).startswith("For the bolt above it fits while")
    assert str(ask(calculator, **bolt, amount="60")["judged"]).startswith("More than the bolt above takes")
    assert ask(calculator, **bolt, amount="5")["judged"] == "Hardly clamps the bolt above."


def test_without_a_script_the_page_shows_the_usual_bolts_and_no_empty_fields() -> None:
    page = built("procedure: p\nsteps: [{do: Look.}]\n")["torque-calculator.html"]
    assert '<div class="reckon" hidden>' in page
    assert re.search(r'<th scope="row">M8</th><td>27–38 N·m<span class="sub">20–28 lbf·ft</span></td>', page)
    assert len(page.encode("utf-8")) < 100_000


def test_the_tables_of_the_page_are_complete() -> None:
    found = tables()
    assert isinstance(found["threads"], dict)
    assert set(found["threads"]) == {thread.designation for thread in all_threads()}
    assert isinstance(found["yields"], dict)
    assert set(found["yields"]) == set(class_names())
