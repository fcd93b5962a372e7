"""`procgen plan`: the plan of a job, for a person, for a script, and as a shopping list."""

import json
from pathlib import Path

import pytest

from procgen.cli import main
from tests.written import write

LIBRARY = {
    "machine.yaml": "machine: m\ntitle: Engine\ncomponents: {cover: {renew: [seal]}, pump: {behind: [cover]}}\n",
    "parts.yaml": "parts: {seal: {title: Cover seal, number: S-1, single-use: true, lead-time: 4 days, price: 3}}\n",
    "oil.yaml": """\
        procedure: oil-pump
        machine: m
        steps:
          - open: pump
          - {lubricate: pump, do: Oil it. Not much., time: 5 min}
          - close: pump
        """,
    "look.yaml": """\
        procedure: look-at-pump
        machine: m
        steps:
          - {remove: cover, time: 10 min}
          - {inspect: pump, accept: Dry., reject: [{clean: pump, do: Wipe it.}]}
          - {fit: cover, time: 10 min}
        """,
    "logbook.yaml": "logbook: one\nmachine: m\nname: Launch One\n",
    "job.yaml": "job: spring\nlogbook: one\ntitle: Spring work\ndate: 2026-04-10\ndo: [oil-pump, look-at-pump]\n",
}


@pytest.fixture
def library(tmp_path: Path) -> str:
    return str(write(tmp_path, LIBRARY))


def test_the_plan_is_told_from_its_times_to_its_last_step(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "spring", library, "--on", "2026-04-01"]) == 0
    assert (
        capsys.readouterr().out
        == """\
Spring work
Launch One, Engine, planned for 2026-04-10

Together 25 min, as long as one after the other.

        alone      on top
        5 min       5 min  1  Oil pump
       20 min      20 min  2  Look at pump

  On top: what a procedure costs while the others are done anyway.

Before you start
  If the missing parts are ordered today, it can start on 2026-04-05.
  Missing:
    cover seal (S-1): takes 4 days, order by 2026-04-06

The work

  Get at the pump
  1 2  1     Take off the cover.

  Oil pump
  1    2     Oil it.

  Look at pump
  2    3     Inspect the pump.
         if rejected:
  2      3.1   Wipe it.

  Close up over the pump
  1 2  4     Put the cover in place.
"""
    )


def test_the_shopping_list_is_csv(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "spring", library, "--format", "csv", "--on", "2026-04-01"]) == 0
    assert capsys.readouterr().out.splitlines()[1] == "seal,S-1,Cover seal,1,yes,no,4,2026-04-06,3,"


def test_scripts_get_every_step_with_the_procedures_that_it_is_done_for(
    library: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", "spring", library, "--format", "json", "--on", "2026-04-01"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(step["number"], step["actions"], step["for"]) for step in told["steps"]] == [
        ("1", ["remove cover"], ["1", "2"]),
        ("2", ["lubricate pump"], ["1"]),
        ("3", ["inspect pump"], ["2"]),
        ("3.1", ["clean pump"], ["2"]),
        ("4", ["fit cover"], ["1", "2"]),
    ]
    assert told["minutes"] == {"together": 25, "alone": 25, "saved": 0}
    assert told["ready"]["earliest"] == "2026-04-05"


def test_a_job_that_is_not_there_is_answered_with_the_nearest(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "sprign", library]) == 2
    assert capsys.readouterr().err == 'There is no job "sprign": did you mean "spring"?\n'


def test_a_plan_with_a_fault_says_so_and_where_to_read_about_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    look = LIBRARY["look.yaml"].replace("- {remove: cover, time: 10 min}", "- do: Lift the lid.")
    folder = write(tmp_path, LIBRARY | {"look.yaml": look, "job.yaml": "job: spring\nlogbook: one\ndo: look-at-pump\n"})
    assert main(["plan", "spring", str(folder)]) == 1
    assert "found in the order of this plan; see: procgen check" in capsys.readouterr().err
