"""The sheet as it comes out of a printer: read back, it has all that somebody works by, together on one page."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright
from pypdf import PdfReader

from procgen.library.items import Fastener
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.state import Verb
from procgen.manual.measures import Measures
from procgen.measure.torque import To
from procgen.plan.steps import Plan
from tests.manual.sheets import CHROMIUM, build
from tests.sheet.boat import BOAT
from tests.sheet.filled import plan_of
from tests.written import write

pytestmark = pytest.mark.browser

DEMO = Path(__file__).parents[2] / "procedures"
JOBS = ("launch-two-belt", "launch-one-annual", "trailer-a-spring")
A4, LETTER = (595, 842), (612, 792)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(DEMO, tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="module")
def library() -> Library:
    return load(DEMO).library


def printed(page: Path, out: Path, *, javascript: bool = True) -> PdfReader:
    """The page as Chromium prints it."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"])
        sheet = browser.new_context(java_script_enabled=javascript).new_page()
        sheet.goto(page.as_uri())
        sheet.pdf(path=str(out), prefer_css_page_size=True)
        browser.close()
    return PdfReader(out)


def texts(reader: PdfReader) -> list[str]:
    """The words of each page, one space between them."""
    return [" ".join(page.extract_text().split()) for page in reader.pages]


@pytest.fixture(scope="module", params=JOBS)
def job(request: pytest.FixtureRequest, site: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, PdfReader]:
    name = request.param
    return name, printed(site / f"job/{name}.html", tmp_path_factory.mktemp("paper") / f"{name}.pdf")


def step_pages(plan: Plan, pages: list[str]) -> Iterator[tuple[str, int]]:
    """For each step the page on which it begins, found by its number and its ticks, in the order of the work."""
    at = (0, 0)
    for planned in plan.steps:
        number = re.escape(planned.number)
        for place in range(at[0], len(pages)):
            start = at[1] if place == at[0] else 0
            found = re.compile(rf"(?<![\d.,–]){number}(?![\d.,–])(?: \d\d?)*? (?=[A-Z])").search(pages[place], start)
            if found:
                at = (place, found.end())
                yield planned.key, place
                break


def test_every_page_is_headed_by_job_machine_serial_meter_edition_fingerprint_and_number(
    job: tuple[str, PdfReader], library: Library
) -> None:
    name, reader = job
    planned = library.jobs[name]
    logbook = library.logbooks[planned.logbook]
    pages = texts(reader)
    meter = {"launch-two": "1312 h", "launch-one": "1120 h", "trailer-a": "15260 km"}[planned.logbook]
    mark = re.search(r"fingerprint ([2-9A-Z]{4}-[2-9A-Z]{4})", pages[0])
    assert mark
    for number, page in enumerate(pages, start=1):
        head = page.replace("\u202f", "").replace(" h on", "h on")
        for words in (planned.title, logbook.name, logbook.serial, mark[1], "Edition 2026-2"):
            assert words in head, f"page {number}"
        assert meter.replace(" ", "") in head.replace(" ", ""), f"page {number}"
        assert f"page {number} of {len(pages)}" in page


def test_a_procedures_sheet_has_lines_for_serial_number_and_meter_in_the_head_of_every_page(
    site: Path, tmp_path: Path
) -> None:
    reader = printed(site / "sheet/renew-coolant-pump.html", tmp_path / "sheet.pdf")
    for page in reader.pages:
        title, machine, stamp, number, *_ = page.extract_text().splitlines()
        assert title == "Renew the coolant pump"
        assert re.fullmatch(r"Orrdal M40 inboard diesel · serial _{12} · meter _{12} hours", machine)
        assert re.fullmatch(r"Revision 2, fingerprint [2-9A-Z]{4}-[2-9A-Z]{4}", stamp)
        assert re.fullmatch(r"page \d+ of \d+", number)
    assert re.search(r"Serial number Meter, hours .*Before you start", texts(reader)[0])


def test_a_machine_that_was_chosen_on_the_screen_is_printed_in_the_head_of_every_page(
    site: Path, tmp_path: Path
) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"])
        sheet = browser.new_page()
        sheet.goto((site / "sheet/renew-coolant-pump.html").as_uri())
        sheet.locator("input[name=logbook][value=launch-two]").check()
        sheet.pdf(path=str(tmp_path / "sheet.pdf"), prefer_css_page_size=True)
        browser.close()
    for page in texts(PdfReader(tmp_path / "sheet.pdf")):
        assert re.search(r"Launch Two, M40-01877 · meter _{12} hours", page)


def test_paper_is_a4_and_nothing_is_lost_over_its_edge(job: tuple[str, PdfReader]) -> None:
    for page in job[1].pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == pytest.approx(A4, abs=1)


