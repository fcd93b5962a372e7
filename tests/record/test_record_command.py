"""procgen record as a person uses it: a record is entered into its logbook once, or kept, or refused with reasons."""

import json
from pathlib import Path
from typing import Any

import pytest

from procgen.cli import main
from procgen.library.load import load
from tests.sheet.boat import BOAT
from tests.sheet.filled import filled, form_for, save
from tests.written import write

LOGBOOK = "fleet/one.yaml"


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    return write(tmp_path / "boat", BOAT)


def record_of(boat: Path, **more: Any) -> dict[str, Any]:
    return filled(load(boat).library, job="belt-of-one", **{"meter": "120", **more})


def run(boat: Path, record: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    file = save(record, boat.parent / "record.json")
    status = main(["record", str(file), str(boat), "--on", "2026-11-01"])
    return status, capsys.readouterr().out.replace(str(boat.parent), "…")


def key(boat: Path, number: str) -> str:
    return next(step.key for step in form_for(load(boat).library, job="belt-of-one").steps if step.number == number)


def test_a_finished_record_becomes_an_entry_and_nothing_else_is_touched(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (boat / LOGBOOK).read_text()
    record = record_of(boat)
    status, out = run(boat, record, capsys)
    assert (
        (boat / LOGBOOK).read_text()
        == before
        + f"""\
  - on: 2026-11-01
    hours: 120
    did: renew-belt
    by: A. Fitter
    checked-by: B. Checker
    parts: [belt]
    readings: {{play: 6.0000 mm}}
    record: belt-of-one {record["fingerprint"]} 7KQ3-9FWM
"""
    )
    assert (status, out.splitlines()[0]) == (0, "fleet/one.yaml:11:5: entered")
    assert out.endswith("\nNext: procgen build …/boat\n")
    assert main(["check", str(boat), "--on", "2026-11-01"]) in (0, 1)
    assert "fleet/one.yaml" not in capsys.readouterr().out


def test_the_same_record_is_entered_once(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(boat)
    run(boat, record, capsys)
    after = (boat / LOGBOOK).read_bytes()
    assert run(boat, {**record, "note": "Exported again."}, capsys) == (
        0,
        "fleet/one.yaml:11:5: this record is in the logbook already; nothing was written\n",
    )
    assert (boat / LOGBOOK).read_bytes() == after


def test_another_record_of_the_same_sheet_is_another_entry(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(boat, record_of(boat), capsys)
    status, _ = run(boat, record_of(boat, record="2222-3333", meter="130"), capsys)
    assert status == 0
    assert [entry.meter for entry in load(boat).library.logbooks["one"].entries] == [100, 120, 130]


def test_a_paused_record_is_kept_beside_its_job_and_not_read_as_part_of_the_library(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_of(boat, state="paused", on="", by="")
    record["steps"] = dict(list(record["steps"].items())[:9])
    before = (boat / LOGBOOK).read_bytes()
    status, out = run(boat, record, capsys)
    kept = boat / "jobs/belt-of-one.progress.json"
    assert status == 0
    assert out.startswith("jobs/belt-of-one.progress.json: kept until the work goes on\n  3 steps are open:\n")
    assert json.loads(kept.read_text()) == record
    assert (boat / LOGBOOK).read_bytes() == before
    assert load(boat).findings == ()


def test_a_paused_record_goes_away_when_the_work_is_finished(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(boat, record_of(boat, state="paused"), capsys)
    assert run(boat, record_of(boat), capsys)[0] == 0
    assert not (boat / "jobs/belt-of-one.progress.json").exists()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"record": "2222-3333"}, "holds another record of this work, 7KQ3-9FWM"),
        ({"saved": "2026-10-31T10:00:00Z"}, "holds a later state of this record"),
    ],
)
def test_a_paused_record_never_takes_the_place_of_another_or_of_a_later_one(
    boat: Path, capsys: pytest.CaptureFixture[str], more: dict[str, Any], said: str
) -> None:
    run(boat, record_of(boat, state="paused"), capsys)
    kept = (boat / "jobs/belt-of-one.progress.json").read_bytes()
    status, out = run(boat, record_of(boat, state="paused", **more), capsys)
    assert status == 1
    assert said in " ".join(out.split())
    assert (boat / "jobs/belt-of-one.progress.json").read_bytes() == kept


def test_a_record_that_says_finished_and_is_not_is_refused(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(boat)
    del record["steps"][key(boat, "11")]["signed"]["checker"]
    status, out = run(boat, record, capsys)
    assert status == 1
    assert out.splitlines() == [
        "…/record.json: nothing was written",
        "",
        "  The record says that the work is finished, and it is not.",
        "  1 step is open:",
        "    step 11, Check Two turns by hand: the signature of the checker",
    ]


def test_an_outdated_print_is_refused_and_the_changed_step_is_named(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_of(boat)
    renew = boat / "renew.yaml"
    renew.write_text(renew.read_text().replace("Slip it off.", "Slip it off towards you."))
    status, out = run(boat, record, capsys)
    assert status == 1
    assert f"fingerprint {record['fingerprint']}, and the sheet is now " in " ".join(out.split())
    assert "Changed since: step 5." in " ".join(out.split())
    assert "carry over what is the same" in " ".join(out.split())


def test_what_lies_on_the_bench_or_when_it_is_planned_does_not_outdate_a_print(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_of(boat)
    job = boat / "jobs/belt.yaml"
    job.write_text(job.read_text().replace("on-hand: []", "on-hand: [belt]\ndate: 2026-12-24"))
    assert run(boat, record, capsys)[0] == 0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"job": "no-such"}, 'The record is of the job "no-such", and the library has no such job.'),
        ({"logbook": "two"}, 'The record is of work on "two", and the job is planned on "one".'),
        ({"meter": "90"}, "The meter of Boat One runs backwards: 100 on 2020-05-01, 90 on 2026-11-01."),
        ({"on": "2026-11-02"}, "lies after today, 2026-11-01"),
        ({"on": "yesterday"}, '"yesterday"'),
    ],
)
def test_what_the_logbook_cannot_take_is_refused_and_nothing_is_written(
    boat: Path, capsys: pytest.CaptureFixture[str], more: dict[str, Any], said: str
) -> None:
    before = (boat / LOGBOOK).read_bytes()
    status, out = run(boat, {**record_of(boat), **more}, capsys)
    assert status == 1
    assert said in " ".join(out.split())
    assert (boat / LOGBOOK).read_bytes() == before


def test_an_entry_that_cannot_be_added_is_shown_to_be_added_by_hand(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    logbook = boat / LOGBOOK
    logbook.write_text(logbook.read_text().split("entries:")[0] + "entries: null\n")
    status, out = run(boat, record_of(boat), capsys)
    assert status == 1
    assert "The entry cannot be added to fleet/one.yaml: its entries are no list." in out
    assert "    did: renew-belt\n" in out


def test_a_procedures_own_sheet_names_the_machine_it_was_done_on(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = load(boat).library
    record = filled(library, procedure="renew-belt", logbook="one", meter="120")
    assert run(boat, {**record, "logbook": ""}, capsys)[0] == 1
    assert run(boat, record, capsys)[0] == 0
    (_, entry) = load(boat).library.logbooks["one"].entries
    assert entry.did == ("renew-belt",)
    assert entry.record == f"renew-belt {record['fingerprint']} 7KQ3-9FWM"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no JSON"),
        (b"\xff\xfe\x00", "no text"),
        (b"[1, 2]", "no record of a sheet"),
        (b"{}", "no record of a sheet. Name the .json file"),
        (b'{"record": "7KQ3-9FWM", "steps": []}', "no record of a sheet as the format has it"),
        (b'{"record": "7KQ3-9FWM"', "no JSON at line 1: the download may be cut off"),
        (b"[" * 100_000, "no JSON"),
    ],
)
def test_a_file_that_is_no_record_is_told_in_words(
    boat: Path, capsys: pytest.CaptureFixture[str], content: bytes, said: str
) -> None:
    file = boat.parent / "record.json"
    file.write_bytes(content)
    assert main(["record", str(file), str(boat)]) == 2
    assert said in capsys.readouterr().err


def test_a_logbook_that_may_not_be_written_stays_as_it_is(
    boat: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    before = (boat / LOGBOOK).read_bytes()
    monkeypatch.setattr("procgen.record.logbook_file.put_whole", full)
    file = save(record_of(boat), boat.parent / "record.json")
    assert main(["record", str(file), str(boat), "--on", "2026-11-01"]) == 2
    assert "No space left on device. It is as it was." in capsys.readouterr().err
    assert (boat / LOGBOOK).read_bytes() == before
    assert sorted(path.name for path in (boat / "fleet").iterdir()) == ["one.yaml"]
