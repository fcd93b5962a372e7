"""Slips of the pen in the demo library: what the judge calls unsafe the checks report, and nothing else.

The normal run takes a sample, the same one each time. `PROCGEN_THOROUGH=20000 pytest tests/plan` takes all.
"""

import os
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import pytest

from procgen.checks import inspection, order, parts, safety
from procgen.checks.check import Subject
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.machine import Procedure
from procgen.plan.expand import expand
from procgen.plan.guards import Fault
from procgen.plan.proof import prove
from tests.plan.mutants import mutants
from tests.plan.oracle import judge
from tests.plan.test_proof_against_oracle import is_small, name_of

DEMO = Path(__file__).parents[2] / "procedures"
SAMPLE = int(os.environ.get("PROCGEN_THOROUGH", "40"))
"""How many mutants the judge walks through."""
REPORTED = min(SAMPLE // 4, 200)
"""How many of them go through the checks themselves, which also look for a remedy for each finding."""
OF_ORDER = frozenset(str(fault) for fault in Fault)


@cache
def demo() -> Library:
    return load(DEMO).library


@cache
def every_mutant() -> tuple[tuple[str, Procedure], ...]:
    found = [
        (f"{procedure.address.id}: {told}", mutant)
        for procedure in demo().procedures.values()
        for told, mutant in mutants(procedure)
    ]
    Random(1).shuffle(found)  # noqa: S311 - a sample, not a secret
    return tuple(found)


def with_it(mutant: Procedure) -> Library:
    return replace(demo(), procedures={**demo().procedures, mutant.address.id: mutant})


def test_the_judge_finds_nothing_in_the_demo_that_its_authors_do_not_accept() -> None:
    library = demo()
    for procedure in library.procedures.values():
        plan, findings = expand(procedure, library)
        assert not findings
        accepted = {each.check for step in procedure.every_step() for each in step.accepting}
        faults = {str(breach.guard.fault) for breach in prove(plan, library).breaches}
        assert faults <= accepted, procedure.address.id


@pytest.mark.parametrize("batch", range(4))
def test_proof_and_judge_agree_on_every_slip(batch: int) -> None:
    judged = 0
    for told, mutant in every_mutant()[batch::4]:
        if judged >= SAMPLE // 4:
            break
        library = with_it(mutant)
        plan, _ = expand(mutant, library)
        if not is_small(plan):
            continue
        judged += 1
        proof = prove(plan, library)
        expected = {name for name in judge(plan, library) if name[3] != "ended"}
        assert {name_of(proof, breach) for breach in proof.breaches} == expected, told
    assert judged


def test_every_unsafe_slip_is_reported_by_the_checks_and_no_safe_one() -> None:
    seen = {True: 0, False: 0}
    for told, mutant in every_mutant():
        if sum(seen.values()) >= REPORTED:
            break
        library = with_it(mutant)
        plan, closing = expand(mutant, library)
        if not is_small(plan):
            continue
        faults = {name[0] for name in judge(plan, library)} | {finding.check for finding in closing}
        # A notice that is missing or late is one judgement of the order, and two checks.
        told_of = {"notice-late" if fault == "hazard-unannounced" else fault for fault in faults} - {"notice-late"}
        assert told_of <= set(reported(mutant)), told
        assert faults or not reported(mutant), told
        seen[bool(faults)] += 1
    assert all(seen.values())


def reported(mutant: Procedure) -> list[str]:
    """What the checks say about the order of a procedure: their slugs."""
    subject = Subject(replace(with_it(mutant), jobs={}))
    return [
        finding.check
        for family in (order, safety, inspection, parts)
        for check in family.CHECKS
        if check.slug in OF_ORDER
        for finding in check.run(subject)
        if finding.place.file == mutant.origin.file
    ]
