"""The board of due work as people, programs and calendars read it."""

import json
from datetime import date
from pathlib import Path

import icalendar
import pytest

from procgen.cli import main
from procgen.library.load import load
from procgen.report.due_calendar import due_calendar
from procgen.report.due_text import due_text
from procgen.upkeep.due import MachineDue, due
from tests.written import write

DAY = date(2026, 11, 1)

LIBRARY = {
    "press.yaml": """\
        machine: press
        title: Fly press, "No. 4"; cast iron
        meter: cycles
        schedule:
          grease: {title: "Grease, slides; and screw", every: [500 cycles, 1 year], do: grease}
          belt: {title: Belt, every: 6 years, do: renew-belt}
          guard: {title: Guard, every: 1 month, do: see-guard}
          paint: {title: Paint, every: 10 years, do: paint-it}
        """,
    **{
        f"{name}.yaml": f"procedure: {name}\nmachine: press\nsteps:\n  - do: Do it.\n"
        for name in ("grease", "renew-belt", "see-guard", "paint-it")
    },
    "log.yaml": """\
        logbook: four
        machine: press
        name: Presse Nº 4 à vis, celle de l'atelier du fond, à côté de la fenêtre qui donne sur la cour
        serial: P-0004
        where: "Workshop\\\\yard, left; back"
        meter: [{on: 2025-11-01, cycles: 1000}, {on: 2026-11-01, cycles: 1365}]
        entries:
          - {on: 2025-11-20, cycles: 1019, did: grease}
          - {on: 2020-01-01, did: renew-belt}
          - {on: 2026-10-30, did: see-guard}
        """,
}


def board(tmp_path: Path, on: date = DAY) -> tuple[MachineDue, ...]:
    loaded = load(write(tmp_path / "lib", LIBRARY))
    assert [finding.message for finding in loaded.findings] == []
    return due(loaded.library, on)


def test_the_board_reads_from_the_most_urgent_down(tmp_path: Path) -> None:
    assert due_text("lib", board(tmp_path), colour=False).replace("\u202f", " ").splitlines()[1:] == [
        "1 365 cycles on 2026-11-01, at 365 cycles a year.",
        "",
        "  overdue       Belt                       2026-01-01  9 months over  113 % of 6 years",
        "                last done: 2020-01-01",
        "  never done    Paint",
        "                last done: never",
        "                10 years: it was never done, and nothing tells the machine's age",
        "  due soon      Grease, slides; and screw  2026-11-20  19 days left   94 % of 1 year",
        "                last done: 2025-11-20 at 1 019 cycles; 69 % of 500 cycles",
        "  fine          Guard                      2026-11-30  29 days left   6 % of 1 month",
        "",
        "lib, 2026-11-01: 1 overdue, 1 never done, 1 due soon, 1 fine",
    ]


def test_a_calendar_program_reads_back_what_is_due(tmp_path: Path) -> None:
    """icalendar is the second opinion: it unfolds, unescapes and parses by RFC 5545 on its own."""
    calendar = icalendar.Calendar.from_ical(due_calendar(DAY, board(tmp_path)))
    name = "Presse Nº 4 à vis, celle de l'atelier du fond, à côté de la fenêtre qui donne sur la cour"
    events = {str(event["UID"]): event for event in calendar.walk("VEVENT")}
    assert {uid: str(event["SUMMARY"]) for uid, event in events.items()} == {
        "four.belt.due@procgen": f"{name}: Belt, overdue since 2026-01-01",
        "four.grease.due@procgen": f"{name}: Grease, slides; and screw, due",
        "four.guard.due@procgen": f"{name}: Guard, due",
    }
    grease = events["four.grease.due@procgen"]
    assert grease.decoded("DTSTART") == date(2026, 11, 20)
    assert grease.decoded("DTEND") == date(2026, 11, 21)
    assert grease.decoded("DTSTAMP").isoformat() == "2026-11-01T00:00:00+00:00"
    assert str(grease["LOCATION"]) == "Workshop\\yard, left; back"
    assert "Last done: 2025-11-20 at 1\u202f019 cycles" in str(grease["DESCRIPTION"]).split("\n")


