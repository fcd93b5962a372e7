"""Torques in the wrong unit, and what is offered instead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.fasteners.misreading import Slip, TorqueUnit, likely_readings
from procgen.fasteners.threads import parse_thread
from procgen.fasteners.tightening import Verdict, tightening_band, verdict

M8 = tightening_band(parse_thread("M8"), "8.8")  # 18.5 to 38.0 N·m


def _said(value: float, unit: TorqueUnit) -> list[tuple[float, str, str]]:
    return [(round(r.torque_nm, 1), r.unit, r.slip) for r in likely_readings(value, unit, M8)]


def test_195_newton_metres_on_an_m8_were_pound_inches() -> None:
    assert _said(195, TorqueUnit.NEWTON_METRE)[0] == (22.0, "lbf·in", Slip.UNIT)


def test_2_2_newton_metres_on_an_m8_were_kilogram_metres_or_22() -> None:
    assert _said(2.2, TorqueUnit.NEWTON_METRE) == [
        (22.0, "N·m", Slip.POINT_LEFT),
        (21.6, "kgf·m", Slip.UNIT),
    ]


def test_220_newton_metres_on_an_m8_had_the_point_too_far_right() -> None:
    assert (22.0, "N·m", Slip.POINT_RIGHT) in _said(220, TorqueUnit.NEWTON_METRE)


def test_22_pound_inches_on_an_m8_leave_three_readings_nearest_to_the_middle_of_the_band_first() -> None:
    assert _said(22, TorqueUnit.POUND_INCH) == [
        (24.9, "lbf·in", Slip.POINT_LEFT),
        (29.8, "lbf·ft", Slip.UNIT),
        (22.0, "N·m", Slip.UNIT),
    ]


def test_where_no_reading_is_plausible_none_is_offered() -> None:
    assert _said(50_000, TorqueUnit.NEWTON_METRE) == []
    assert _said(0, TorqueUnit.NEWTON_METRE) == []


@given(st.floats(0.01, 100_000), st.sampled_from(TorqueUnit))
def test_what_is_offered_is_itself_plausible_and_never_the_figure_as_written(value: float, unit: TorqueUnit) -> None:
    for reading in likely_readings(value, unit, M8):
        assert verdict(M8, reading.torque_nm) is Verdict.WITHIN
        assert (reading.value, reading.unit) != (value, unit)


def test_units_convert_by_their_definitions() -> None:
    # NIST SP 811 by way of pint, from memory to 7 figures: 1.355818, 0.1129848, 9.80665.
    assert TorqueUnit.POUND_FOOT.nm == pytest.approx(1.355818, abs=5e-7)
    assert TorqueUnit.POUND_FOOT.nm == pytest.approx(12 * TorqueUnit.POUND_INCH.nm)
    assert TorqueUnit.KILOGRAM_METRE.nm == pytest.approx(100 * TorqueUnit.KILOGRAM_CENTIMETRE.nm)
