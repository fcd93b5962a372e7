"""Moments: changes of state with conditions tell, for every way through, what the snapshots of that way tell."""

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.library.condition import holds
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.machine import Never
from procgen.plan.expand import expand
from procgen.plan.job import plan_job
from procgen.plan.moments import Moments, moments
from procgen.plan.snapshots import Snapshot, complete, snapshots
from procgen.plan.steps import Plan
from procgen.plan.structure import Structure

DEMO: Library = load(Path(__file__).parents[2] / "procedures").library
PLANS = {
    **{name: expand(procedure, DEMO)[0] for name, procedure in DEMO.procedures.items()},
    **{name: plan_job(job, DEMO).plan for name, job in DEMO.jobs.items()},
}
MOMENTS = {name: moments(plan) for name, plan in PLANS.items()}


def told(found: Moments, steps: int, way: dict[str, bool | str]) -> list[tuple[set[str], set[int]]]:
    """Before each step and at the end: what is disturbed and which rules are armed, read off the moments."""
    states: list[tuple[set[str], set[int]]] = []
    items: dict[str, bool] = {}
    rules: dict[int, bool] = {}
    for index in range(steps + 1):
        items.update({each.item: holds(each.when, way) for each in found.items if each.step == index})
        rules.update({each.rule: holds(each.when, way) for each in found.rules if each.step == index})
        states.append(({name for name, so in items.items() if so}, {place for place, so in rules.items() if so}))
    return states


def shown(snapshot: Snapshot, plan: Plan) -> tuple[set[str], set[int]]:
    """The same of a snapshot."""
    kinds = (
        snapshot.off,
        snapshot.loose,
        snapshot.parted,
        snapshot.drained,
        snapshot.isolated,
        snapshot.placed,
        snapshot.true,
    )
    rules = Structure(plan.machine).rules
    armed = {place for place, rule in enumerate(rules) if isinstance(rule, Never) and rule in snapshot.armed}
    return {item for kind in kinds for item in kind}, armed


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_moments_tell_what_snapshots_tell_in_any_way_through(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(PLANS)))
    plan = PLANS[name]
    way = complete(plan, {name: data.draw(st.sampled_from(values)) for name, values in plan.choices.items()})
    if holds(plan.procedure.only_for, way):
        assert told(MOMENTS[name], len(plan.steps), way) == [shown(each, plan) for each in snapshots(plan, way)]


@pytest.mark.parametrize("name", ["renew-timing-belt", "launch-two-belt"])
def test_in_every_single_way_through_of_the_longest_work(name: str) -> None:
    plan = PLANS[name]
    for values in product(*plan.choices.values()):
        way = dict(zip(plan.choices, values, strict=True))
        assert told(MOMENTS[name], len(plan.steps), way) == [shown(each, plan) for each in snapshots(plan, way)], way
