"""The torque notation: each form, the stages it stands for, how they are worded, and what is refused."""

import pytest

from procgen.measure.quantity import parse_quantity
from procgen.measure.torque import (
    Align,
    AlignBy,
    BackOff,
    ByHand,
    Expect,
    Order,
    Slacken,
    Stage,
    To,
    Torque,
    TorqueError,
    Turn,
    parse_torque,
)
from procgen.measure.torque_text import render_torque, torque_line
from procgen.measure.unit_table import System


def to(text: str, **more: object) -> To:
    return To(quantity=parse_quantity(text), **more)  # type: ignore[arg-type]


def turn(text: str, **more: object) -> Turn:
    return Turn(angle=parse_quantity(text), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("written", "stages"),
    [
        ("22 N·m", (to("22 N·m"),)),
        ("20–24 N·m", (to("20–24 N·m"),)),
        ("22 +/- 2 N·m", (to("22 ± 2 N·m"),)),
        ("16 ft-lb", (to("16 lbf·ft"),)),
        ("30 N·m + 90°", (to("30 N·m"), turn("90°"))),
        ("30 N·m + 90° + 90°", (to("30 N·m"), turn("90°"), turn("90°"))),
        ("30 Nm+90 deg", (to("30 N·m"), turn("90°"))),
        ("30 ± 3 N·m + 80–90°", (to("30 ± 3 N·m"), turn("80–90°"))),
        ("30 +/- 3 N·m + 90 +/- 5°", (to("30 ± 3 N·m"), turn("90 ± 5°"))),
        (["10 N·m", "22 N·m"], (to("10 N·m"), to("22 N·m"))),
        (["75 N·m", "75 N·m"], (to("75 N·m"), to("75 N·m"))),
        (["40 N·m", "+ 90°", "+ 90°"], (to("40 N·m"), turn("90°"), turn("90°"))),
        ([{"by-hand": "Finger tight"}, "+ 1/4 turn"], (ByHand(text="Finger tight"), turn("1/4 turn"))),
        ({"to": "75 N·m", "repeat": 2}, (to("75 N·m", repeat=2),)),
        ({"to": "75 N·m", "only": 3}, (to("75 N·m", only=(3,)),)),
        (
            [
                {"to": "68 N·m", "while": "turning the hub"},
                {"back-off": "90°"},
                {"align": "split pin", "by": "tightening"},
            ],
            (
                to("68 N·m", while_doing="turning the hub"),
                BackOff(angle=parse_quantity("90°")),
                Align(what="split pin", by=AlignBy.TIGHTENING),
            ),
        ),
        (
            [
                "29 N·m",
                "69 N·m",
                {"back-off": "180°", "order": "reverse"},
                {"slacken": "fully", "order": "reverse"},
                "42 N·m",
                "+ 80–90°",
                {"turn": "40–45°", "only": [1, 4]},
                {"expect": ">= 122 N·m"},
            ],
            (
                to("29 N·m"),
                to("69 N·m"),
                BackOff(angle=parse_quantity("180°"), order=Order.REVERSE),
                Slacken(order=Order.REVERSE),
                to("42 N·m"),
                turn("80–90°"),
                turn("40–45°", only=(1, 4)),
                Expect(quantity=parse_quantity(">= 122 N·m")),
            ),
        ),
        (
            ["20 N·m", "+ 90°", {"expect": "<= 180°"}],
            (to("20 N·m"), turn("90°"), Expect(quantity=parse_quantity("<= 180°"))),
        ),
        (
            {"by-hand": "Finger tight, then a quarter turn"},
            (ByHand(text="Finger tight, then a quarter turn"),),
        ),
    ],
)
def test_a_torque_is_read_in_all_its_forms(written: object, stages: tuple[Stage, ...]) -> None:
    assert parse_torque(written).stages == stages


class MarkedMap(dict[str, object]):
    """Stands for a map that knows its place in a file."""


class MarkedList(list[object]):
    """Stands for a list that knows its place in a file."""


def test_maps_and_lists_may_be_of_a_kind_that_knows_its_place() -> None:
    written = MarkedList(["22 N·m", MarkedMap({"back-off": "90°"})])

    assert parse_torque(written) == parse_torque(["22 N·m", {"back-off": "90°"}])


