"""Adapters on torque wrenches against published examples, ranges and tolerances."""

import re
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.wrench import (
    RangeFit,
    WrenchKind,
    joint_torque_nm,
    permitted_deviation_percent,
    range_fit,
    usable_range_nm,
    wrench_setting_nm,
)

Rows = list[dict[str, str]]

ADAPTERS = (st.floats(1, 1000), st.floats(100, 2000), st.floats(0, 90), st.floats(0, 360))


def test_published_adapter_examples_a1_to_a9_are_met(published: Callable[[str], Rows]) -> None:
    # tests/reference/worked_examples.csv. The rule has no units: N·m and mm stand for any.
    examples = [row for row in published("worked_examples.csv") if row["topic"].startswith("adapter")]
    assert [row["id"] for row in examples] == [f"A{n}" for n in range(1, 10)]
    for row in examples:
        given_ = {k: float(v) for k, v in re.findall(r"(\w)=([\d.]+)", row["inputs"])}
        rule = joint_torque_nm if "W" in given_ else wrench_setting_nm
        torque = given_.get("W", given_.get("T", 0.0))
        result = rule(torque, given_["L"], given_["E"], given_.get("a", 0.0))
        assert result == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["id"]


@given(*ADAPTERS)
def test_setting_and_joint_torque_are_inverse(
    joint_nm: float, handle_mm: float, adapter_mm: float, angle_deg: float
) -> None:
    setting_nm = wrench_setting_nm(joint_nm, handle_mm, adapter_mm, angle_deg)
    assert joint_torque_nm(setting_nm, handle_mm, adapter_mm, angle_deg) == pytest.approx(joint_nm)


@given(*ADAPTERS)
def test_an_adapter_to_the_left_is_as_good_as_one_to_the_right(
    joint_nm: float, handle_mm: float, adapter_mm: float, angle_deg: float
) -> None:
    right = wrench_setting_nm(joint_nm, handle_mm, adapter_mm, angle_deg)
    assert wrench_setting_nm(joint_nm, handle_mm, adapter_mm, -angle_deg) == pytest.approx(right)


def test_an_adapter_that_reaches_back_to_the_grip_is_refused() -> None:
    with pytest.raises(ValueError, match="an adapter of 300 mm at 180° reaches back to the grip"):
        wrench_setting_nm(50, 300, 300, 180)
    with pytest.raises(ValueError, match="a wrench with a handle of 0 mm has no lever"):
        wrench_setting_nm(50, 0, 30, 0)


def test_a_wrench_is_used_from_a_fifth_of_its_scale_or_its_first_mark() -> None:
    # Common practice: row T8 of worked_examples.csv.
    assert usable_range_nm(10, 60) == (12, 60)
    assert usable_range_nm(40, 200) == (40, 200)
    assert [range_fit(nm, 10, 60) for nm in (11, 12, 60, 61)] == [
        RangeFit.TOO_LOW,
        RangeFit.FITS,
        RangeFit.FITS,
        RangeFit.TOO_HIGH,
    ]


def test_tolerances_of_click_wrenches_are_those_of_iso_6789() -> None:
    # ISO 6789:2003, read in a maker's manual: rows T1 and T2 of worked_examples.csv.
    assert permitted_deviation_percent(WrenchKind.CLICK, 60) == 4
    assert permitted_deviation_percent(WrenchKind.CLICK, 10) == 6
    # Row T3, from memory.
    assert permitted_deviation_percent(WrenchKind.BEAM, 60) == 6
