"""Paused work on one procedure, which `procgen record` keeps beside the logbook: on its sheet at the next build."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from procgen import flow
from procgen.cli import main
from procgen.library.load import load
from procgen.output.cache import Cache
from tests.manual.sheets import DAY, bench, build, opened, step
from tests.output.builds import snapshot
from tests.sheet.boat import BOAT
from tests.sheet.filled import filled, save
from tests.written import write

FLEET = {
    **BOAT,
    "fleet/two.yaml": "logbook: two\nmachine: boat\nname: Boat Two\nserial: B-002\nvariants: {drive: sail}\n",
    "fleet/three.yaml": "logbook: three\nmachine: boat\nname: Boat Three\n",
    "look.yaml": """\
        procedure: look-at-belt
        machine: boat
        steps:
          - do: Look.
    """,
}


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return write(tmp_path / "library", FLEET)


def pause(library: Path, logbook: str, steps: int, **more: Any) -> dict[str, Any]:
    """Keep a record of the work on one machine, the first few steps done. Gives the record."""
    record = filled(
        load(library).library, procedure="renew-belt", logbook=logbook, state="paused", on="", by="", **more
    )
    record["steps"] = dict(list(record["steps"].items())[:steps])
    file = save(record, library.parent / f"{logbook}.json")
    assert main(["record", str(file), str(library), "--on", DAY.isoformat()]) == 0
    return record


@pytest.fixture
def page(library: Path, tmp_path: Path) -> Iterator[Page]:
    """A sheet with paused work on two of three machines."""
    pause(library, "one", 3, record="AAAA-2222", note="Waiting for the belt.")
    pause(library, "two", 5, record="BBBB-3333")
    site = build(library, tmp_path / "site")
    with bench(tmp_path / "profile") as context:
        yield opened(context, site / "sheet/renew-belt.html")


def offers(page: Page) -> list[str]:
    return page.locator(".sheet-news p").all_inner_texts()


ONE = "Work on Boat One, B-001 pauses since 2026-11-01; its record came with the manual. Waiting for the belt."
TWO = "Work on Boat Two, B-002 pauses since 2026-11-01; its record came with the manual."


@pytest.mark.browser
def test_until_a_machine_is_chosen_all_paused_work_is_offered_and_then_that_of_the_machine_alone(page: Page) -> None:
    assert sorted(offers(page)) == [ONE, TWO]
    page.locator("input[name=logbook][value=two]").check()
    assert offers(page) == [TWO]
    page.locator("input[name=logbook][value=three]").check()
    assert offers(page) == []
    page.locator("input[name=logbook][value=one]").check()
    assert offers(page) == [ONE]


@pytest.mark.browser
def test_going_on_chooses_the_machine_and_its_variants_and_offers_nothing_more(page: Page) -> None:
    page.locator(".sheet-news", has_text="Boat Two").get_by_role("button", name="Go on with it").click()
    assert page.locator("input[name=logbook][value=two]").is_checked()
    assert page.locator(".sheet-form input[value=sail]").is_checked()
    assert page.locator(".sheet-strip p").inner_text().startswith("5 of ")
    assert offers(page) == []
    page.reload()
    assert page.locator(".sheet-strip p").inner_text().startswith("5 of ")
    assert offers(page) == []


@pytest.mark.browser
def test_what_makes_way_for_paused_work_is_said_and_can_be_had_back(page: Page) -> None:
    page.locator("input[name=logbook][value=one]").check()
    page.locator(f"{step('2')} > .step-number input").check()
    page.reload()
    assert offers(page) == [f"{ONE} What is filled in here makes way for it; Undo brings that back."]
    page.get_by_role("button", name="Go on with it").click()
    assert page.locator(".sheet-strip p").inner_text().startswith("3 of ")
    page.get_by_role("button", name="Undo").click()
    assert page.locator(".sheet-strip p").inner_text().startswith("1 of ")


@pytest.mark.browser
def test_a_device_that_was_left_behind_is_told_that_the_work_went_on_elsewhere(library: Path, tmp_path: Path) -> None:
    record = pause(library, "one", 2)
    site = build(library, tmp_path / "site")
    with bench(tmp_path / "profile") as context:
        page = opened(context, site / "sheet/renew-belt.html")
        page.get_by_role("button", name="Go on with it").click()
        further = filled(load(library).library, procedure="renew-belt", logbook="one", state="paused", on="", by="")
        steps = dict(list(further["steps"].items())[:4])
        list(steps.values())[-1]["at"] = "2026-11-03T09:00:00Z"
        file = save({**record, "steps": steps, "saved": "2026-11-03T09:01:00Z"}, tmp_path / "further.json")
        assert main(["record", str(file), str(library), "--on", "2026-11-03"]) == 0
        build(library, tmp_path / "site")
        page.reload()
        (offer,) = offers(page)
        assert offer.startswith("Work on Boat One, B-001 went on elsewhere, until 2026-11-03; its record came")
        page.get_by_role("button", name="Go on with it").click()
        assert page.locator(".sheet-strip p").inner_text().startswith("4 of ")


def test_the_sheet_holds_records_of_its_own_procedure_alone(library: Path, tmp_path: Path) -> None:
    record = pause(library, "two", 3)
    build(library, tmp_path / "site")
    page = (tmp_path / "site/sheet/renew-belt.html").read_text(encoding="utf-8")
    held = page.partition('id="sheet-kept">')[2].partition("</script>")[0]
    assert json.loads(held) == [record]
    for path in ("sheet/look-at-belt.html", "job/belt-of-one.html"):
        assert "sheet-kept" not in (tmp_path / "site" / path).read_text(encoding="utf-8")


def test_a_file_that_is_no_record_is_not_shown(library: Path, tmp_path: Path) -> None:
    (library / "fleet/two.renew-belt.progress.json").write_text('{"record": "AAAA-2222"}', encoding="utf-8")
    build(library, tmp_path / "site")
    assert "sheet-kept" not in (tmp_path / "site/sheet/renew-belt.html").read_text(encoding="utf-8")


def test_a_build_that_recalls_makes_the_sheet_of_paused_work_anew_and_that_of_no_other_procedure(
    library: Path, tmp_path: Path
) -> None:
    def made_again(name: str) -> list[str]:
        """Pages that were made, and the whole manual held against one that recalls nothing."""
        made: list[str] = []
        with Cache(tmp_path / "cache" / "known") as memo:
            flow.build(library, tmp_path / "site", on=DAY, draft=True, memo=memo, progress=made.append)
        afresh = build(library, tmp_path / f"afresh {name}")
        assert snapshot(tmp_path / "site") == snapshot(afresh)
        return [path for path in made if path.startswith(("sheet/", "procedure/"))]

    (tmp_path / "cache").mkdir(mode=0o700)
    everything = made_again("at first")
    assert "sheet/look-at-belt.html" in everything
    of_the_work = sorted(path for path in everything if "renew-belt" in path)
    assert made_again("as it was") == []
    pause(library, "two", 3, record="BBBB-3333")
    assert sorted(made_again("paused")) == of_the_work
    pause(library, "two", 4, record="BBBB-3333", saved="2026-11-01T12:00:00Z")
    assert sorted(made_again("paused again")) == of_the_work
    (library / "fleet/two.renew-belt.progress.json").unlink()
    assert sorted(made_again("gone")) == of_the_work
