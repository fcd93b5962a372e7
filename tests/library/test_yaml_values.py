"""Unquoted words have the values of the YAML 1.2 core schema, and numbers remember how they were written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.library.yaml_reading import read_tree
from procgen.library.yaml_scalar import as_yaml, quoted, resolve

EXAMPLE_10_9 = """\
A null: null
Also a null: # Empty
Not a null: ""
Booleans: [ true, True, false, FALSE ]
Integers: [ 0, 0o7, 0x3A, -19 ]
Floats: [ 0., -0.0, .5, +12e03, -2E+05 ]
Also floats: [ .inf, -.Inf, +.INF, .NAN ]
"""
"""YAML 1.2.2 (yaml.org/spec/1.2.2), example 10.9, "Core Tag Resolution"."""


def test_the_example_of_the_specification_is_read_as_it_says() -> None:
    tree, findings = read_tree(EXAMPLE_10_9, "spec.yaml")
    assert findings == ()
    assert tree == {
        "A null": None,
        "Also a null": None,
        "Not a null": "",
        "Booleans": [True, True, False, False],
        "Integers": [0, 7, 58, -19],
        "Floats": [0.0, -0.0, 0.5, 12000.0, -200000.0],
        # Our one departure: what no gauge can show stays text.
        "Also floats": [".inf", "-.Inf", "+.INF", ".NAN"],
    }


@pytest.mark.parametrize("word", ["no", "on", "off", "yes", "y", "N", "Yes", "tRUE", "nULL", "none"])
def test_words_that_old_yaml_took_for_booleans_are_words(word: str) -> None:
    assert resolve(word) == word


@pytest.mark.parametrize(
    "word",
    ["12:30", "190:20:30", "1_000", "0b101", "2026-03-02", "22 N·m", "5–7 mm", "+ 90°", "1.2.3", "-", "--", ".", "+"],
)
def test_times_dates_and_quantities_are_text(word: str) -> None:
    assert resolve(word) == word


@pytest.mark.parametrize(
    ("word", "value"), [("00123", 123), ("1.10", 1.1), ("+5", 5), ("1e3", 1000.0), ("0x1F", 31), ("5.", 5.0)]
)
def test_a_number_remembers_how_it_was_written(word: str, value: float) -> None:
    assert resolve(word) == value
    assert str(resolve(word)) == word


@pytest.mark.parametrize("word", ["9" * 5000, "1e999", "-1e999", "0x" + "f" * 400])
def test_numbers_beyond_all_measure_stay_text(word: str) -> None:
    assert resolve(word) == word


@given(st.integers() | st.floats(allow_nan=False, allow_infinity=False))
def test_every_number_is_read_back(number: float) -> None:
    written = str(number)
    if len(written) <= 300:
        assert resolve(written) == number


plain_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-999, 999)
    | st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"])),
    lambda inside: (
        st.lists(inside, max_size=3) | st.dictionaries(st.from_regex(r"[a-z]+", fullmatch=True), inside, max_size=3)
    ),
    max_leaves=6,
)


@given(st.text(st.characters(codec="utf-8", exclude_categories=["C"], exclude_characters="\u2028\u2029")))
def test_text_in_quotes_is_read_back(text: str) -> None:
    assert read_tree(f"key: {quoted(text)}", "quoted.yaml") == ({"key": text}, ())


@given(plain_values)
def test_what_a_message_offers_to_write_is_read_as_what_is_meant(value: object) -> None:
    assert read_tree(f"key: {as_yaml(value)}", "offered.yaml") == ({"key": value}, ())
