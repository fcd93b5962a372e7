"""The proof and a naive judge agree: on what is found, where, in exactly which cases, and on what is not found.

The normal run throws the dice a few hundred times. `PROCGEN_THOROUGH=20000 pytest tests/plan` throws them as often as
one has patience for. A failure names the seed, and hypothesis looks for a smaller one.
"""

import os
from collections.abc import Iterator
from itertools import combinations, product
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from procgen.library.condition import holds, show
from procgen.library.machine import Before
from procgen.plan.cases import NONE
from procgen.plan.choices import Choices
from procgen.plan.expand import expand
from procgen.plan.proof import Breach, Proof, prove
from procgen.plan.steps import Plan
from tests.plan.machines import Dice
from tests.plan.oracle import Finding, judge, never_left

THROWS = int(os.environ.get("PROCGEN_THOROUGH", "240"))
BATCHES = 8
MOST_WAYS = 256
"""Procedures with more ways through than this are left out: the judge walks every one of them."""


def throw(seed: int) -> Dice:
    return Dice(Random(seed))  # noqa: S311 - dice, not secrets


def name_of(proof: Proof, breach: Breach) -> Finding:
    guard = breach.guard
    key = None if breach.step is None else proof.plan.steps[breach.step].key
    extra: object = guard.state
    if guard.rule is not None:
        number = next(i for i, rule in enumerate(proof.plan.machine.rules) if rule is guard.rule)
        extra = (number, guard.state) if isinstance(guard.rule, Before) else number
    return (str(guard.fault), key, guard.of, extra)


def ways(plan: Plan) -> list[dict[str, bool | str]]:
    every = (dict(zip(plan.choices, values, strict=True)) for values in product(*plan.choices.values()))
    return [way for way in every if holds(plan.procedure.only_for, way)]


def is_small(plan: Plan) -> bool:
    total = 1
    for values in plan.choices.values():
        total *= len(values)
    return total <= MOST_WAYS


def written(plan: Plan) -> Iterator[str]:
    """The plan, one step a line, for whoever has to find out who is right."""
    for step in plan.steps:
        done = ", ".join(f"{action.verb} {action.item}" for action in step.actions)
        back = f" back to {step.go_back_to}" if step.go_back_to else ""
        yield f"{step.key} [{done}] when {show(step.when)} decides {step.outcome}{back} sets {step.step.sets}"


def agree(dice: Dice, *, bare: bool = False) -> bool:
    """Compare both; tells whether there was anything to compare."""
    procedure, library = dice.procedure(bare=bare)
    plan, _ = expand(procedure, library)
    if not is_small(plan):
        return False
    proof = prove(plan, library)
    choices, every = Choices(plan.choices), ways(plan)
    found = {
        name_of(proof, breach): [way for way in every if choices.table(way) & breach.cases is not NONE]
        for breach in proof.breaches
    }
    expected = judge(plan, library)
    assert {plan.steps[i].key for i in proof.ended} == {key for _, key, _, extra in expected if extra == "ended"}
    expected = {name: cases for name, cases in expected.items() if name[3] != "ended"}
    found = {name: cases for name, cases in found.items() if cases}
    differing = {name for name in {*found, *expected} if found.get(name) != expected.get(name)}
    assert not differing, "\n".join(
        [f"{name}: proof {found.get(name)}, judge {expected.get(name)}" for name in differing] + list(written(plan))
    )
    assert set(proof.not_left) == never_left(plan, library)
    return True


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_proof_finds_what_a_walk_through_every_way_finds_and_nothing_else(batch: int) -> None:
    compared = 0
    for seed in range(batch, THROWS, BATCHES):
        try:
            compared += agree(throw(seed), bare=seed % 5 == 0)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}\n{error}") from None
    assert compared > THROWS // BATCHES * 0.7


@settings(max_examples=min(THROWS // 10, 2000), deadline=None, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False))
def test_hypothesis_finds_no_difference_either(random: Random) -> None:
    agree(Dice(random))


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_smaller_choice_makes_it_happen_for_certain(batch: int) -> None:
    for seed in range(batch, THROWS // 4, BATCHES):
        procedure, library = throw(seed).procedure()
        plan, _ = expand(procedure, library)
        if is_small(plan):
            proof = prove(plan, library)
            every, choices = ways(plan), Choices(plan.choices)
            for breach in proof.breaches:
                failing = [way for way in every if choices.table(way) & breach.cases is not NONE]
                if failing:
                    assert_smallest(plan, dict(breach.smallest), every, failing)


def assert_smallest(
    plan: Plan,
    smallest: dict[str, bool | str],
    every: list[dict[str, bool | str]],
    failing: list[dict[str, bool | str]],
) -> None:
    def is_certain(cube: dict[str, bool | str]) -> bool:
        inside = [way for way in every if cube.items() <= way.items()]
        return bool(inside) and all(way in failing for way in inside)

    assert is_certain(smallest)
    for fewer in range(len(smallest)):
        for names in combinations(plan.choices, fewer):
            for values in product(*(plan.choices[name] for name in names)):
                assert not is_certain(dict(zip(names, values, strict=True)))