def test_overdue_work_stands_on_the_day_of_the_export(tmp_path: Path) -> None:
    calendar = icalendar.Calendar.from_ical(due_calendar(DAY, board(tmp_path)))
    (belt,) = (event for event in calendar.walk("VEVENT") if str(event["UID"]) == "four.belt.due@procgen")
    assert belt.decoded("DTSTART") == DAY


def test_lines_are_folded_at_75_octets_without_tearing_a_character(tmp_path: Path) -> None:
    """RFC 5545, section 3.1."""
    data = due_calendar(DAY, board(tmp_path))
    assert data.endswith(b"END:VCALENDAR\r\n")
    lines = data.removesuffix(b"\r\n").split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert max(len(line) for line in lines) == 75
    assert all(line.decode("utf-8") for line in lines)
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_the_same_library_and_day_give_the_same_calendar(tmp_path: Path) -> None:
    assert due_calendar(DAY, board(tmp_path / "one")) == due_calendar(DAY, board(tmp_path / "two"))


@pytest.mark.parametrize("on", [date(2026, 11, 2), date(2027, 6, 1), date(2050, 1, 1)])
def test_a_piece_of_work_keeps_its_uid_from_export_to_export(on: date, tmp_path: Path) -> None:
    def uids(day: date) -> list[str]:
        calendar = icalendar.Calendar.from_ical(due_calendar(day, board(tmp_path, day)))
        return sorted(str(event["UID"]) for event in calendar.walk("VEVENT"))

    assert uids(on) == uids(DAY)
    assert len(set(uids(on))) == len(uids(on))


def test_json_says_which_limit_bites_and_how_far_each_is_used(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path / "lib", LIBRARY)
    assert main(["due", str(tmp_path / "lib"), "--on", "2026-11-01", "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["counts"] == {"overdue": 1, "never done": 1, "due soon": 1, "unknown": 0, "fine": 1}
    grease = next(work for work in found["machines"][0]["work"] if work["item"] == "grease")
    assert (grease["state"], grease["due"], grease["bites"]) == ("due soon", "2026-11-20", "1 year")
    assert {limit["limit"]: limit["used"] for limit in grease["limits"]} == {"500 cycles": 0.692, "1 year": 0.9479}


def test_overdue_work_leaves_the_exit_status_at_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(tmp_path / "lib", LIBRARY)
    assert main(["due", str(tmp_path / "lib"), "--on", "2026-11-01"]) == 0
    assert "1 overdue" in capsys.readouterr().out
    assert main(["due", "--help"]) == 0
    assert "does not change the exit" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("argv", [["due", "nowhere"], ["due", "--on", "soon"], ["due", "--format", "pdf"]])
def test_a_board_that_cannot_be_made_exits_with_2(
    argv: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(argv) == 2
    assert capsys.readouterr().out == ""


def test_a_library_without_logbooks_says_so(tmp_path: Path) -> None:
    loaded = load(write(tmp_path, "procedure: one\nsteps:\n  - do: Do it.\n"))
    assert due_text("lib", due(loaded.library, DAY), colour=False) == (
        "lib: no logbook, so nothing falls due on any machine\n"
    )


def test_a_mistake_in_a_file_is_told_on_the_error_stream_and_the_rest_is_judged(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = LIBRARY["press.yaml"].replace("10 years", "10 yaers")
    write(tmp_path / "lib", {**LIBRARY, "press.yaml": broken})
    assert main(["due", str(tmp_path / "lib"), "--on", "2026-11-01"]) == 0
    captured = capsys.readouterr()
    assert "1 overdue" in captured.out
    assert "procgen check" in captured.err
