"""Stripping of tapped holes, against published lengths of engagement and laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.friction import ThreadCondition
from procgen.fasteners.strength import strength_of
from procgen.fasteners.stripping import (
    Material,
    least_engagement_mm,
    material_named,
    stripping_limit,
    stripping_load_n,
)
from procgen.fasteners.threads import Thread, all_threads, parse_thread
from procgen.fasteners.tightening import tightening_band

M8 = parse_thread("M8")


@pytest.mark.parametrize(
    ("material", "class_text", "least_d", "most_d"),
    [
        # Least engagement of coarse threads M6 to M16 in thread diameters, from makers' trials,
        # read in a catalogue (mastik.pt p. 677), plain figure and the longer one in brackets:
        # grey iron above 220 MPa, steel above 360 MPa, aluminium above 180 MPa.
        (Material.CAST_IRON, "8.8", 1.0, 1.3),
        (Material.CAST_IRON, "10.9", 1.25, 1.6),
        (Material.CAST_IRON, "12.9", 1.4, 1.8),
        (Material.STEEL, "8.8", 1.0, 1.5),
        (Material.STEEL, "10.9", 1.25, 1.8),
        (Material.STEEL, "12.9", 1.4, 2.1),
        (Material.ALUMINIUM, "8.8", 2.0, 3.0),
    ],
)
def test_the_bolt_breaks_first_at_about_the_published_engagement(
    material: Material, class_text: str, least_d: float, most_d: float
) -> None:
    # What is reckoned has no margin, what is recommended has: down to four fifths of it.
    for text in ("M6", "M8", "M10", "M12", "M16"):
        thread = parse_thread(text)
        breaks_n = thread.stress_area_mm2 * strength_of(class_text, thread.d_mm).tensile_mpa
        reckoned_d = least_engagement_mm(thread, material, breaks_n) / thread.d_mm
        assert 0.79 * least_d <= reckoned_d <= most_d, (text, reckoned_d)


def test_an_m8_in_a_casting_strips_before_it_is_tight_when_only_8_mm_are_in() -> None:
    limit = stripping_limit(M8, Material.ALUMINIUM, 8)
    assert limit.preload_n < tightening_band(M8, "8.8").preload_low_n
    assert limit.torque_high_nm < tightening_band(M8, "8.8").high_nm


def test_an_m8_in_a_casting_holds_when_two_diameters_are_in() -> None:
    limit = stripping_limit(M8, Material.ALUMINIUM, 16)
    assert limit.preload_n > tightening_band(M8, "8.8").preload_high_n


@pytest.mark.parametrize(
    ("text", "major_least_mm", "pitch_most_mm"),
    [
        # Limits of 6g bolts and 6H holes, ISO 965-2, from memory.
        ("M6", 5.794, 5.500),
        ("M8", 7.760, 7.348),
        ("M10", 9.732, 9.206),
        ("M12", 11.701, 11.063),
        ("M16", 15.682, 14.913),
    ],
)
def test_the_shear_area_is_that_of_the_limits_of_iso_965(
    text: str, major_least_mm: float, pitch_most_mm: float
) -> None:
    thread = parse_thread(text)
    tooth_mm = thread.pitch_mm / 2 + (major_least_mm - pitch_most_mm) * math.tan(math.pi / 6)
    area_mm2 = math.pi * major_least_mm * tooth_mm / thread.pitch_mm * 10
    load_n = stripping_load_n(thread, 1.0, 10 + 0.8 * thread.pitch_mm)
    assert load_n == pytest.approx(0.897 * area_mm2, rel=0.01)


@given(st.sampled_from(list(all_threads())), st.sampled_from(Material), st.floats(100, 500_000))
def test_the_least_engagement_for_a_load_bears_exactly_that_load(
    thread: Thread, material: Material, load_n: float
) -> None:
    engagement_mm = least_engagement_mm(thread, material, load_n)
    limit = stripping_limit(thread, material, engagement_mm)
    assert limit.preload_n == pytest.approx(load_n)


def test_slippery_threads_strip_a_hole_at_less_torque() -> None:
    limit = stripping_limit(M8, Material.ALUMINIUM, 12, ThreadCondition.OILED)
    assert limit.torque_low_nm < limit.torque_high_nm
    assert limit.torque_low_nm < stripping_limit(M8, Material.ALUMINIUM, 12, ThreadCondition.DRY).torque_low_nm


def test_a_hole_with_less_than_a_thread_in_it_bears_nothing() -> None:
    assert stripping_limit(M8, Material.STEEL, 0.9).preload_n == 0


def test_materials_are_known_by_their_workshop_names() -> None:
    assert material_named("Aluminum") is Material.ALUMINIUM
    assert material_named(" cast  iron ") is Material.CAST_IRON
    assert material_named("grey iron") is Material.CAST_IRON
    assert material_named("oak") is None
