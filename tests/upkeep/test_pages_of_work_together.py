"""What the pages say of work done together is what the commands say, and no sheet's fingerprint depends on it."""

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from procgen.cli import main
from procgen.manual.site import pages
from tests.manual.built import site_of

DEMO = Path(__file__).parent.parent.parent / "procedures"
ON = date(2026, 11, 1)


def manual(on: date | None) -> dict[str, str]:
    site = replace(site_of(DEMO), on=on)
    return {page.path: page.data.decode("utf-8") for page in pages(site) if page.path.endswith(".html")}


@pytest.fixture(scope="module")
def demo() -> dict[str, str]:
    return manual(ON)


def told(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, object]:
    assert main([*command, str(DEMO), "--format", "json", "--on", ON.isoformat()]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert isinstance(answer, dict)
    return answer


def rows(table: str) -> list[list[str]]:
    """The rows of a table, each cell as words."""
    body = table.partition("<tbody>")[2].partition("</tbody>")[0]
    cells = (re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in body.split("<tr>")[1:])
    return [[" ".join(re.sub(r"<[^>]*>", " ", cell).split()) for cell in row] for row in cells]


def table(page: str, name: str) -> list[list[str]]:
    return rows(page.partition(f'class="{name}"')[2])


def minutes(words: str) -> int:
    hours = re.search(r"(\d+) h", words)
    rest = re.search(r"(\d+) min", words)
    return 60 * int(hours[1] if hours else 0) + int(rest[1] if rest else 0)


@pytest.mark.parametrize("logbook", ["launch-one", "launch-two"])
def test_the_page_of_visits_has_the_days_times_and_costs_of_the_command(
    demo: dict[str, str], capsys: pytest.CaptureFixture[str], logbook: str
) -> None:
    page = demo[f"visits/{logbook}.html"]
    openings = told(capsys, "visits", logbook)["openings"]
    assert isinstance(openings, list)
    shown = page.split('<section class="part wide">')[1:]
    assert len(shown) == len(openings)
    for section, opening in zip(shown, openings, strict=True):
        visits = [
            (visit["on"], round(visit["minutes"]), f"{round(visit['cost'])}GBP")
            for visit in opening["together"]["visits"]
        ]
        listed = table(section, "rows visit-table")
        assert [(row[0], minutes(row[2]), row[3].partition("parts")[0].replace(" ", "")) for row in listed] == visits
        total = {row[0]: row[1] for row in table(section, "visit-totals")}
        assert minutes(total["Work"]) == round(opening["together"]["minutes"])
        assert total["Comes to"].replace(" ", "") == f"{round(opening['together']['total'])}GBP"


@pytest.mark.parametrize("job", ["launch-two-belt", "launch-one-annual"])
def test_a_job_sheet_names_what_the_plan_says_could_be_done_in_the_same_opening(
    demo: dict[str, str], capsys: pytest.CaptureFixture[str], job: str
) -> None:
    also = told(capsys, "plan", job)["while-there"]
    assert isinstance(also, list)
    bargains = [each for each in also if each["minutes-on-top"] <= each["minutes-alone"] / 2]
    assert bargains
    page = demo[f"job/{job}.html"]
    assert page.index('id="same-opening"') < page.index('id="work"')
    listed = table(page, "rows in-there")
    expected = [
        (each["title"], round(each["minutes-on-top"]), round(each["minutes-alone"] - each["minutes-on-top"]))
        for each in bargains
    ]
    assert [(row[0], minutes(row[1]), minutes(row[2])) for row in listed] == expected


def test_the_machines_own_page_has_it_for_its_jobs_and_for_what_is_due_and_not_planned(demo: dict[str, str]) -> None:
    section = demo["individual/launch-two.html"].partition('id="in-there"')[2].partition("</section>")[0]
    with_what = [" ".join(re.sub(r"<[^>]*>", " ", each).split()) for each in re.findall(r"<h3.*?</h3>", section)]
    assert with_what == [
        "With Launch Two, belt service on 2026-12-12",
        "With Cylinder head bolts 1 h 45 min by itself, on 2026-11-01",
    ]


def test_no_fingerprint_of_a_sheet_depends_on_what_else_could_be_done(demo: dict[str, str]) -> None:
    without = manual(None)
    for path in ("job/launch-two-belt.html", "job/launch-one-annual.html"):
        assert 'id="same-opening"' in demo[path]
        assert 'id="same-opening"' not in without[path]
        stamp = re.compile(r'data-stamp="[^"]*fingerprint ([^"]*)"')
        assert stamp.findall(demo[path]) == stamp.findall(without[path]) != []
