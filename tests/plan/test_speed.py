"""Proving is never what one waits for. Times are CPU seconds of this process, the best of a few."""

import time
from collections.abc import Callable
from pathlib import Path

from procgen.library.library import Library
from procgen.library.load import load
from procgen.plan.expand import expand
from procgen.plan.proof import prove
from tests.plan.wide import INSPECTIONS, OPTIONS, machine, procedure
from tests.written import examined

DEMO = Path(__file__).parents[2] / "procedures"


def cpu(work: Callable[[], object], times: int = 3) -> float:
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def plan_and_prove(library: Library) -> None:
    for each in library.procedures.values():
        prove(expand(each, library)[0], library)


def library_of(machine_text: str, procedure_text: str) -> Library:
    return examined({"m.yaml": machine_text, "p.yaml": procedure_text}).subject.library


def test_two_hundred_steps_eight_options_and_twelve_inspections_take_less_than_a_tenth_of_a_second() -> None:
    library = library_of(machine(), procedure())
    plan, _ = expand(library.procedures["wide"], library)
    assert len(plan.steps) >= 200
    assert len(plan.choices) == OPTIONS + INSPECTIONS
    assert cpu(lambda: prove(plan, library)) < 0.1
    assert cpu(lambda: expand(library.procedures["wide"], library)) < 0.1


def test_twenty_options_that_have_nothing_to_do_with_each_other_are_twenty_and_not_a_million() -> None:
    names = [f"c{number}" for number in range(20)]
    items = "machine: wide\ncomponents:\n" + "".join(f"  {name}: {{title: {name}}}\n" for name in names)
    asked = "".join(f"  o-{name}: {{ask: And {name}?}}\n" for name in names)
    steps = "".join(
        f"  - {{remove: {name}, when: o-{name}}}\n  - {{fit: {name}, when: o-{name}}}\n" for name in names[:-1]
    )
    last = f"  - {{remove: {names[-1]}, when: o-{names[-1]}}}\n"
    text = f"procedure: wide\nmachine: wide\noptions:\n{asked}steps:\n{steps}{last}"
    library = library_of(items, text)
    proof = prove(expand(library.procedures["wide"], library)[0], library)
    assert [(breach.guard.of, breach.smallest) for breach in proof.breaches] == [("c19", {"o-c19": True})]


def test_what_hangs_on_more_than_sixteen_choices_is_undecided_and_the_rest_is_still_proved() -> None:
    items = "machine: wide\ncomponents: {drum: {title: Drum}, hatch: {title: Hatch}}\n"
    items += "conditions: {marked: {lost-by: turn drum}}\n"
    asked = "".join(f"  o{number}: {{ask: Number {number}?}}\n" for number in range(20))
    turns = "".join(f"  - {{turn: drum, when: o{number}}}\n" for number in range(20))
    text = (
        f"procedure: wide\nmachine: wide\noptions:\n{asked}steps:\n  - {{mark: drum, sets: marked}}\n{turns}"
        "  - {clean: drum, needs: marked}\n  - remove: hatch\n"
    )
    library = library_of(items, text)
    proof = prove(expand(library.procedures["wide"], library)[0], library)
    assert [(breach.guard.of, breach.is_undecided) for breach in proof.breaches] == [("marked", True), ("hatch", False)]


def test_planning_and_proving_the_demo_take_less_than_loading_it() -> None:
    library = load(DEMO).library
    assert cpu(lambda: plan_and_prove(library)) < cpu(lambda: load(DEMO))
