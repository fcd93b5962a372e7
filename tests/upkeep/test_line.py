"""A line through readings agrees with certified and published figures, and its band with the laws that define it."""

import csv
import random
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.upkeep.line import Line, fit
from procgen.upkeep.student import probability_within, quantile_within

REFERENCE = Path(__file__).parent.parent / "reference"


def points(name: str) -> list[tuple[Fraction, Fraction]]:
    rows = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(row for row in rows if not row.startswith("#"))
    return [(Fraction(row["x"]), Fraction(row["y"])) for row in table]


def fitted(name: str) -> Line:
    line = fit(points(name))
    assert line is not None
    return line


def worked_examples() -> list[dict[str, str]]:
    rows = (REFERENCE / "worked_examples.csv").read_text(encoding="utf-8").splitlines()
    return [
        row for row in csv.DictReader(row for row in rows if not row.startswith("#")) if row["topic"] == "least squares"
    ]


STATISTIC = {
    "slope": lambda line: line.slope,
    "intercept": lambda line: line.intercept,
    "standard error of slope": lambda line: line.slope_error,
    "standard error of intercept": lambda line: line.intercept_error,
    "R squared": lambda line: line.r_squared,
    "residual standard deviation": lambda line: line.residual_sd,
}


def test_there_are_eight_worked_examples_of_least_squares() -> None:
    assert [row["id"] for row in worked_examples()] == [f"R{number}" for number in range(1, 9)]


@pytest.mark.parametrize("row", worked_examples(), ids=lambda row: str(row["id"]))
def test_the_fit_agrees_with_the_certified_value(row: dict[str, str]) -> None:
    """NIST StRD Norris, certified (R1 to R6); Anscombe 1973, set I (R7, R8): the source of each is in its row."""
    line = fitted(row["inputs"])
    assert float(STATISTIC[row["rule"]](line)) == pytest.approx(
        float(row["expected"]), rel=0, abs=float(row["tolerance"])
    )


# Two-sided quantiles of Student's t as every printed table has them, for example table 1.3.6.7.2 of the NIST/SEMATECH
# e-Handbook of Statistical Methods. From memory.
TABLE = [
    (0.90, 1, "6.314"),
    (0.90, 2, "2.920"),
    (0.90, 3, "2.353"),
    (0.90, 4, "2.132"),
    (0.90, 5, "2.015"),
    (0.90, 10, "1.812"),
    (0.90, 30, "1.697"),
    (0.90, 100, "1.660"),
    (0.95, 1, "12.706"),
    (0.95, 2, "4.303"),
    (0.95, 3, "3.182"),
    (0.95, 10, "2.228"),
    (0.95, 48, "2.011"),
    (0.99, 1, "63.657"),
    (0.99, 2, "9.925"),
    (0.99, 30, "2.750"),
]


@pytest.mark.parametrize(("probability", "freedom", "printed"), TABLE)
def test_students_t_agrees_with_the_printed_tables(probability: float, freedom: int, printed: str) -> None:
    assert f"{quantile_within(probability, freedom):.3f}" == printed


@given(st.floats(0.01, 0.999), st.integers(1, 200))
def test_a_quantile_has_its_probability(probability: float, freedom: int) -> None:
    assert probability_within(quantile_within(probability, freedom), freedom) == pytest.approx(probability, abs=1e-12)


@pytest.mark.parametrize(
    ("speed", "expected", "low", "high"),
    [(12, 29.61, -1.75, 60.97), (19, 57.14, 25.76, 88.51), (24, 76.80, 44.75, 108.85)],
)
def test_the_band_for_a_new_reading_agrees_with_a_published_one(
    speed: int, expected: float, low: float, high: float
) -> None:
    """Ezekiel's 50 cars at 95 %: the source is in the head of ezekiel_cars.csv."""
    line = fitted("ezekiel_cars.csv")
    half = line.half_band(Fraction(speed), confidence=0.95)
    assert float(line.at(Fraction(speed))) == pytest.approx(expected, abs=0.005)
    assert float(line.at(Fraction(speed))) - half == pytest.approx(low, abs=0.01)
    assert float(line.at(Fraction(speed))) + half == pytest.approx(high, abs=0.01)


def test_nine_of_ten_new_readings_fall_into_the_band() -> None:
    """Simulated: 3000 lines through 6 readings each, and a seventh. Three standard deviations are 1.6 %."""
    chance = random.Random(20261101)  # noqa: S311 - a simulation
    inside = 0
    for _ in range(3000):
        xs = [Fraction(x) for x in range(6)]
        line = fit([(x, Fraction(4 - 0.3 * float(x) + chance.gauss(0, 0.2))) for x in xs])
        assert line is not None
        new = 4 - 0.3 * 9 + chance.gauss(0, 0.2)
        inside += abs(new - float(line.at(Fraction(9)))) <= line.half_band(Fraction(9))
    assert inside / 3000 == pytest.approx(0.90, abs=0.0165)


def test_two_readings_make_no_line_and_neither_do_readings_above_one_place() -> None:
    assert fit([(Fraction(1), Fraction(2)), (Fraction(2), Fraction(3))]) is None
    assert fit([(Fraction(1), Fraction(y)) for y in range(5)]) is None


def test_readings_without_scatter_cross_their_limit_at_one_place() -> None:
    line = fit([(Fraction(x), 10 - Fraction(x, 2)) for x in (0, 2, 4)])
    assert line is not None
    crossing = line.crossing(Fraction(3))
    assert crossing is not None
    assert {crossing.earliest, crossing.x, crossing.latest} == {Fraction(14)}


def test_readings_that_only_scatter_come_to_no_limit() -> None:
    line = fit([(Fraction(x), Fraction(y)) for x, y in enumerate((5, 6, 4, 6, 5, 4, 6))])
    assert line is not None
    assert line.crossing(Fraction(9)) is None


_NUMBER = st.fractions(min_value=-50, max_value=50, max_denominator=100)


@given(st.lists(st.tuples(_NUMBER, _NUMBER), min_size=3, max_size=12), _NUMBER)
def test_the_ends_of_a_crossing_lie_where_the_edge_of_the_band_meets_the_limit(
    scattered: list[tuple[Fraction, Fraction]], limit: Fraction
) -> None:
    line = fit(scattered)
    crossing = line.crossing(limit) if line else None
    if line is None or crossing is None:
        return
    assert line.at(crossing.x) == limit
    slack = Fraction(1, 10**6) * (1 + abs(crossing.x))
    assert crossing.earliest - slack <= crossing.x <= crossing.latest + slack
    for end in (crossing.earliest, crossing.latest):
        scale = 1 + abs(float(limit)) + abs(float(line.slope * (end - line.mean_x)))
        assert abs(float(limit - line.at(end))) == pytest.approx(line.half_band(end), abs=1e-6 * scale)


@given(st.lists(st.tuples(_NUMBER, _NUMBER), min_size=3, max_size=12), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(
    scattered: list[tuple[Fraction, Fraction]], chance: random.Random
) -> None:
    shuffled = list(scattered)
    chance.shuffle(shuffled)
    assert fit(shuffled) == fit(scattered)
