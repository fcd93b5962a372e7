"""How a converted figure is printed: the rounding law at the head of typeset.py, by example and as a law."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from procgen.measure.quantity import Quantity, exactly, parse_quantity
from procgen.measure.typeset import render, show
from procgen.measure.unit_table import UNITS, Dimension, System, unit


@pytest.mark.parametrize(
    ("written", "other", "printed"),
    [
        ("22 N·m", "lbf·ft", "16 lbf·ft"),
        ("22.0 N·m", "lbf·ft", "16.2 lbf·ft"),
        ("10 N·m", "lbf·ft", "7.4 lbf·ft"),
        ("100 N·m", "lbf·ft", "74 lbf·ft"),
        ("195 lbf·in", "N·m", "22.0 N·m"),
        ("2.2 kgf·m", "N·m", "22 N·m"),
        ("0.20 mm", "in", "0.008 in"),
        ("0.008 in", "mm", "0.2 mm"),
        ("0.10 mm", "in", "0.004 in"),
        ("17 mm", "in", "0.67 in"),
        ("3 mm", "in", "0.12 in"),
        ("1 1/2 in", "mm", "38 mm"),
        ("3/8 in", "mm", "9.5 mm"),
        ("7.5 L", "US gal", "2.0 US gal"),
        ("7.5 L", "US qt", "7.9 US qt"),
        ("1.1 bar", "psi", "16 psi"),
        ("10 000 km", "mi", "6\u202f200 mi"),
        ("80 °C", "°F", "176 °F"),
        ("0 °C", "°F", "32 °F"),
        # ranges, tolerances and limits keep both ends
        ("5–7 mm", "in", "0.20–0.28 in"),
        ("20–24 N·m", "lbf·ft", "15–18 lbf·ft"),
        ("100–102 N·m", "lbf·ft", "73.8–75.2 lbf·ft"),
        ("0.05–0.08 mm", "in", "0.0020–0.0031 in"),
        ("0.15–0.25 mm", "in", "0.006–0.010 in"),
        ("22 ± 2 N·m", "lbf·ft", "16.2 ± 1.5 lbf·ft"),
        ("80 ± 5 °C", "°F", "176 ± 9 °F"),
        ("-10 to 5 °C", "°F", "14–41 °F"),
        (">= 3.5 mm", "in", "≥ 0.14 in"),
        ("<= 0.05 mm", "in", "≤ 0.002 in"),
    ],
)
def test_a_conversion_is_printed_to_the_precision_that_the_author_wrote(written: str, other: str, printed: str) -> None:
    assert show(parse_quantity(written).to(other)) == printed


@pytest.mark.parametrize(
    ("written", "metric_first", "imperial_first", "metric_only"),
    [
        ("22 N·m", ("22 N·m", "16 lbf·ft"), ("16 lbf·ft", "22 N·m"), ("22 N·m",)),
        ("16 ft-lb", ("22 N·m", "16 lbf·ft"), ("16 lbf·ft", "22 N·m"), ("22 N·m",)),
        ("2.2 kgf·m", ("2.2 kgf·m", "16 lbf·ft"), ("16 lbf·ft", "2.2 kgf·m"), ("2.2 kgf·m",)),
        ("5 N·m", ("5 N·m", "44 lbf·in"), ("44 lbf·in", "5 N·m"), ("5 N·m",)),
        ("7.5 L", ("7.5 L", "7.9 US qt"), ("7.9 US qt", "7.5 L"), ("7.5 L",)),
        ("45 L", ("45 L", "12 US gal"), ("12 US gal", "45 L"), ("45 L",)),
        ("0.25 L", ("0.25 L", "8.5 US fl oz"), ("8.5 US fl oz", "0.25 L"), ("0.25 L",)),
        ("90°", ("90°",), ("90°",), ("90°",)),
        ("2 h 30 min", ("2 h 30 min",), ("2 h 30 min",), ("2 h 30 min",)),
        ("4 %", ("4 %",), ("4 %",), ("4 %",)),
    ],
)
def test_the_manual_chooses_which_unit_comes_first(
    written: str, metric_first: tuple[str, ...], imperial_first: tuple[str, ...], metric_only: tuple[str, ...]
) -> None:
    quantity = parse_quantity(written)

    assert render(quantity) == metric_first
    assert render(quantity, System.IMPERIAL, System.METRIC) == imperial_first
    assert render(quantity, System.METRIC, System.NONE) == metric_only
    assert render(quantity, System.METRIC, System.METRIC) == metric_only


def test_a_figure_that_the_program_worked_out_is_printed_to_the_step_asked_for() -> None:
    assert show(exactly(17.6291, "N·m", Fraction(1, 2))) == "17.6 N·m"
    assert show(exactly(165, "min")) == "165 min"


CONVERTED = [row for row in UNITS if row.system is not System.NONE]
NUMBERS = st.builds(
    lambda digits, decimals: f"{digits / 10**decimals:.{decimals}f}", st.integers(1, 99999), st.integers(0, 4)
).filter(lambda text: float(text) > 0)


@st.composite
def quantities(draw: st.DrawFn) -> Quantity:
    symbol = draw(st.sampled_from(CONVERTED)).symbol
    first, second = draw(NUMBERS), draw(NUMBERS)
    kind = draw(st.sampled_from(["single", "range", "tolerance", "least", "most"]))
    if kind == "range":
        low, high = sorted((first, second), key=float)
        assume(float(low) < float(high))
        return parse_quantity(f"{low}–{high} {symbol}")
    return parse_quantity(
        {
            "single": f"{first} {symbol}",
            "tolerance": f"{first} ± {second} {symbol}",
            "least": f">= {first} {symbol}",
            "most": f"<= {first} {symbol}",
        }[kind]
    )


@given(quantities())
def test_what_is_printed_in_the_authors_unit_is_read_back_the_same(quantity: Quantity) -> None:
    assert parse_quantity(show(quantity)) == quantity


@given(quantities())
def test_print_is_never_further_off_than_one_of_the_authors_own_steps(quantity: Quantity) -> None:
    exact = quantity.to(quantity.unit.other)
    printed = parse_quantity(show(exact))

    # The ends of a tolerance are off by its two figures together.
    steps = 2 if quantity.is_toleranced else 1
    for end, as_printed in ((exact.low, printed.low), (exact.high, printed.high)):
        if end is not None and as_printed is not None:
            assert abs(end - as_printed) <= steps * exact.resolution
        else:
            assert end is as_printed is None


@given(quantities())
def test_print_is_never_further_off_than_two_per_cent_nor_an_eighth_of_the_width(quantity: Quantity) -> None:
    exact = quantity.to(quantity.unit.other)
    printed = parse_quantity(show(exact))

    figures = [(exact.nominal, printed.nominal)]
    if exact.nominal is None:
        figures = [(exact.low, printed.low), (exact.high, printed.high)]
    for figure, as_printed in figures:
        if figure is not None and as_printed is not None and exact.dimension is not Dimension.TEMPERATURE:
            assert abs(figure - as_printed) <= abs(figure) / 50
    if exact.width and exact.low is not None and printed.low is not None:
        assert abs(exact.low - printed.low) <= exact.width / 8


@given(NUMBERS, st.sampled_from([row for row in CONVERTED if row.dimension is not Dimension.TEMPERATURE]))
def test_no_digit_is_printed_that_could_be_left_out(number: str, row: object) -> None:
    """One decimal fewer would be too coarse by the law: more than five steps, one step off, or 2 % off."""
    symbol = getattr(row, "symbol", "")
    exact = parse_quantity(f"{number} {symbol}").to(unit(symbol).other)
    printed = parse_quantity(show(exact))
    assume(printed.decimals > 0)

    coarser = Fraction(10) ** (1 - printed.decimals)
    shorter = Fraction(round(exact.middle / coarser)) * coarser
    off = abs(shorter - exact.middle)

    assert coarser > 5 * exact.resolution or off > exact.resolution or off > exact.middle / 50


@given(quantities())
def test_there_and_back_by_print_stays_within_the_authors_precision(quantity: Quantity) -> None:
    """A reader who converts our printed figure back is off by no more than a step: 16 lbf·ft is read as 21.7 N·m."""
    printed = parse_quantity(show(quantity.to(quantity.unit.other)))
    back = printed.to(quantity.unit)

    assert abs(back.middle - quantity.middle) <= quantity.resolution
