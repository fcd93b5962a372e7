"""A record held against its sheet: what is wrong, in people's words, and what is still open."""

import json
from pathlib import Path
from typing import Any

import pytest

from procgen.library.load import load
from procgen.measure.quantity import parse_quantity
from procgen.sheet.boxes import form_of
from procgen.sheet.entry import draft, spanned
from procgen.sheet.judge import Judged, judge
from procgen.sheet.read_record import read_record
from tests.sheet.boat import BOAT, WITHOUT_A_WAY_OUT, WITHOUT_LIMITS
from tests.sheet.filled import filled, form_for, plan_of
from tests.written import write


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return load(write(tmp_path_factory.mktemp("boat"), BOAT)).library


def judged(library: Any, record: dict[str, Any]) -> Judged:
    form = form_for(library, job=record.get("job", ""), procedure=record.get("procedure", ""))
    read = read_record(json.dumps(record).encode())
    return judge(read, form, library.manual.units, library.logbooks["one"].variants)


def key(library: Any, number: str) -> str:
    return next(step.key for step in form_for(library, job="belt-of-one").steps if step.number == number)


def wrong(library: Any, record: dict[str, Any]) -> list[str]:
    found = judged(library, record)
    return [complaint.message for complaint in found.complaints] + [
        f"step {each.step.number} lacks {', '.join(each.missing)}" for each in found.open
    ]


def test_a_sheet_that_is_filled_in_whole_is_right(library: Any) -> None:
    assert wrong(library, filled(library, job="belt-of-one")) == []


def test_every_step_of_an_empty_record_is_open_and_says_what_it_lacks(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"] = {}
    assert wrong(library, record) == [
        "step 1 lacks the tick",
        "step 2 lacks the tick",
        "step 3 lacks the tick",
        "step 4 lacks the tick, whether it was good",
        "step 5 lacks the tick",
        "step 6 lacks the tick",
        "step 7 lacks 2 of 2 ticks",
        "step 8 lacks the tick, the reading of Play",
        "step 9 lacks the tick",
        "step 10 lacks the tick, the run-down torque of the Cover nuts",
        "step 11 lacks the tick, the signature of the fitter, the signature of the checker",
        "step 12 lacks the tick",
    ]


def test_a_rejected_inspection_opens_its_branch(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "4")]["accepted"] = False
    assert wrong(library, record) == ['step 4.1 lacks the tick, what was found ("What was seen")']


def test_a_reading_outside_its_limits_opens_its_branch(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "8")]["readings"] = {"play": ["7,5"]}
    assert wrong(library, record) == ["step 8.1 lacks the tick"]


def test_a_reading_outside_limits_that_no_branch_mends_cannot_stand(tmp_path: Path) -> None:
    other = load(write(tmp_path, WITHOUT_A_WAY_OUT)).library
    record = filled(other, job="belt-of-one")
    record["steps"][key(other, "8")]["readings"] = {"play": ["7.5 mm"]}
    assert wrong(other, record) == ["Step 8: Play reads 7.5 mm, and its limits are 5–7 mm."]


def test_what_is_no_reading_is_said_with_the_units(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "8")]["readings"] = {"play": ["about six"]}
    assert wrong(library, record)[0] == (
        'Step 8, Play: "about six" is no figure; type it in mm, or in in with the unit behind it.'
    )


def test_one_person_cannot_sign_in_two_roles(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "11")]["signed"] = {"fitter": "T.R.", "checker": " t.r. "}
    assert wrong(library, record) == ["Step 11 (Check Two turns by hand) is signed by t.r. as fitter and as checker."]


def test_a_signature_that_nobody_asked_for_is_told(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "1")]["signed"] = {"owner": "X"}
    assert wrong(library, record) == ["Step 1 is signed in the role of owner, and nobody asked for that."]


