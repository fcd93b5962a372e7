"""Whoever does what is suggested is rid of the finding, and has no other in its place."""

from collections import Counter

import pytest

from procgen.checks import inspection, order, parts
from procgen.library.library import Library
from procgen.plan.edits import apply
from procgen.plan.expand import expand
from procgen.plan.guards import Fault
from procgen.plan.proof import Proof, prove
from procgen.plan.remedies import remedy
from tests.checks.test_help_pages import example
from tests.plan.test_mutants_of_the_demo import every_mutant, with_it
from tests.written import examined, lines

MENDED = """blocked energy-live line-attached fluid-in rule-broken covered-early restored-early already-so left-undone
loop-changes-state vital-unchecked seal-reused""".split()  # noqa: SIM905 - twelve slugs


def proofs(library: Library) -> list[Proof]:
    plans = [expand(procedure, library)[0] for procedure in library.procedures.values()]
    return [proof for proof in (prove(plan, library) for plan in plans) if proof.breaches]


@pytest.mark.parametrize("slug", MENDED)
def test_the_suggestion_for_the_example_of_the_help_page_mends_it(slug: str) -> None:
    library = examined(example(slug, "A library that fails")).subject.library
    (proof,) = proofs(library)
    (breach,) = [each for each in proof.breaches if each.guard.fault == slug]
    edits = remedy(proof, breach, library)
    assert edits
    mended = prove(expand(apply(proof.plan.procedure, edits), library)[0], library)
    assert {each.guard.fault for each in mended.breaches} <= {Fault.NOTICE_LATE, Fault.HAZARD_UNANNOUNCED}


def test_what_is_suggested_for_slips_in_the_demo_takes_the_finding_away_and_brings_none() -> None:
    tried = helped = 0
    for told, mutant in every_mutant()[:12]:
        library = with_it(mutant)
        proof = prove(expand(mutant, library)[0], library)
        before = Counter((each.guard.fault, each.guard.of) for each in proof.breaches)
        for breach in proof.breaches[:3]:
            tried += 1
            edits = remedy(proof, breach, library)
            if edits:
                helped += 1
                plan, _ = expand(apply(mutant, edits), library)
                after = Counter((each.guard.fault, each.guard.of) for each in prove(plan, library).breaches)
                assert after[breach.guard.fault, breach.guard.of] < before[breach.guard.fault, breach.guard.of], told
    assert helped > tried / 2


def test_a_suggestion_reads_as_something_to_do() -> None:
    found = examined(example("covered-early", "A library that fails")).findings
    assert [finding.remedy for finding in found] == ["move step 5 before step 3"]


def test_opening_is_suggested_with_its_closing() -> None:
    found = examined(example("blocked", "A library that fails")).findings
    assert [finding.remedy for finding in found] == [
        'put "- open: drum" before step 1, and put "- close: drum" at the end'
    ]


def test_where_no_edit_helps_the_words_say_what_is_missing() -> None:
    found = examined(example("unsupported", "A library that fails")).findings
    assert [finding.remedy for finding in found] == [
        "declare an aid (a sling, a stand) that `supports: [drum]`, and place it before the step"
    ]


def test_every_check_of_these_families_says_what_to_do() -> None:
    for family in (order, inspection, parts):
        for check in family.CHECKS:
            (finding,) = examined(example(check.slug, "A library that fails")).findings
            assert finding.remedy, check.slug
            assert lines(example(check.slug, "The same, mended")) == []
