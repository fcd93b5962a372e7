"""The band, what it says to a torque, and to a sequence of stages."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.friction import ThreadCondition, friction_range
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.stages import SlackenStage, StageVerdict, TorqueStage, TurnStage, judge_stages
from procgen.fasteners.strength import strength_of
from procgen.fasteners.threads import Thread, all_threads, parse_thread
from procgen.fasteners.tightening import (
    Verdict,
    assembly_torque_nm,
    band_without_class,
    tightening_band,
    verdict,
)

THREADS = st.sampled_from(list(all_threads()))
CLASSES = st.sampled_from(["4.6", "8.8", "10.9", "12.9", "grade 2", "grade 8", "A2-70"])
M8 = tightening_band(parse_thread("M8"), "8.8")  # 18.5 to 38.0 N·m


@given(THREADS, CLASSES, st.sampled_from(ThreadCondition), st.sampled_from(Head))
def test_rough_threads_want_more_torque_and_clamp_less(
    thread: Thread, class_text: str, condition: ThreadCondition, head: Head
) -> None:
    band = tightening_band(thread, class_text, condition, head)
    assert band.low_nm < band.middle_nm < band.high_nm
    assert 0 < band.preload_low_n < band.preload_high_n
    assert verdict(band, band.middle_nm) is Verdict.WITHIN


def test_no_preload_of_a_band_reaches_the_yield_load() -> None:
    for thread in all_threads():
        band = tightening_band(thread, "8.8")
        yield_n = thread.stress_area_mm2 * strength_of("8.8", thread.d_mm).yield_mpa
        assert band.preload_high_n < 0.9 * yield_n


def test_threads_about_which_nothing_is_said_have_the_widest_band() -> None:
    for austenitic in (False, True):
        widest = friction_range(ThreadCondition.UNKNOWN, austenitic=austenitic)
        for condition in ThreadCondition:
            friction = friction_range(condition, austenitic=austenitic)
            assert widest.low <= friction.low < friction.high <= widest.high


def test_an_m8_at_25_newton_metres_is_plausible_and_at_80_or_4_it_is_not() -> None:
    # Common practice for M8 8.8 is about 25 N·m; no source is needed to know it.
    assert [verdict(M8, nm) for nm in (25, 80, 4)] == [Verdict.WITHIN, Verdict.OVER, Verdict.LOW]


def test_the_same_figure_may_suit_dry_threads_and_be_too_much_for_oiled_ones() -> None:
    dry = tightening_band(parse_thread("M8"), "8.8", ThreadCondition.DRY)
    oiled = tightening_band(parse_thread("M8"), "8.8", ThreadCondition.OILED)
    assert verdict(dry, 35) is Verdict.WITHIN
    assert verdict(oiled, 35) is Verdict.OVER


def test_a_band_built_on_rules_of_thumb_says_so() -> None:
    assert not M8.is_estimate
    assert tightening_band(parse_thread("M7"), "8.8").is_estimate
    assert tightening_band(parse_thread("#10-32"), "grade 5").is_estimate


def test_without_a_class_the_band_reaches_from_the_softest_bolt_to_the_hardest() -> None:
    for text in ("M8", "3/8-16"):
        thread = parse_thread(text)
        wide = band_without_class(thread)
        for class_text in ("4.6", "8.8", "12.9") if text == "M8" else ("grade 1", "grade 5", "grade 8"):
            band = tightening_band(thread, class_text)
            assert wide.low_nm <= band.low_nm
            assert band.high_nm <= wide.high_nm


def _to(nm: float) -> TorqueStage:
    return TorqueStage(low_nm=nm, high_nm=nm)


def test_a_snug_torque_before_an_angle_is_never_too_low() -> None:
    assert judge_stages(M8, [_to(3), TurnStage()]) == ()


def test_a_snug_torque_before_an_angle_may_be_too_high() -> None:
    assert judge_stages(M8, [_to(60), TurnStage()]) == (StageVerdict(index=0, torque_nm=60, verdict=Verdict.OVER),)


def test_of_several_passes_only_the_last_may_be_too_low() -> None:
    assert judge_stages(M8, [_to(2), _to(22)]) == ()
    assert judge_stages(M8, [_to(1), _to(2)]) == (StageVerdict(index=1, torque_nm=2, verdict=Verdict.LOW),)


def test_a_torque_that_is_backed_off_again_clamps_nothing_and_is_not_too_low() -> None:
    assert judge_stages(M8, [_to(3), SlackenStage()]) == ()


def test_of_a_range_the_lower_end_may_be_too_low_and_the_upper_end_too_high() -> None:
    assert [fault.torque_nm for fault in judge_stages(M8, [TorqueStage(low_nm=20, high_nm=70)])] == [70]
    assert [fault.torque_nm for fault in judge_stages(M8, [TorqueStage(low_nm=2, high_nm=20)])] == [2]


def test_torque_is_proportional_to_preload() -> None:
    thread = parse_thread("M10")
    assert assembly_torque_nm(thread, 20_000, 0.12, 12.8) == pytest.approx(
        2 * assembly_torque_nm(thread, 10_000, 0.12, 12.8)
    )


def test_a_thousand_fasteners_take_less_than_50_milliseconds() -> None:
    texts = [thread.designation for thread in all_threads()]
    cases = [(texts[i % len(texts)], ("8.8", "10.9")[i % 2]) for i in range(1000)]
    parse_thread.cache_clear()
    tightening_band.cache_clear()
    best_s = float("inf")
    for _ in range(3):  # the best of three: the machine may be busy with something else
        start = time.process_time()
        for text, class_text in cases:
            verdict(tightening_band(parse_thread(text), class_text), 25.0)
        best_s = min(best_s, time.process_time() - start)
    assert best_s < 0.05
