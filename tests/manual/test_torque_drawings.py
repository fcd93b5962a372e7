"""The order of tightening and the band of a torque: what is drawn, and the same in words."""

from pathlib import Path

import pytest

from procgen.library.catalogue import Units
from procgen.library.items import Fastener
from procgen.library.load import load
from procgen.manual.drawings.tightening_order import order_drawing
from procgen.manual.drawings.torque_band import band_drawing
from procgen.manual.measures import Measures
from tests.manual.built import built
from tests.written import write

MEASURES = Measures(Units())


def fastener(tmp_path: Path, facts: str) -> Fastener:
    library = load(write(tmp_path, f"machine: m\nfasteners:\n  bolts: {{{facts}}}\n")).library
    item = library.machines["m"].items["bolts"]
    assert isinstance(item, Fastener)
    return item


def test_bolts_are_drawn_where_they_sit_with_the_number_of_their_turn(tmp_path: Path) -> None:
    drawing = order_drawing(fastener(tmp_path, "count: 4, pattern: {circle: 4}"))
    assert drawing
    assert [(hole.x, hole.y, hole.turn) for hole in drawing.holes] == [
        ("104", "20", 1),
        ("188", "104", 3),
        ("104", "188", 2),
        ("20", "104", 4),
    ]
    assert drawing.trail == "104,20 104,188 188,104 20,104"
    assert (drawing.title, drawing.words) == ("Order of tightening", "Counted clockwise from the top: 1, 3, 2, 4.")


def test_loosening_goes_the_other_way_round(tmp_path: Path) -> None:
    drawing = order_drawing(fastener(tmp_path, "count: 4, pattern: {circle: 4}"), loosening=True)
    assert drawing
    assert [hole.turn for hole in drawing.holes] == [4, 2, 3, 1]
    assert (drawing.title, drawing.words) == ("Order of loosening", "Counted clockwise from the top: 4, 2, 3, 1.")


def test_numbers_stay_apart_however_many_bolts_there_are(tmp_path: Path) -> None:
    for pattern in ("{circle: 40}", "{grid: 4x12}", "{row: 30}", "{points: [[0, 0], [1, 0], [100, 0], [0, 80]]}"):
        drawing = order_drawing(fastener(tmp_path, f"pattern: {pattern}"))
        assert drawing
        places = [(float(hole.x), float(hole.y)) for hole in drawing.holes]
        for number, (x, y) in enumerate(places):
            for u, v in places[number + 1 :]:
                assert ((x - u) ** 2 + (y - v) ** 2) ** 0.5 > 2 * float(drawing.radius) + 4


def test_the_order_of_the_author_is_told_from_the_programs_own(tmp_path: Path) -> None:
    drawing = order_drawing(fastener(tmp_path, "count: 3, pattern: {row: 3, order: [3, 2, 1]}"))
    assert drawing
    assert drawing.is_given
    assert [hole.turn for hole in drawing.holes] == [3, 2, 1]


def test_a_pattern_that_cannot_be_followed_is_not_drawn(tmp_path: Path) -> None:
    assert order_drawing(fastener(tmp_path, "count: 3, pattern: {row: 3, order: [3, 2, 2]}")) is None
    assert order_drawing(fastener(tmp_path, "count: 6")) is None


M8 = 'thread: M8x1.25, class: "8.8", threads: dry, '


def test_the_band_and_the_figure_are_drawn_in_their_order_with_both_units(tmp_path: Path) -> None:
    drawing = band_drawing(fastener(tmp_path, f"{M8}torque: 22 N·m"), MEASURES)
    assert drawing
    low, figure = float(drawing.low.x), float(drawing.figure.x)
    bottom, top = (float(end.x) for end in drawing.ends)
    assert 0 < low < figure < bottom < top < float(drawing.width)
    texts = [str(mark.text) for mark in (drawing.low, drawing.figure, *drawing.ends)]
    assert texts == ["6.8 N·m (60 lbf·in)", "22 N·m (16 lbf·ft)", "27 N·m (20 lbf·ft)", "38 N·m (28 lbf·ft)"]


@pytest.mark.parametrize(
    ("torque", "sits"),
    [
        ("22 N·m", "22 N·m (16 lbf·ft) lies on the safe side of the band, at 81 % of its bottom."),
        ("33 N·m", "33 N·m (24 lbf·ft) lies inside the band: it fits while the threads are rough."),
        ("60 N·m", "60 N·m (44 lbf·ft) lies above the band."),
        ("5 N·m", "5 N·m (44 lbf·in) lies far below the band, at 18 % of its bottom."),
    ],
)
def test_the_words_say_where_the_figure_sits(torque: str, sits: str, tmp_path: Path) -> None:
    drawing = band_drawing(fastener(tmp_path, f"{M8}torque: {torque}"), MEASURES)
    assert drawing
    assert drawing.words.startswith(sits)


def test_what_is_not_judged_is_not_drawn(tmp_path: Path) -> None:
    for facts in (
        "torque: 22 N·m",
        f"{M8}torque: 15 N·m + 90°",
        "torque: {by-hand: Until it is snug}",
        f"{M8}count: 1",
    ):
        assert band_drawing(fastener(tmp_path, facts), MEASURES) is None


def test_a_step_that_loosens_what_asks_for_it_shows_the_order_in_reverse() -> None:
    site = built(
        "procedure: p\ncomponents:\n  lid: {held-by: [bolts], loosen-in-reverse: true}\n"
        f"fasteners:\n  bolts: {{{M8}count: 4, torque: 22 N·m, pattern: {{circle: 4}}}}\n"
        "steps:\n  - {loosen: bolts, remove: lid}\n  - fit: lid\n  - tighten: bolts\n"
    )
    page = site["procedure/p.html"]
    assert page.count("Order of loosening. Counted clockwise from the top: 4, 2, 3, 1.") == 1
    assert "Order of tightening. Counted clockwise from the top: 1, 3, 2, 4." in page
