"""`procgen torque`: answers as text, questions as people type them."""

import csv
from pathlib import Path

import pytest

from procgen.cli import main
from procgen.torque_answer import QuestionError, answer


def asked(question: str, **lengths: str) -> str:
    return answer(question.split(), **lengths)


def test_the_band_of_a_bolt_with_all_that_goes_with_it() -> None:
    assert asked("M8 8.8 oiled 22 N·m") == (
        "M8, class 8.8, oiled on the threads, hex head\n"
        "\n"
        "  90 % of yield at     18–30 N·m = 13.3–22.1 lbf·ft      friction 0.08 to 0.16\n"
        "  it then clamps with  17.6 to 19.6 kN\n"
        "  hardly clamps under  4.6 N·m = 41 lbf·in\n"
        "  spanner              13 mm\n"
        "\n"
        "22 N·m = 16 lbf·ft is inside the band: it fits while the threads are rough, and is too much where they "
        "run smoothly.\n"
        "\n"
        "By VDI 2230; friction: class B, oils; friction classes of VDI 2230 part 1.\n"
        "The figure of the machine's maker goes before this one. New, clean threads.\n"
    )


def test_the_bottom_of_a_dry_band_is_the_published_torque_at_friction_0_14() -> None:
    # Dry threads are reckoned with from μ 0.14; the cells are those of VDI 2230 for fine threads.
    lines = (Path(__file__).parent / "reference" / "vdi2230_fine.csv").read_text(encoding="utf-8").splitlines()
    rows = [row for row in csv.DictReader(line for line in lines if not line.startswith("#")) if row["mu"] == "0.14"]
    for row in rows:
        published = float(row["MA_8.8_Nm"])
        if published > 40:  # below, whole N·m would hide more than the table's own rounding
            bottom = asked(f"{row['thread']} 8.8 dry").partition("yield at")[2].split("–")[0]
            assert float(bottom) == pytest.approx(published, rel=0.012), row["thread"]
    assert len(rows) == 9


def test_a_torque_alone_is_told_in_every_unit() -> None:
    assert asked("22 N·m") == (
        "            22 N·m\n"
        "         16.23 lbf·ft\n"
        "         194.7 lbf·in\n"
        "         2.243 kgf·m\n"
        "         224.3 kgf·cm\n"
    )


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("M8 8.8 dry 60 N·m", "60 N·m = 44 lbf·ft stretches it beyond its yield"),
        ("M8 8.8 dry 5 N·m", "hardly clamps: 18 % of the bottom"),
        ("M8 8.8 dry 22 Nm", "fits: 81 % of what"),
        ("M8 8.8 dry into aluminium 5 mm 25 N·m", "strips the thread, whatever the friction"),
        ("M8 8.8 dry into aluminium 12 mm", "the thread strips at"),
        ("3/8-16 UNC grade 5 dry 31 ft-lb", "42 N·m = 31 lbf·ft fits"),
        ("M5 A2-70 socket greased", "hexagon key          4 mm"),
        ("M8 8.8 locking compound", "locking compound on the threads"),
        ("M8", "any class in common use"),
    ],
)
def test_questions_are_understood_as_people_put_them(question: str, told: str) -> None:
    assert told in asked(question)


def test_a_setting_behind_an_adapter() -> None:
    # T · L / (L + E): 45 · 400 / 450 = 40; at a right angle nothing changes; pointing back 45 · 400 / 350 = 51.4.
    assert asked("45 N·m", wrench="400mm", adapter="50mm") == (
        "Set the wrench to 40.0 N·m = 29.5 lbf·ft, with the adapter in line, to give 45 N·m.\n"
    )
    assert "Set the wrench to 45.0 N·m" in asked("45 N·m", wrench="400", adapter="50", angle="90")
    assert "Set the wrench to 51.4 N·m" in asked("45 N·m", wrench="40 cm", adapter="50 mm", angle="180°")


@pytest.mark.parametrize(
    ("question", "lengths", "told"),
    [
        ("", {}, "say what is tightened, or how much"),
        ("22", {}, "write a torque with its unit, 22 N·m"),
        ("M8x3 8.8", {}, "3 mm is no pitch of M8"),
        ("M8 9.9", {}, "Perhaps 9.8"),
        ("M36 9.8", {}, "class 9.8 is made up to 16 mm only"),
        ("M8 8.8", {"wrench": "400mm", "adapter": "50mm"}, "say how much the fastener gets"),
        ("45 N·m", {"wrench": "400mm"}, "needs both lengths"),
        ("45 N·m", {"wrench": "50", "adapter": "60", "angle": "180"}, "reaches back to the grip"),
        ("45 N·m", {"wrench": "four", "adapter": "60"}, "four"),
    ],
)
def test_what_cannot_be_answered_is_said_in_words(question: str, lengths: dict[str, str], told: str) -> None:
    with pytest.raises(QuestionError, match=r".") as refused:
        asked(question, **lengths)
    assert told in str(refused.value)


def test_the_command_prints_the_answer_and_says_how_it_went(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["torque", "22", "N·m"]) == 0
    assert "16.23 lbf·ft" in capsys.readouterr().out
    assert main(["torque", "M8x3"]) == 2
    assert "is no pitch of M8" in capsys.readouterr().err
