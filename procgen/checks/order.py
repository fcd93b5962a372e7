"""Whether a procedure can be done in the order in which it stands, whatever is chosen and however inspections end."""

from collections.abc import Iterator

from procgen.checks.breaches import Case, no_reasons, told
from procgen.checks.check import Check, Subject
from procgen.checks.order_closing import already_so, covered_early, left_otherwise, left_undone, restored_early
from procgen.checks.order_meeting import (
    blocked,
    energy_live,
    fluid_in,
    line_attached,
    needs_unmet,
    rule_broken,
    unsupported,
)
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Change, Component
from procgen.library.machine import Procedure
from procgen.library.procedure import Action
from procgen.library.state import Verb
from procgen.plan.guards import Fault
from procgen.plan.naming import be, said, the
from procgen.plan.steps import Maker, PlannedStep


def loop_changes_state(subject: Subject) -> Iterator[Finding]:
    """A step goes back to where things are no longer as they were, where the work never was, or round for ever."""

    def words(case: Case) -> str:
        planned = case.planned
        target = planned.step.go_back_to if planned else ""
        return (
            f'{case.step} goes back to "{target}", and {the(case.items, case.of)} '
            f"{be(case.items, case.of)} not as at the first time there."
        )

    def advice(case: Case) -> str:
        return f"bring {the(case.items, case.of)} back before the step, or go back to a step further on or further back"

    yield from told(subject, Fault.LOOP_CHANGES_STATE, words, no_reasons, advice)
    for procedure in subject.sound:
        plan = subject.plan(procedure)
        lost = set(subject.proof(procedure).ended)
        for index, planned in enumerate(plan.steps):
            if index in lost or (planned.step.go_back_to and not planned.go_back_to):
                yield Finding(
                    check="loop-changes-state",
                    severity=Severity.ERROR,
                    place=planned.step.origin.of("go-back-to"),
                    message=f'Step {planned.author.number} goes back to "{planned.step.go_back_to}", and the work '
                    f"{'goes round for ever' if index in lost else 'has not been there yet'}.",
                    remedy="go back, from the branch of an inspection, to a step that every way there has passed",
                )


def never_reached(subject: Subject) -> Iterator[Finding]:
    """No choice and no outcome ever leads to a step."""
    for procedure in subject.sound:
        for step in subject.plan(procedure).unreached:
            yield Finding(
                check="never-reached",
                severity=Severity.WARNING,
                place=step.origin.of("when") if "when" in step.origin.keys else step.place,
                message=f"Step {step.number} is never done: no choice and no outcome leads to it.",
                remedy="mend its `when:`, or take the step out",
            )


def order_undecided(subject: Subject) -> Iterator[Finding]:
    """What becomes of an item depends on so many choices that not every way through can be tried."""
    for procedure in subject.procedures:
        yield from (each for each in subject.expanded(procedure)[1] if each.check == "order-undecided")
    for proof in subject.proofs:
        seen: set[str] = set()
        for breach in proof.breaches:
            if not breach.is_undecided or breach.guard.of in seen:
                continue
            seen.add(breach.guard.of)
            case = Case(proof, breach, subject.library)
            yield Finding(
                check="order-undecided",
                severity=Severity.ERROR,
                place=case.place,
                message=f"{case.step} cannot be proved: what becomes of {the(case.items, case.of)} depends on "
                "more than sixteen choices and outcomes.",
                remedy="split the procedure, or let one option stand for several",
            )


def described_twice(subject: Subject) -> Iterator[Finding]:
    """A procedure writes its own words for a change that the component describes itself."""
    for procedure in subject.procedures:
        for planned in subject.plan(procedure).steps:
            if planned.maker is Maker.AUTHOR and not planned.groups and planned.step.do is not None:
                for action in planned.actions:
                    component = procedure.machine.items.get(action.item)
                    change = _own_change(component, action) if isinstance(component, Component) else None
                    if change and change.steps:
                        yield _twice(procedure, planned, action, change)


def _own_change(component: Component, action: Action) -> Change | None:
    if action.verb is Verb.REMOVE:
        return component.remove
    return component.fit if action.verb is Verb.FIT else None


def _twice(procedure: Procedure, planned: PlannedStep, action: Action, change: Change) -> Finding:
    name = the(procedure.machine.items, action.item)
    how = "comes off" if action.verb is Verb.REMOVE else "goes back"
    return Finding(
        check="described-twice",
        severity=Severity.ADVICE,
        place=planned.step.place,
        message=f'Step {planned.step.number}, "{said(planned.step)}", has its own words, and {name} says how it {how}.',
        because=(Because(message=f"how {name} {how}", place=change.origin.place),),
        remedy="take `do:` out, so that it is done the same way everywhere",
    )


def circular_follow(subject: Subject) -> Iterator[Finding]:
    """Procedures that follow each other in a circle."""
    for procedure in subject.procedures:
        yield from (each for each in subject.expanded(procedure)[1] if each.check == "circular-follow")


CHECKS = (
    Check("blocked", Severity.ERROR, blocked),
    Check("energy-live", Severity.ERROR, energy_live),
    Check("line-attached", Severity.ERROR, line_attached),
    Check("fluid-in", Severity.ERROR, fluid_in),
    Check("unsupported", Severity.ERROR, unsupported),
    Check("needs-unmet", Severity.ERROR, needs_unmet),
    Check("rule-broken", Severity.ERROR, rule_broken),
    Check("covered-early", Severity.ERROR, covered_early),
    Check("restored-early", Severity.ERROR, restored_early),
    Check("already-so", Severity.ERROR, already_so),
    Check("left-undone", Severity.ERROR, left_undone),
    Check("left-otherwise", Severity.WARNING, left_otherwise),
    Check("loop-changes-state", Severity.ERROR, loop_changes_state),
    Check("never-reached", Severity.WARNING, never_reached),
    Check("order-undecided", Severity.ERROR, order_undecided),
    Check("circular-follow", Severity.ERROR, circular_follow),
    Check("described-twice", Severity.ADVICE, described_twice),
)
