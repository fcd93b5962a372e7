"""Designations as people write them, and stress areas against published tables."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.threads import Series, System, ThreadError, all_threads, parse_thread

Rows = list[dict[str, str]]


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("M8", "M8"),
        ("m8x1", "M8x1"),
        ("M8×1.25", "M8"),
        ("M10 x 1,25", "M10x1.25"),
        ("M8x1.25-6g", "M8"),
        ("M10x1 mm", "M10x1"),
        ("M18x1.5 LH", "M18x1.5 LH"),
        ("3/8-16 UNC", "3/8-16 UNC"),
        ("3/8-24", "3/8-24 UNF"),
        ("3/8 UNF", "3/8-24 UNF"),
        ('1/4"-20', "1/4-20 UNC"),
        ("1/4 in-20", "1/4-20 UNC"),
        (".250-20", "1/4-20 UNC"),
        ("#10-32", "#10-32 UNF"),
        ("No. 10-24 UNC", "#10-24 UNC"),
        ("10-32", "#10-32 UNF"),
        ("1-1/8-12", "1-1/8-12 UNF"),
        ("1 1/8 - 7", "1-1/8-7 UNC"),
        ("1-8", "1-8 UNC"),
        ("1-64", "#1-64 UNC"),
        ("1-14 UNS", "1-14 UNS"),
        ("3/8-16 UNC-2A", "3/8-16 UNC"),
        ("1/2-20 UNF left-hand", "1/2-20 UNF LH"),
    ],
)
def test_a_designation_is_read_the_way_people_write_it(text: str, designation: str) -> None:
    assert parse_thread(text).designation == designation


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "M8x1.5",
            "M8x1.5: 1.5 mm is no pitch of M8, which has M8x1.25 (coarse), M8x1 and M8x0.75.",
        ),
        (
            "M8x30",
            (
                "M8x30: 30 mm is no pitch of M8, which has M8x1.25 (coarse), M8x1 and M8x0.75. "
                "A length is no part of the thread."
            ),
        ),
        ("M13", "M13: there is no metric thread of 13 mm; the nearest are M12 and M14."),
        ("M25", "M25: M25 has no coarse pitch; it is made as M25x2, M25x1.5 and M25x1."),
        (
            "3/8",
            "3/8: how many threads per inch? 3/8 has 3/8-16 UNC, 3/8-24 UNF and 3/8-32 UNEF.",
        ),
        (
            "3/8-24 UNC",
            "3/8-24 UNC: 3/8-24 is UNF, not UNC; 3/8 has 3/8-16 UNC, 3/8-24 UNF and 3/8-32 UNEF.",
        ),
        (
            "3/8-17",
            "3/8-17: 3/8 is not made with 17 threads per inch; it has 3/8-16 UNC, 3/8-24 UNF and 3/8-32 UNEF.",
        ),
        (
            "12x1.5",
            "12x1.5: not a thread designation such as M8, M8x1 or 3/8-16 UNC. Perhaps M12x1.5 or M12x1.25?",
        ),
        ("8", "8: a number alone is no thread; write M8, or #8-32 with its pitch."),
        (
            "1/4 BSP",
            (
                "1/4 BSP: pipe, Whitworth, BA and trapezoidal threads are not reckoned with here; "
                "only ISO metric (M8, M8x1) and Unified (3/8-16 UNC) threads are."
            ),
        ),
    ],
)
def test_what_is_no_thread_is_refused_with_what_could_be_meant(text: str, message: str) -> None:
    with pytest.raises(ThreadError) as refusal:
        parse_thread(text)
    assert str(refusal.value) == message


def test_a_legal_but_uncommon_pitch_is_allowed_and_marked() -> None:
    assert parse_thread("M8x1").is_standard
    assert not parse_thread("M8x0.75").is_standard
    assert not parse_thread("3/8-32 UNEF").is_standard
    assert parse_thread("3/8-32").series is Series.OTHER


def test_every_thread_known_reads_back_from_its_own_designation() -> None:
    assert [t for t in all_threads() if parse_thread(t.designation) != t] == []


@given(st.text(max_size=20))
def test_any_text_is_either_a_thread_or_a_refusal(text: str) -> None:
    try:
        thread = parse_thread(text)
    except ThreadError:
        return
    assert 0 < thread.d3_mm < thread.d2_mm < thread.d_mm


def test_pitches_and_choices_agree_with_the_open_parts_library(published: Callable[[str], Rows]) -> None:
    # tests/reference/threads.csv: ISO 261 / DIN 13 by way of BOLTS; ASME B1.1 charts.
    rows = published("threads.csv")
    assert len(rows) == 100
    for row in rows:
        thread = parse_thread(row["designation"])
        assert thread.d_mm == pytest.approx(float(row["d_mm"]), abs=1e-4)
        assert thread.pitch_mm == pytest.approx(float(row["P_mm"]), abs=1e-4)
        assert thread.series == {"special": "other"}.get(row["series"], row["series"])
        if thread.system is System.METRIC and thread.series is Series.FINE:
            assert thread.is_standard == (row["iso262"] == "yes")


def test_stress_areas_meet_the_published_ones_within_their_rounding(
    published: Callable[[str], Rows],
) -> None:
    # tests/reference/threads.csv. ISO 898-1 rounds to three figures; ASME B1.1 charts print
    # three or more and cut (5/16-24: 0.05807 in² is printed 0.0580); GB/T 16823.1 has two
    # decimals, and its constants differ in the last (M20: 244.794 mm² is printed 244.80).
    checked = 0
    for row in published("threads.csv"):
        thread = parse_thread(row["designation"])
        metric = thread.system is System.METRIC
        area = thread.stress_area_mm2 / (1 if metric else 25.4**2)
        rounding = 0.5 if metric else 1.0
        if text := row["area_published"]:
            third_figure = 10.0 ** (math.floor(math.log10(float(text))) - 2)
            assert area == pytest.approx(float(text), abs=third_figure * rounding), row["designation"]
            checked += 1
        if text := row["area_published_2"]:
            assert area == pytest.approx(float(text), abs=0.01), row["designation"]
            checked += 1
    assert checked == 100
