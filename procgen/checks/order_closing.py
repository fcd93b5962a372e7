"""What is not as it should be when things go back: covered, filled or made live too early, done twice, left undone."""

from collections.abc import Iterator

from procgen.checks.breaches import Case, behind, link, no_reasons, told
from procgen.checks.check import Subject
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Component, Fluid
from procgen.library.state import DISTURBS, Verb
from procgen.plan.guards import Fault
from procgen.plan.naming import be, state_of, still, the


def covered_early(subject: Subject) -> Iterator[Finding]:
    """Something goes on over what is not back in service."""

    def words(case: Case) -> str:
        return f"{case.step} covers {the(case.items, case.of)}, which {be(case.items, case.of)} still {_state(case)}."

    def reasons(case: Case) -> Iterator[Because]:
        return behind(case, case.of, case.item)

    def advice(case: Case) -> str:
        return f"see to it before the step that {still(case.items, case.of, disturbed=False)}"

    return told(subject, Fault.COVERED_EARLY, words, reasons, advice)


def _state(case: Case) -> str:
    return state_of(case.items, case.of, disturbed=True)


def restored_early(subject: Subject) -> Iterator[Finding]:
    """An energy or a fluid comes back before all that it reaches is back in service."""

    def words(case: Case) -> str:
        name, what = the(case.items, case.item), the(case.items, case.of)
        return f"{case.step} brings back {name} while {what} {be(case.items, case.of)} {_state(case)}."

    def reasons(case: Case) -> Iterator[Because]:
        key = "exposed-to"
        if isinstance(case.items.get(case.item), Fluid):
            key = "wet-with" if isinstance(case.items.get(case.of), Component) else "carries"
        return link(case, case.of, key, f"{case.of}: {key} {case.item}")

    def advice(case: Case) -> str:
        return f"see to it before the step that {still(case.items, case.of, disturbed=False)}"

    return told(subject, Fault.RESTORED_EARLY, words, reasons, advice)


def already_so(subject: Subject) -> Iterator[Finding]:
    """A step brings about what is so already, or tightens what holds nothing."""

    def words(case: Case) -> str:
        action = case.breach.action
        if action and action.item != case.of:
            link = "which they hold" if action.verb is Verb.TIGHTEN else "to which it leads"
            return f"{case.step} has nothing to work on: {the(case.items, case.of)}, {link}, is off."
        disturbed = bool(action and action.verb in DISTURBS)
        return f"{case.step} has nothing to do: {still(case.items, case.of, disturbed=disturbed)} already."

    def advice(case: Case) -> str:
        planned = case.planned
        return f"take step {planned.author.number} out, or put it where it has something to do" if planned else ""

    for procedure in subject.procedures:
        yield from (each for each in subject.expanded(procedure)[1] if each.check == Fault.ALREADY_SO)
    yield from told(subject, Fault.ALREADY_SO, words, no_reasons, advice)


def left_otherwise(subject: Subject) -> Iterator[Finding]:
    """A procedure says how it leaves something, and in no way through is it so at the end."""
    for procedure in subject.sound:
        for state in subject.proof(procedure).not_left:
            items = procedure.machine.items
            said = f"{the(items, state.item)} {state_of(items, state.item, disturbed=state.disturbed)}"
            yield Finding(
                check="left-otherwise",
                severity=Severity.WARNING,
                place=procedure.origin.of("leaves"),
                message=f"The procedure says that it leaves {said}, and at the end that is never so.",
                remedy=f"take {state.item} out of `leaves:`, or write the step that leaves it so",
            )


def left_undone(subject: Subject) -> Iterator[Finding]:
    """At the end of some way through, something is still off, loose, parted, drained, isolated, or a pin still in."""

    def words(case: Case) -> str:
        name = the(case.items, case.of)
        return f"{case.step} {name} {be(case.items, case.of)} still {_state(case)}."

    def advice(case: Case) -> str:
        return f"put it back in service before the end, or hand it on: `leaves: [{case.of} {_state(case)}]`"

    return told(subject, Fault.LEFT_UNDONE, words, no_reasons, advice)
