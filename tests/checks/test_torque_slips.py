"""How many slips of a torque in the demo library are caught: the figure left out, and written wrong in five ways.

What is caught is what a person would see: a finding of the torque family that the library as it stands does not have.
"""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from procgen.checks.check import Subject
from procgen.checks.torque import CHECKS
from procgen.fasteners.tightening import Verdict
from procgen.library.items import Fastener, Item
from procgen.library.library import Library
from procgen.library.load import load
from procgen.measure.quantity import Quantity
from procgen.measure.stages import To
from procgen.measure.torque import Torque
from procgen.measure.unit_table import unit
from procgen.plan.joint import joint_of
from procgen.plan.plausible import misfit
from tests.written import TODAY

DEMO = Path(__file__).parent.parent.parent / "procedures"
POUND_FOOT = Fraction("1.3558179483314004")

Slip = Callable[[Quantity], Quantity]


def times(factor: Fraction) -> Slip:
    def slip(quantity: Quantity) -> Quantity:
        ends = (quantity.nominal, quantity.low, quantity.high)
        nominal, low, high = (None if end is None else end * factor for end in ends)
        return replace(
            quantity, nominal=nominal, low=low, high=high, resolution=quantity.resolution * factor, numerals=()
        )

    return slip


SLIPS: dict[str, Slip] = {
    "times ten": times(Fraction(10)),
    "a tenth": times(Fraction(1, 10)),
    "lbf·ft for N·m": lambda quantity: replace(quantity, unit=unit("lbf·ft")),
    "kgf·m for N·m": lambda quantity: replace(quantity, unit=unit("kgf·m")),
    "converted twice": times(POUND_FOOT),
}


@cache
def demo() -> Library:
    return load(DEMO).library


def tightened() -> list[tuple[dict[str, Item], Fastener]]:
    """Every fastener with a figure, and the items of its machine."""
    return [
        (dict_of(machine.items), item)
        for machine in demo().machines.values()
        for item in machine.items.values()
        if isinstance(item, Fastener) and item.torque and item.torque.torque_stages
    ]


def dict_of(items: object) -> dict[str, Item]:
    assert isinstance(items, dict)
    return items


@contextmanager
def written(items: dict[str, Item], fastener: Fastener) -> Iterator[None]:
    """The library as it would be with this fastener in place of its own."""
    before = items[fastener.id]
    items[fastener.id] = fastener
    try:
        yield
    finally:
        items[fastener.id] = before


def found() -> set[tuple[str, str]]:
    subject = Subject(demo(), TODAY)
    return {(finding.check, str(finding.place)) for check in CHECKS for finding in check.run(subject)}


def slipped(fastener: Fastener, slip: Slip) -> Fastener:
    assert fastener.torque
    stages = tuple(
        replace(stage, quantity=slip(stage.quantity)) if isinstance(stage, To) else stage
        for stage in fastener.torque.stages
    )
    return replace(fastener, torque=Torque(stages, fastener.torque.text))


def test_every_figure_left_out_is_missed() -> None:
    usual = found()
    left_out = 0
    for items, fastener in tightened():
        with written(items, replace(fastener, torque=None, stage_places=())):
            new = found() - usual
        assert "torque-missing" in {check for check, _ in new}, fastener.id
        left_out += 1
    assert left_out > 20


@pytest.mark.parametrize(("name", "verdict"), [("times ten", Verdict.OVER), ("a tenth", Verdict.LOW)])
def test_a_point_one_place_off_is_caught_on_every_fastener_whose_class_is_known(name: str, verdict: Verdict) -> None:
    for _, fastener in tightened():
        if joint_of(fastener).has_class:
            wrong = slipped(fastener, SLIPS[name])
            assert wrong.torque
            fault = misfit(joint_of(wrong), wrong.torque)
            assert fault is not None, fastener.id
            assert fault.verdict is verdict, fastener.id


def test_the_share_of_slips_that_are_caught_does_not_fall(capsys: pytest.CaptureFixture[str]) -> None:
    usual = found()
    caught: dict[str, list[str]] = {name: [] for name in SLIPS}
    every = tightened()
    for items, fastener in every:
        for name, slip in SLIPS.items():
            with written(items, slipped(fastener, slip)):
                if found() - usual:
                    caught[name].append(fastener.id)
    with capsys.disabled():
        for name, fasteners in caught.items():
            missed = sorted({fastener.id for _, fastener in every} - set(fasteners))
            sys.stdout.write(
                f"\n  torque {name}: {len(fasteners)} of {len(every)} caught; missed: {', '.join(missed) or 'none'}"
            )
    share = {name: len(fasteners) / len(every) for name, fasteners in caught.items()}
    assert share["times ten"] == 1
    assert share["a tenth"] == 1
    assert share["kgf·m for N·m"] == 1
    # A figure a third too large is told from charts for dry threads only; oil makes it plausible.
    assert share["lbf·ft for N·m"] > 0.6


def test_the_demo_library_as_it_stands_has_no_finding_of_the_family_that_is_not_accepted() -> None:
    from procgen.checks.accepted import accepted_in, settle  # noqa: PLC0415

    subject = Subject(demo(), TODAY)
    findings = tuple(finding for check in CHECKS for finding in check.run(subject))
    standing, _ = settle(findings, tuple(accepted_in(subject)), frozenset(check.slug for check in CHECKS))
    family = {check.slug for check in CHECKS}
    assert [str(finding.place) + " " + finding.message for finding in standing if finding.check in family] == []
