"""`procgen visits`: which scheduled work is cheapest done together, for a person and for a script."""

import json
from pathlib import Path

import pytest

from procgen.cli import main
from tests.upkeep.one_cover import FILES
from tests.written import write

ON = ("--on", "2026-01-01")


@pytest.fixture
def library(tmp_path: Path) -> str:
    return str(write(tmp_path, FILES))


def test_the_visits_are_told_with_what_they_cost_and_what_that_assumes(
    library: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["visits", "one", library, "--years", "8", "--work", "belt", "--work", "pump", *ON]) == 0
    assert (
        capsys.readouterr().out
        == """\
one  M
200 h on 2024-01-01; about 400 h on 2026-01-01, at 100 h a year.
Visits from 2026-01-01 to 2034-01-01.

Belt; Pump
  share: Cover
  Done together: 2 visits fewer, 2 h less work, 65 less in all.

  done together          3 visits    4 h 10 min           510, less 95 that is left: 415
  each when it is due    5 visits    6 h 10 min           630, less 150 that is left: 480

  2026-01-01    1 h 10 min          90  Belt
  2028-01-01    1 h 30 min         210  Belt (2 years early); Pump
  2032-01-01    1 h 30 min         210  Belt; Pump (23 months early)

What this assumes
  Work comes round after its interval, taken in days as the meter runs now. What is due at every nth
    time of other work comes round after so many of its intervals.
  No work is done after its day, and what is overdue is done at once.
  Visits are made only on days on which something is due: any other day would be no cheaper.
  Working time is that of one merged plan of the work that shares access, without the steps that
    only the rest needs, with every inspection passed. Openings are not weighed against each other.
  An hour of work costs 60, a part what the parts list says, and nothing where it gives no price.
    The way to the machine and the days without it are not counted.
  What is left of an interval on 2034-01-01 is worth that share of the least that the work adds to
    any visit, so that nothing is brought forward only because the years end.
  The search is exact: under all this, no other visits are cheaper.
"""
    )


def test_a_script_gets_the_same_figures(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        main(["visits", "one", library, "--years", "8", "--work", "belt", "--work", "pump", "--format", "json", *ON])
        == 0
    )
    told = json.loads(capsys.readouterr().out)
    (opening,) = told["openings"]
    assert [each["item"] for each in opening["work"]] == ["belt", "pump"]
    assert [visit["on"][:4] for visit in opening["together"]["visits"]] == ["2026", "2028", "2032"]
    assert opening["together"]["visits"][1]["cost"] == 210


def test_a_machine_that_is_not_there_is_refused_with_those_that_are(
    library: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["visits", "two", library, *ON]) == 2
    assert capsys.readouterr().err == 'There is no logbook "two": there is one\n'


def test_work_that_is_not_on_the_schedule_is_refused_with_the_nearest_name(
    library: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["visits", "one", library, "--work", "pumps", *ON]) == 2
    assert capsys.readouterr().err == 'Nothing on the schedule of one is called "pumps": did you mean "pump"?\n'


def test_where_too_much_could_be_chosen_it_says_what_can_be_done(
    library: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("procgen.upkeep.visits._LARGEST", 1)
    assert main(["visits", "one", library, *ON]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "The search was given up: too much could be chosen" in said
    assert "Name fewer pieces of work with --work, or ask for fewer years with --years." in said
    assert "no other visits are cheaper" not in said