@pytest.mark.parametrize(
    ("written", "final_nm", "has_angle", "is_by_hand"),
    [
        ("22 N·m", (22, 22), False, False),
        ("20–24 N·m", (20, 24), False, False),
        (["10 N·m", "22 ± 2 N·m"], (20, 24), False, False),
        ("30 N·m + 90°", (30, 30), True, False),
        (["69 N·m", {"slacken": "fully"}, "42 N·m", "+ 90°"], (42, 42), True, False),
        ("10 kgf·m", (98.0665, 98.0665), False, False),
        ([{"by-hand": "Finger tight"}, "+ 90°"], None, True, False),
        ({"by-hand": "Finger tight"}, None, False, True),
    ],
)
def test_what_a_check_asks_of_a_torque(
    written: object, final_nm: tuple[float, float] | None, has_angle: bool, is_by_hand: bool
) -> None:
    torque = parse_torque(written)

    assert torque.final_nm == final_nm
    assert torque.has_angle is has_angle
    assert torque.is_by_hand is is_by_hand


def test_the_text_of_a_torque_is_what_was_written_on_one_line() -> None:
    assert parse_torque(["22 N·m", {"turn": "40–45°", "only": [1, 4]}]).text == "[22 N·m, {turn: 40–45°, only: [1, 4]}]"


def lines(torque: Torque, first: System = System.METRIC, second: System = System.IMPERIAL) -> list[str]:
    return [str(stage) for stage in render_torque(torque, first, second)]


def test_stages_are_worded_as_the_trade_says_them_in_both_units() -> None:
    torque = parse_torque(
        [
            "29 N·m",
            {"to": "69 N·m", "while": "turning the hub", "repeat": 2},
            {"back-off": "180°", "order": "reverse"},
            {"slacken": "fully", "order": "reverse"},
            {"to": "42 N·m", "only": [1, 2, 3]},
            "+ 80–90°",
            {"turn": "40–45°", "only": [4], "order": "reverse"},
            {"align": "split pin", "by": "tightening"},
            {"expect": ">= 122 N·m"},
            {"expect": "<= 180°"},
            {"by-hand": "Fit the cap"},
        ]
    )

    assert lines(torque) == [
        "29 N·m (21 lbf·ft)",
        "then to 69 N·m (51 lbf·ft) while turning the hub, twice",
        "back off 180°, in reverse order",
        "slacken fully, in reverse order",
        "then to 42 N·m (31 lbf·ft), bolts 1, 2 and 3 only",
        "then turn a further 80–90°",
        "then turn a further 40–45°, bolt 4 only, in reverse order",
        "align the hole for the split pin by tightening, never the other way",
        "the wrench must read ≥ 122 N·m (≥ 90 lbf·ft)",
        "the angles must come to ≤ 180° in all",
        "Fit the cap",
    ]


def test_the_manual_may_ask_for_the_other_unit_first_or_for_one_only() -> None:
    torque = parse_torque("30 N·m + 90°")

    assert lines(torque, System.IMPERIAL, System.METRIC) == ["22 lbf·ft (30 N·m)", "then turn a further 90°"]
    assert lines(torque, System.METRIC, System.NONE) == ["30 N·m", "then turn a further 90°"]
    assert torque_line(torque) == "30 N·m (22 lbf·ft), then turn a further 90°"


def test_a_stage_keeps_its_figures_apart_from_its_words() -> None:
    (stage,) = render_torque(parse_torque({"to": "22 N·m", "only": [1, 4]}), noun="nut")

    assert (stage.before, stage.amounts, stage.after) == ("", ("22 N·m", "16 lbf·ft"), ", nuts 1 and 4 only")


NO_START = (
    "nothing says from which load the first stage starts; begin with a torque, "
    'as in "30 N·m + 90°", or with {by-hand: …}.'
)
NO_STOP = (
    '">= 20 N·m" has no figure to stop at; write a torque or a range, '
    'or {expect: ">= 20 N·m"} for a reading to be found.'
)