def test_every_torque_of_the_plan_stands_on_the_sheet_in_both_units(
    job: tuple[str, PdfReader], library: Library
) -> None:
    name, reader = job
    plan = plan_of(library, job=name)
    everything = " ".join(texts(reader))
    measures = Measures(library.manual.units)
    figures = [
        measures.view(stage.quantity)
        for planned in plan.steps
        for action in planned.actions
        if action.verb is Verb.TIGHTEN and isinstance(item := plan.machine.items[action.item], Fastener) and item.torque
        for stage in item.torque.stages
        if isinstance(stage, To)
    ]
    assert figures
    for figure in figures:
        assert figure.first in everything
        assert figure.second in everything


def test_every_notice_stands_on_the_same_page_as_its_step(job: tuple[str, PdfReader], library: Library) -> None:
    name, reader = job
    plan, pages = plan_of(library, job=name), texts(reader)
    at = dict(step_pages(plan, pages))
    assert len(at) > len(plan.steps) * 0.9, "steps are found by their numbers"
    told = 0
    for planned in plan.steps:
        for id_ in planned.step.notices:
            notice = library.notices[id_]
            if planned.key in at:
                avoid = " ".join(notice.avoid.text.split()[:4]) if notice.avoid else notice.title
                assert notice.level.upper() in pages[at[planned.key]], planned.number
                assert avoid in pages[at[planned.key]], planned.number
                told += 1
    assert told


def test_every_limit_that_is_read_and_every_signature_has_its_box(job: tuple[str, PdfReader], library: Library) -> None:
    name, reader = job
    plan, everything = plan_of(library, job=name), " ".join(texts(reader))
    specs = {action.item for planned in plan.steps for action in planned.actions if action.verb is Verb.MEASURE}
    for spec in specs:
        assert f"Limits {plan.machine.items[spec].title}" in everything
    roles = [role for planned in plan.steps for role in planned.step.sign]
    assert everything.count("Signed, ") >= len(roles)


def test_a_missing_part_is_told_up_front_and_before_the_step_that_cannot_be_undone(site: Path, tmp_path: Path) -> None:
    pages = texts(printed(site / "job/launch-two-belt.html", tmp_path / "sheet.pdf"))
    assert "Not on hand: Coolant pump gasket" in pages[0]
    (place,) = [
        number for number, page in enumerate(pages) if "Coolant pump gasket not on hand, 10 days to come" in page
    ]
    assert pages[place].index("Do not go on until these are on the bench") < pages[place].index("Remove Coolant pump")


def test_a_branch_is_printed_under_its_choice_whatever_is_chosen_on_the_screen(site: Path, tmp_path: Path) -> None:
    pages = texts(printed(site / "job/launch-two-belt.html", tmp_path / "sheet.pdf"))
    (page,) = [page for page in pages if "22.1 Clean" in page]
    assert page.index("Step 22 is") < page.index("If it is not so") < page.index("22.1 Clean")


def test_the_sheet_prints_the_same_without_scripts(site: Path, tmp_path: Path) -> None:
    path = site / "job/trailer-a-spring.html"
    assert texts(printed(path, tmp_path / "without.pdf", javascript=False)) == texts(
        printed(path, tmp_path / "with.pdf")
    )


def test_a_library_may_ask_for_letter_paper(tmp_path: Path) -> None:
    files = {**BOAT, "manual.yaml": BOAT["manual.yaml"] + "        paper: Letter\n"}
    site = build(write(tmp_path / "boat", files), tmp_path / "site")
    reader = printed(site / "job/belt-of-one.html", tmp_path / "sheet.pdf")
    assert {(round(page.mediabox.width), round(page.mediabox.height)) for page in reader.pages} == {LETTER}
    pages = texts(reader)
    assert all("Belt of boat one" in page and f"page {number} of" in page for number, page in enumerate(pages, start=1))


def test_self_locking_nuts_get_a_box_each_for_what_they_take_and_for_the_sum(tmp_path: Path) -> None:
    site = build(write(tmp_path / "boat", BOAT), tmp_path / "site")
    everything = " ".join(texts(printed(site / "job/belt-of-one.html", tmp_path / "sheet.pdf")))
    assert "Run-down torque, added Cover nuts" in everything
    assert "Sum with 20 N·m 1 2 3 4" in everything


def test_a_draft_says_so_on_every_page(tmp_path: Path) -> None:
    files = {**BOAT, "renew.yaml": BOAT["renew.yaml"].replace("- restore: battery", "- turn: belt")}
    site = build(write(tmp_path / "boat", files), tmp_path / "site")
    for page in texts(printed(site / "job/belt-of-one.html", tmp_path / "sheet.pdf")):
        assert "DRAFT" in page
