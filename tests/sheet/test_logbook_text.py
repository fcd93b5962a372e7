"""An entry goes into a logbook's text: one more is read, and every character of the rest is as it was."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from procgen.library.files import read_file
from procgen.library.yaml_reading import read
from procgen.library.yaml_tree import Map
from procgen.sheet.logbook_text import AppendError, Fields, Value, with_entry
from tests.sheet.written_logbooks import Written, logbooks

ENTRY: Fields = {"on": "2026-12-12", "hours": 1318, "did": "renew-belt", "record": "belt DX4W-22QD 7KQ3-9FWM"}


def after(text: str) -> str:
    """What the text becomes with one small entry."""
    return with_entry(text, {"on": "2026-12-12", "by": "A.F."})


def test_the_last_entry_is_followed_by_the_new_one_at_the_same_indent() -> None:
    text = "logbook: boat\nmachine: m\nentries:\n    - on: 2021-05-09  # belt\n      by: T.R.\n"
    assert after(text) == text + "    - on: 2026-12-12\n      by: A.F.\n"


def test_keys_and_comments_behind_the_entries_stay_behind_them() -> None:
    text = "logbook: boat\nentries:\n- on: 2021-05-09\n# the meter was changed\nmachine: m\n"
    assert after(text) == (
        "logbook: boat\nentries:\n- on: 2021-05-09\n- on: 2026-12-12\n  by: A.F.\n# the meter was changed\nmachine: m\n"
    )


def test_a_logbook_without_entries_gets_them() -> None:
    assert after("logbook: boat\nmachine: m") == (
        "logbook: boat\nmachine: m\nentries:\n  - on: 2026-12-12\n    by: A.F.\n"
    )


def test_entries_that_are_set_apart_stay_set_apart() -> None:
    text = "logbook: boat\nentries:\n  - on: 2021-05-09\n\n  - on: 2022-05-09\n"
    assert after(text) == text + "\n  - on: 2026-12-12\n    by: A.F.\n"


def test_entries_in_brackets_get_one_in_brackets() -> None:
    text = "logbook: boat\nentries: [{on: 2021-05-09}, # belt\n]\n"
    assert after(text) == 'logbook: boat\nentries: [{on: 2021-05-09}, {"on": "2026-12-12", "by": "A.F."}, # belt\n]\n'


def test_lines_end_as_the_files_own_do() -> None:
    assert after("logbook: boat\r\nmachine: m\r\n").count("\r\n") == 5
    assert after("logbook: boat\r\nmachine: m\r\n").count("\n") == 5


def test_a_text_that_ends_in_blank_lines_of_its_own_keeps_them() -> None:
    text = "logbook: boat\nentries:\n  - note: |+\n      dry\n\n"
    assert after(text) == text + "  - on: 2026-12-12\n    by: A.F.\n"


def test_a_long_note_is_folded_and_its_lines_come_back() -> None:
    note = "The lower cover has a crack: " + "look again, " * 20 + "and again.\nSecond line."
    text = with_entry("logbook: boat\nmachine: m\n", {"on": "2026-12-12", "note": note})
    assert max(map(len, text.splitlines())) <= 100
    assert entries_of(text)[-1] == {"on": "2026-12-12", "note": note}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("logbook: boat\nentries: null\n", "no list"),
        ("logbook: boat\nentries: none\n", "no list"),
        ("old: &old []\nlogbook: boat\nentries: *old\n", "alias"),
        ("- logbook\n", "no logbook"),
        ("", "no logbook"),
    ],
)
def test_what_cannot_be_added_to_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(AppendError, match=why):
        with_entry(text, ENTRY)


def entries_of(text: str) -> list[object]:
    data = read(text, "boat.yaml").tree
    assert isinstance(data, Map)
    found = data.get("entries")
    return list(found) if isinstance(found, list) else []


def plain(value: object) -> object:
    """Without what says nothing: line breaks at the very end of a text."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [plain(each) for each in value]
    return value.rstrip("\n") if isinstance(value, str) else value


TEXTS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs", "S")), min_size=1, max_size=130).map(
    str.strip
)
VALUES: st.SearchStrategy[Value] = st.one_of(
    TEXTS.filter(bool), st.integers(0, 9999), st.lists(st.sampled_from(["renew-belt", "oil"]), min_size=1, max_size=3)
)


@settings(max_examples=400, deadline=None)
@given(logbooks(), st.dictionaries(st.sampled_from(["by", "did", "note", "hours"]), VALUES))
def test_every_byte_of_any_logbook_is_kept_and_exactly_one_entry_more_is_read(written: Written, more: Fields) -> None:
    text = written.text
    before = read_file(text, "boat.yaml")
    assume(not [finding for finding in before.findings if finding.check != "missing-key"])
    result = with_entry(text, {"on": "2026-12-12", **more})
    start = next((place for place, (old, new) in enumerate(zip(text, result, strict=False)) if old != new), len(text))
    inserted = len(result) - len(text)
    kept = any(
        text == result[:place] + result[place + inserted :] for place in range(max(start - inserted, 0), start + 1)
    )
    assert kept, "something of the old text was changed"
    now = entries_of(result)
    assert plain(now[:-1]) == plain(entries_of(text))
    assert plain(now[-1]) == plain({"on": "2026-12-12", **more})
    after_ = read_file(result, "boat.yaml").data
    assert plain({key: value for key, value in after_.items() if key != "entries"}) == plain(
        {key: value for key, value in before.data.items() if key != "entries"}
    )
