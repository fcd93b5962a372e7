"""Laws of the judgement of torques: whatever the figure, the unit and the bolt."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.fasteners.tightening import Verdict
from procgen.library.items import Fastener, Head, Threads
from procgen.library.origin import Address, Kind, Origin
from procgen.measure.quantity import exactly
from procgen.measure.stages import To
from procgen.measure.torque import Torque, parse_torque
from procgen.plan.joint import joint_of
from procgen.plan.plausible import clamps, excess, misfit

BOLTS = st.builds(
    lambda thread, grade, threads, head: Fastener(
        address=Address(Kind.FASTENER, "bolts", "m"),
        title="Bolts",
        origin=Origin("m.yaml", (1, 1), {}),
        thread=thread,
        strength_class=grade,
        threads=threads,
        head=head,
    ),
    st.sampled_from(["M5", "M6", "M8x1.25", "M10x1.25", "M12", "M20x1.5", "3/8-16 UNC", "1/2-20 UNF"]),
    st.sampled_from(["", "4.6", "8.8", "10.9", "12.9", "grade 5", "A2-70"]),
    st.sampled_from([None, *Threads]),
    st.sampled_from([None, Head.HEX, Head.FLANGE, Head.SOCKET]),
)
FIGURES = st.decimals(min_value="0.1", max_value="2000", places=1).map(Fraction)
UNITS = st.sampled_from(["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"])


@settings(deadline=None)  # the first conversion loads the library of units
@given(BOLTS, FIGURES, UNITS)
def test_a_torque_is_judged_alike_in_whatever_unit_it_is_written(bolt: Fastener, figure: Fraction, unit: str) -> None:
    joint = joint_of(bolt)
    in_newtons = exactly(figure, "N·m", Fraction(1, 10))
    verdicts = [
        fault.verdict if (fault := misfit(joint, Torque((To(quantity=quantity),), ""))) else Verdict.WITHIN
        for quantity in (in_newtons, in_newtons.to(unit))
    ]
    band = joint.band
    assert band is not None
    # On the very edge of the band the last bit of a float may decide.
    edge = any(abs(float(figure) / end - 1) < 1e-9 for end in (band.high_nm, band.low_nm / 4))
    assert edge or verdicts[0] is verdicts[1]


@settings(deadline=None)  # the first conversion loads the library of units
@given(BOLTS, FIGURES, UNITS)
def test_whatever_is_offered_in_place_of_a_figure_would_be_right(bolt: Fastener, figure: Fraction, unit: str) -> None:
    joint = joint_of(bolt)
    fault = misfit(joint, Torque((To(quantity=exactly(figure, unit, Fraction(1, 10))),), ""))
    for meant in fault.meant if fault else ():
        assert misfit(joint, Torque((To(quantity=meant),), "")) is None


@settings(deadline=None)  # the first conversion loads the library of units
@given(BOLTS, FIGURES, UNITS)
def test_a_figure_is_at_most_one_of_over_low_and_high(bolt: Fastener, figure: Fraction, unit: str) -> None:
    joint = joint_of(bolt)
    torque = Torque((To(quantity=exactly(figure, unit, Fraction(1, 10))),), "")
    assert not (misfit(joint, torque) and excess(joint, torque))


def test_what_is_backed_off_at_its_end_and_what_is_done_by_hand_does_not_clamp() -> None:
    assert clamps(parse_torque("22 N·m"))
    assert clamps(parse_torque(["22 N·m", {"back-off": "90°"}, "10 N·m", "+ 90°"]))
    assert clamps(parse_torque(["22 N·m", {"align": "split pin", "by": "tightening"}]))
    assert not clamps(parse_torque(["22 N·m", {"back-off": "60°"}, {"align": "split pin", "by": "loosening"}]))
    assert not clamps(parse_torque({"by-hand": "Until it is snug"}))
