"""One typed reading: what is read, and whether it lies inside its limits."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.library.catalogue import Units
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.sheet.reading import ReadingError, read_typed, scale_of

BOTH = Units(first="metric", second="imperial")


@pytest.mark.parametrize(
    ("typed", "good"),
    [
        ("5", True),
        ("7", True),
        ("7.001", False),
        ("4,9", False),
        ("6,1", True),
        (" 6.1 mm ", True),
        ("6.1mm", True),
        ("0.25 in", True),
        ("0,28 in", False),
        ("-6", False),
        ("−6", False),
    ],
)
def test_a_figure_is_judged_in_the_unit_that_is_printed_or_in_the_other(typed: str, good: bool) -> None:
    # 5–7 mm is 0.19685–0.27559 in.
    assert read_typed(typed, scale_of(parse_quantity("5–7 mm"), BOTH)).is_good is good


@pytest.mark.parametrize("typed", ["", "six", "6 cm", "6..1", "6.1 MM", "6-7", "≈6", "6.1 mm!"])
def test_what_is_no_figure_is_refused_and_the_units_are_named(typed: str) -> None:
    with pytest.raises(ReadingError, match="type it in mm, or in in with the unit behind it"):
        read_typed(typed, scale_of(parse_quantity("5–7 mm"), BOTH))


@pytest.mark.parametrize(
    ("typed", "numeral", "good"),
    [("1/4 in", "1/4", True), ("03/16in", "3/16", False), ("1 3/8 in", "1 3/8", False), ("−1/4 in", "-1/4", False)],
)
def test_inches_are_read_in_fractions_as_they_stand_on_a_rule(typed: str, numeral: str, *, good: bool) -> None:
    # 5–7 mm is 0.19685–0.27559 in; 3/16 in is 0.1875 in.
    reading = read_typed(typed, scale_of(parse_quantity("5–7 mm"), BOTH))
    assert (reading.numeral, reading.is_good) == (numeral, good)
    assert reading.quantity.middle == reading.value


@pytest.mark.parametrize("typed", ["1/4", "1 1/2", "1/4 mm"])
def test_a_fraction_of_anything_but_an_inch_is_refused(typed: str) -> None:
    with pytest.raises(ReadingError, match="only inches are read in fractions"):
        read_typed(typed, scale_of(parse_quantity("5–7 mm"), BOTH))


@pytest.mark.parametrize("typed", ["7/10 in", "0/8 in", "1 9/8 in", "1 8/8 in"])
def test_what_stands_on_no_rule_is_no_fraction(typed: str) -> None:
    with pytest.raises(ReadingError, match="no fraction of an inch rule"):
        read_typed(typed, scale_of(parse_quantity("5–7 mm"), BOTH))


def test_a_comma_that_can_be_read_in_two_ways_is_refused() -> None:
    scale = scale_of(parse_quantity("1000–2000 rpm"), BOTH)
    with pytest.raises(ReadingError, match=r"can be read as 1500 or as 1\.500; type a point"):
        read_typed("1,500", scale)
    assert read_typed("1500", scale).is_good


def test_a_limit_that_is_open_at_one_end_has_no_other_end() -> None:
    scale = scale_of(parse_quantity(">= 3.5 mm"), Units(first="metric", second="none"))
    assert [unit.symbol for unit in scale.units] == ["mm"]
    assert read_typed("1000000", scale).is_good
    assert not read_typed("3,49", scale).is_good


LIMITS = st.tuples(st.integers(-500, 500), st.integers(1, 500), st.integers(0, 3)).map(
    lambda drawn: parse_quantity(
        f"{drawn[0] / 10 ** drawn[2]:.{drawn[2]}f} to {(drawn[0] + drawn[1]) / 10 ** drawn[2]:.{drawn[2]}f} mm"
    )
)


@given(LIMITS, st.integers(-9999, 9999), st.integers(0, 4))
def test_a_reading_is_good_exactly_where_the_limits_contain_it(limits: Quantity, digits: int, decimals: int) -> None:
    value = Fraction(digits, 10**decimals)
    typed = f"{digits / 10**decimals:.{decimals}f}"
    reading = read_typed(typed, scale_of(limits, BOTH))
    assert reading.value == value
    assert reading.is_good is limits.contains(value)
    assert reading.is_good is limits.contains(reading.quantity)
