"""Order of tightening: the laws it keeps, and what the trade does."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.pattern import PatternError, circle, free_points, grid, grid_from_text

COORDINATE = st.integers(-50, 50)
PLACES = st.lists(st.tuples(COORDINATE, COORDINATE), min_size=1, max_size=30, unique=True)


@pytest.mark.parametrize(
    ("bolts", "order"),
    [
        # Common practice, no source: crosswise on four, the star on five (wheels), opposite
        # pairs on six.
        (4, (1, 3, 2, 4)),
        (5, (1, 3, 5, 2, 4)),
        (6, (1, 4, 2, 5, 3, 6)),
        # The star pattern of ASME PCC-1 for flanges, from memory.
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
        (16, (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16)),
    ],
)
def test_circles_are_tightened_as_the_trade_does(bolts: int, order: tuple[int, ...]) -> None:
    assert circle(bolts).order == order


def test_a_head_with_two_rows_of_five_goes_from_the_middle_outwards_across_the_centre() -> None:
    # Common practice, no source. Bolts:   1  2  3  4  5      Turns:  10  6  1  3  7
    #                                      6  7  8  9 10               8  4  2  5  9
    head = grid_from_text("2x5")
    assert [head.turn_of(bolt) for bolt in range(1, 11)] == [10, 6, 1, 3, 7, 8, 4, 2, 5, 9]


def test_a_row_goes_from_the_middle_to_either_side() -> None:
    assert grid(1, 5).order == (3, 4, 2, 5, 1)


def test_a_square_of_four_goes_crosswise() -> None:
    assert grid(2, 2).order == (2, 3, 4, 1)


@given(st.integers(1, 200))
def test_a_circle_starts_at_12_o_clock_and_takes_every_bolt_once(bolts: int) -> None:
    pattern = circle(bolts)
    assert pattern.order[0] == 1
    assert pattern.positions[0] == (0.5, 0.0)
    assert sorted(pattern.order) == list(range(1, bolts + 1))


@given(st.integers(1, 100).map(lambda half: 2 * half))
def test_on_an_even_circle_every_second_bolt_is_exactly_opposite_the_one_before(bolts: int) -> None:
    order = circle(bolts).order
    for first, second in zip(order[::2], order[1::2], strict=True):
        assert (second - first) % bolts == bolts // 2


@given(st.integers(1, 100).map(lambda half: 2 * half + 1))
def test_on_an_odd_circle_every_bolt_is_as_nearly_opposite_the_one_before_as_can_be(bolts: int) -> None:
    order = circle(bolts).order
    for first, second in itertools.pairwise(order):
        assert (second - first) % bolts == (bolts - 1) // 2


@given(st.integers(5, 200))
def test_on_a_circle_of_five_or_more_no_bolt_is_followed_by_its_neighbour(bolts: int) -> None:
    order = circle(bolts).order
    for first, second in itertools.pairwise(order):
        assert (second - first) % bolts not in {1, bolts - 1}


@given(st.integers(2, 50).map(lambda half: 2 * half))
def test_half_way_round_an_even_circle_no_two_tight_bolts_leave_a_wide_gap(bolts: int) -> None:
    # Pairs start where there is most room, so with half of the bolts tight no gap of loose ones
    # is longer than three: the joint comes down level.
    tight = sorted(circle(bolts).order[: bolts // 2])
    gaps = [(after - before) % bolts or bolts for before, after in zip(tight, tight[1:] + tight[:1], strict=True)]
    if bolts >= 8:
        assert max(gaps) <= 4


@given(st.integers(1, 8), st.integers(1, 12))
def test_a_grid_takes_every_bolt_once_and_never_starts_at_a_corner(rows: int, columns: int) -> None:
    pattern = grid(rows, columns)
    assert sorted(pattern.order) == list(range(1, rows * columns + 1))
    distances = [math.dist(pattern.positions[bolt - 1], (0.5, 0.5)) for bolt in pattern.order]
    assert distances[0] == pytest.approx(min(distances))


@given(PLACES)
def test_free_points_are_taken_once_each_and_drawn_in_the_unit_square(places: list[tuple[int, int]]) -> None:
    pattern = free_points(places)
    assert sorted(pattern.order) == list(range(1, len(places) + 1))
    assert all(-1e-9 <= value <= 1 + 1e-9 for position in pattern.positions for value in position)


@given(PLACES, st.floats(0.01, 1000), st.integers(-1000, 1000))
def test_the_order_does_not_depend_on_the_unit_or_the_origin(
    places: list[tuple[int, int]], scale: float, shift: int
) -> None:
    moved = [(x * scale + shift, y * scale - shift) for x, y in places]
    assert free_points(moved).order == free_points(places).order


def test_points_on_a_circle_go_as_the_circle_does() -> None:
    assert free_points(circle(8).positions).order == circle(8).order
    assert free_points(circle(12).positions).order == circle(12).order


def test_an_oblong_cover_with_bolts_round_its_rim_goes_crosswise() -> None:
    #  1  2  3
    #  8     4
    #  7  6  5
    cover = free_points([(0, 0), (10, 0), (20, 0), (20, 8), (20, 16), (10, 16), (0, 16), (0, 8)])
    assert cover.order == (2, 6, 4, 8, 3, 7, 5, 1)


def test_bolts_are_loosened_in_the_reverse_order() -> None:
    assert circle(4).loosening_order == (4, 2, 3, 1)


def test_an_order_of_the_maker_goes_before_the_computed_one() -> None:
    assert circle(4).with_order([2, 4, 1, 3]).order == (2, 4, 1, 3)


@pytest.mark.parametrize(
    ("numbers", "message"),
    [
        ([1, 2, 3], "the order leaves out bolt 4"),
        ([1, 2, 3, 3], "the order names bolt 3 more than once"),
        ([0, 1, 2, 3], "the order names bolt 0, and the bolts are numbered 1 to 4"),
    ],
)
def test_an_order_must_take_every_bolt_once(numbers: list[int], message: str) -> None:
    with pytest.raises(PatternError) as refusal:
        circle(4).with_order(numbers)
    assert str(refusal.value) == message


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("2 by 5", '"2 by 5" is no grid: write rows by columns, such as 2x5'),
        ("0x5", "a grid of 0 by 5 has no bolts"),
        ("100x100", "a pattern has 1 to 400 bolts, not 10000"),
    ],
)
def test_what_is_no_grid_is_refused(text: str, message: str) -> None:
    with pytest.raises(PatternError) as refusal:
        grid_from_text(text)
    assert str(refusal.value) == message


def test_bolts_in_the_same_place_are_refused() -> None:
    with pytest.raises(PatternError, match="bolts 1 and 3 are in the same place"):
        free_points([(0, 0), (1, 1), (0, 0)])
    with pytest.raises(PatternError, match="not a number"):
        free_points([(0, 0), (math.nan, 1)])