@pytest.mark.parametrize(
    ("written", "path", "message"),
    [
        (None, (), 'a torque is needed here, as in "22 N·m" or [10 N·m, 22 N·m].'),
        (22, (), '"22" has no unit; a torque is needed here: write "22 N·m", "22 lbf·ft" or "22 lbf·in".'),
        ("22 mm", (), '"22 mm" is a length; a torque is needed here, as in "22 N·m".'),
        ("90°", (), '"90°" is an angle; a further angle is written with a plus: "+ 90°".'),
        ("+ 90°", (), NO_START),
        (["+ 90°", "22 N·m"], (0,), NO_START),
        ("30 N·m +", (), 'after "+" comes the further angle, as in "+ 90°".'),
        ("30 N·m + 90", (), '"90" has no unit; an angle is needed here: write "90°", "90 turns" or "90 flats".'),
        (
            "30 N·m + 10 N·m",
            (),
            'after "+" comes a further angle, and "10 N·m" is a torque; write passes as a list: [30 N·m, 10 N·m].',
        ),
        ("0 N·m", (), '"0 N·m" is not more than nothing; to turn back, write {back-off: 90°}.'),
        (
            ">= 20 N·m",
            (),
            NO_STOP,
        ),
        ([], (), 'the list has no stages; write at least one, as in "22 N·m".'),
        (["22 N·m", ["90°"]], (1,), 'a stage is text, as in "22 N·m" or "+ 90°", or a map, as in {back-off: 90°}.'),
        (
            ["22 N·m", "24 Q"],
            (1,),
            '"Q" is not a unit known here; a torque is written in N·m, lbf·ft, lbf·in, kgf·m or kgf·cm.',
        ),
        (
            ["22 N·m", {"slacken": "90°"}],
            (1, "slacken"),
            '"90°" is not how to slacken; write {slacken: fully}, or {back-off: 90°} for an angle.',
        ),
        ({"to": "22 N·m", "only": [1, 1]}, ("only",), "a number of the tightening order stands here twice."),
        ({"to": "22 N·m", "only": [0]}, ("only",), 'a number from 1 is needed here, not "0".'),
        ({"to": "22 N·m", "only": []}, ("only",), "the list names no fastener; leave it out if all are meant."),
        ({"to": "22 N·m", "order": "backwards"}, ("order",), 'order is tightening or reverse, not "backwards".'),
        (["5 N·m", {"align": "pin", "by": "luck"}], (1, "by"), 'by is tightening or loosening, not "luck".'),
        ({"by-hand": ""}, ("by-hand",), 'words are needed here, as in "Finger tight, then a quarter turn".'),
        (["5 N·m", {"turn": "22 N·m"}], (1, "turn"), '"22 N·m" is a torque; an angle is needed here, as in "90°".'),
        (
            {"order": "reverse"},
            (),
            "the stage does not say what is done; it needs to, turn, back-off, slacken, align, expect or by-hand.",
        ),
        (["22 N·m"] * 51, (), "the list has 51 stages; no joint has more than 50."),
    ],
)
def test_a_torque_that_cannot_be_read_is_told_with_its_place(
    written: object, path: tuple[str | int, ...], message: str
) -> None:
    with pytest.raises(TorqueError) as caught:
        parse_torque(written)

    assert str(caught.value) == message
    assert caught.value.path == path
    assert not caught.value.at_key


@pytest.mark.parametrize(
    ("written", "path", "message"),
    [
        (
            ["22 N·m", {"bak-off": "90°"}],
            (1, "bak-off"),
            '"bak-off" says nothing about a stage; did you mean back-off?',
        ),
        ({"to": "22 N·m", "onyl": [1]}, ("onyl",), '"onyl" says nothing about a stage; did you mean only?'),
        (
            {"to": "22 N·m", "turn": "90°"},
            ("turn",),
            "one stage does one thing, and this one has to and turn; make two stages of it.",
        ),
        (
            {"to": "22 N·m", "by": "tightening"},
            ("by",),
            '"by" does not go with to; beside to may stand while, order, only or repeat.',
        ),
        (
            {"expect": "22 N·m", "only": 1},
            ("only",),
            '"only" does not go with expect; nothing may stand beside expect.',
        ),
    ],
)
def test_a_key_that_does_not_belong_is_pointed_at_itself(
    written: object, path: tuple[str | int, ...], message: str
) -> None:
    with pytest.raises(TorqueError) as caught:
        parse_torque(written)

    assert str(caught.value) == message
    assert caught.value.path == path
    assert caught.value.at_key


def test_deep_and_endless_values_are_refused_in_few_words() -> None:
    deep: object = "22 N·m"
    for _ in range(100_000):
        deep = [deep]

    for hostile in (deep, {"to": "22 N·m", "order": deep}, "22 N·m" + " + 90°" * 100_000, "+ " * 500_000):
        with pytest.raises(TorqueError) as caught:
            parse_torque(hostile)
        assert len(str(caught.value)) < 200