def test_a_step_that_the_sheet_does_not_have_is_told(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"]["no-such-step"] = {"done": [True]}
    assert wrong(library, record) == [
        'The record has something filled in for a step "no-such-step", and the sheet has no such step.'
    ]


def test_a_tick_in_a_branch_that_is_not_taken_cannot_stand(library: Any) -> None:
    record = filled(library, job="belt-of-one")
    record["steps"][key(library, "4.1")] = {"done": [True]}
    assert wrong(library, record) == [
        "Step 4.1 (Show it to the checker) is ticked, and in this way through it is not done at all."
    ]


def test_the_variants_are_those_of_the_machine_whatever_the_record_says(library: Any) -> None:
    record = filled(library, procedure="renew-belt", logbook="one")
    record["choices"]["drive"] = "sail"
    assert wrong(library, record) == []


def test_an_option_decides_which_steps_are_asked_for(library: Any) -> None:
    record = filled(library, procedure="renew-belt", logbook="one")
    record["choices"]["oil"] = True
    assert wrong(library, record) == ["step 6 lacks the tick"]


def entry(library: Any, record: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    form = form_of(plan_of(library, job="belt-of-one"), library)
    read = read_record(json.dumps(record).encode())
    drafted = draft(read, form, judged(library, record), (library.jobs["belt-of-one"].do[0].procedure,))
    return dict(drafted.fields), [complaint.message for complaint in drafted.complaints]


def test_an_entry_says_what_was_done_measured_fitted_and_noted(library: Any) -> None:
    record = filled(library, job="belt-of-one", meter="131,5", note="Cover {scratched}.")
    record["steps"][key(library, "8")]["readings"] = {"play": ["6,10"]}
    record["steps"][key(library, "3")]["note"] = "A nut was loose"
    record["rounds"] = [{"step": key(library, "8"), "readings": {"play": ["8"]}}]
    fields, complaints = entry(library, record)
    assert complaints == []
    assert fields == {
        "on": "2026-11-01",
        "hours": 131.5,
        "did": "renew-belt",
        "by": "A. Fitter",
        "checked-by": "B. Checker",
        "parts": ["belt"],
        "readings": {"play": "6.10 mm"},
        "note": "Cover {{scratched}}.\nStep 3: A nut was loose. Step 8, measure Play: 8 before it was put right.",
        "record": f"belt-of-one {record['fingerprint']} 7KQ3-9FWM",
    }


@pytest.mark.parametrize(
    ("key_", "value", "said"),
    [
        ("on", "", "The record does not say on which day the work was finished."),
        ("meter", "", "The reading of the meter is missing."),
        ("meter", "many", '"many" is no reading of the meter.'),
        ("by", " ", "The record does not say who did the work."),
        ("checked-by", "", "The record does not say who checked the work as checker."),
        ("checked-by", "a. fitter", "A. Fitter did the work and checked it."),
    ],
)
def test_what_the_logbook_needs_and_the_record_lacks_is_told(library: Any, key_: str, value: str, said: str) -> None:
    assert entry(library, filled(library, job="belt-of-one", **{key_: value}))[1] == [said]


def test_several_readings_of_one_thing_become_one_range() -> None:
    assert spanned(tuple(map(parse_quantity, ("0.30 mm", "0.28 mm", "0.32 mm")))) == "0.28–0.32 mm"
    assert spanned(tuple(map(parse_quantity, ("0.30 mm", "0.3 mm")))) == "0.30 mm"
    assert spanned(tuple(map(parse_quantity, ("6.0 mm", "0.25 in")))) == "6.00–6.35 mm"
    assert spanned(tuple(map(parse_quantity, ("3/16 in", "5 mm")))) == "0.188–0.197 in"
    assert spanned(tuple(map(parse_quantity, ("1/4 in", "3/16 in")))) == "3/16–1/4 in"


def test_a_reading_without_limits_is_read_in_the_unit_of_its_spec(tmp_path: Path) -> None:
    library = load(write(tmp_path, WITHOUT_LIMITS)).library
    step = key(library, "8")

    def read(typed: str) -> tuple[list[str], Any]:
        record = filled(library, job="belt-of-one")
        record["steps"][step]["readings"]["play"] = [typed]
        return wrong(library, record), judged(library, record).readings.get((step, "play"))

    assert read("6,25") == ([], (parse_quantity("6.25 mm"),))
    assert read("1/4 in") == ([], (parse_quantity("1/4 in"),))
    assert read("6 bar")[0] == [
        'Step 8, Play: "6 bar" is no figure; type it in mm, or in in with the unit behind it.',
    ]
