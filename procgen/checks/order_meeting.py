"""What a step meets when it begins: something in the way, an energy, a line, a fluid, a weight, a need, a rule."""

from collections.abc import Iterator

from procgen.checks.breaches import Case, behind, link, told
from procgen.checks.check import Subject
from procgen.finding import Because, Finding
from procgen.library.items import Aid, Component
from procgen.library.machine import After, Before, Never
from procgen.library.origin import Kind
from procgen.library.state import State, Verb
from procgen.plan.guards import Fault
from procgen.plan.naming import be, state_of, still, the


def blocked(subject: Subject) -> Iterator[Finding]:
    """A step touches what is behind something that is still on."""

    def words(case: Case) -> str:
        state = state_of(case.items, case.of, disturbed=isinstance(case.items.get(case.of), Aid))
        name = the(case.items, case.of)
        return f"{case.step} cannot be done: {name} {be(case.items, case.of)} {case.yet(state)}."

    def reasons(case: Case) -> Iterator[Because]:
        yield from behind(case, case.item, case.of)

    def advice(case: Case) -> str:
        return f'put "- open: {case.item}" before the step, and "- close: {case.item}" after the work'

    return told(subject, Fault.BLOCKED, words, reasons, advice)


def energy_live(subject: Subject) -> Iterator[Finding]:
    """Hands go near what an energy reaches that is neither isolated nor released."""

    def words(case: Case) -> str:
        state = state_of(case.items, case.of, disturbed=False)
        name = the(case.items, case.of)
        return f"{case.step} is not safe: {name} {be(case.items, case.of)} {case.yet(state)}."

    def reasons(case: Case) -> Iterator[Because]:
        for there, _ in case.structure.places(case.item):
            if case.of in case.structure.exposed_to(there):
                yield from link(case, there, "exposed-to", f"{there} is exposed to {case.of}")

    def advice(case: Case) -> str:
        return f'put "- {_safe_verb(case, case.of)}: {case.of}" with its `proof` before the step'

    return told(subject, Fault.ENERGY_LIVE, words, reasons, advice)


def _safe_verb(case: Case, energy: str) -> Verb:
    item = case.items.get(energy)
    return Verb.ISOLATE if getattr(item, "is_supplied", False) else Verb.RELEASE


def line_attached(subject: Subject) -> Iterator[Finding]:
    """A component comes off while a line still leads to it."""

    def words(case: Case) -> str:
        name = the(case.items, case.of)
        return f"{case.step} cannot be done: {name} {be(case.items, case.of)} {case.yet('joined')}."

    def reasons(case: Case) -> Iterator[Because]:
        return link(case, case.item, "lines", f"{case.of} is one of the lines of {case.item}")

    def advice(case: Case) -> str:
        return f'put "- disconnect: {case.of}" before the step, and "- connect: {case.of}" after it is back'

    return told(subject, Fault.LINE_ATTACHED, words, reasons, advice)


def fluid_in(subject: Subject) -> Iterator[Finding]:
    """Something is opened from which a fluid runs out that nobody drained."""

    def words(case: Case) -> str:
        has = "is in again" if case.breach.history else "has not been drained"
        return f"{case.step} lets {the(case.items, case.of)} run out: it {has}."

    def reasons(case: Case) -> Iterator[Because]:
        if isinstance(case.items.get(case.item), Component):
            yield from link(case, case.item, "wet-with", f"{case.item} is wet with {case.of}")
        else:
            yield from link(case, case.item, "carries", f"{case.item} carries {case.of}")

    def advice(case: Case) -> str:
        return f'put "- drain: {case.of}" before the step, and "- fill: {case.of}" when all is closed'

    return told(subject, Fault.FLUID_IN, words, reasons, advice)


def unsupported(subject: Subject) -> Iterator[Finding]:
    """Something that one person cannot hold hangs by nothing."""

    def words(case: Case) -> str:
        record = case.items.get(case.item)
        weight = record.mass.text if isinstance(record, Component) and record.mass else "more than one can lift"
        name = the(case.items, case.item)
        return f"{case.step} leaves {name} without support: it weighs {weight}, and nothing carries it."

    def reasons(case: Case) -> Iterator[Because]:
        return link(case, case.item, "mass", f"the mass of {case.item}")

    def advice(case: Case) -> str:
        aids = [item.id for item in case.items.values() if isinstance(item, Aid) and case.item in item.supports]
        if aids:
            return f'put "- place: {" or ".join(aids)}" before the last fastener is loosened'
        return f"declare an aid (a sling, a stand) that `supports: [{case.item}]`, and place it before the step"

    return told(subject, Fault.UNSUPPORTED, words, reasons, advice)


def needs_unmet(subject: Subject) -> Iterator[Finding]:
    """A step is done in a state that it, its item or the procedure that it follows says that it needs."""

    def words(case: Case) -> str:
        state = case.breach.guard.state
        wanted = _wanted(case, state) if state else case.of
        return f"{case.step} needs {wanted}, and {_fact(case, state)}."

    def reasons(case: Case) -> Iterator[Because]:
        state = case.breach.guard.state
        if state:
            yield Because(message=f"{_wanted(case, state)} is asked for here", place=state.place)

    def advice(case: Case) -> str:
        state = case.breach.guard.state
        item = case.items.get(case.of)
        if item and item.address.kind is Kind.CONDITION and state and state.disturbed:
            return f"let a step before it bring that about and say so: `sets: {case.of}`"
        return f"see to it before the step that {still(case.items, case.of, disturbed=_is_wanted(state))}"

    return told(subject, Fault.NEEDS_UNMET, words, reasons, advice)


def _is_wanted(state: State | None) -> bool:
    return state is None or state.disturbed


def _fact(case: Case, state: State | None) -> str:
    """How things are instead."""
    item = case.items.get(case.of)
    if item and item.address.kind in (Kind.CONDITION, Kind.CHECK):
        return "that is not so"
    return still(case.items, case.of, disturbed=not _is_wanted(state))


def _wanted(case: Case, state: State) -> str:
    """A state as a noun: "the timing belt off"; a condition by its title."""
    item = case.items.get(state.item)
    if item and item.address.kind is Kind.CONDITION:
        return f'"{item.title}"' if state.disturbed else f'"{item.title}" not to hold'
    if item and item.address.kind is Kind.CHECK:
        return f'the check "{item.title}" done'
    return f"{the(case.items, state.item)} {state_of(case.items, state.item, disturbed=state.disturbed)}"


def rule_broken(subject: Subject) -> Iterator[Finding]:
    """A step does what a rule of the machine forbids in that state, or leaves out what it demands."""

    def words(case: Case) -> str:
        rule = case.breach.guard.rule
        items = case.items
        match rule:
            case Never(act=act, while_=while_):
                during = " and ".join(still(items, state.item, disturbed=state.disturbed) for state in while_)
                while_words = f" while {during}" if during else ""
                return f"{case.step} breaks a rule: never {act.verb} {the(items, act.item)}{while_words}."
            case Before(act=act):
                state = case.breach.guard.state
                need = _wanted(case, state) if state else ""
                return f'{case.step} breaks a rule: "{act.verb} {act.item}" needs {need}, and {_fact(case, state)}.'
            case After(act=act, must=must):
                what = f'"{must.verb} {must.item}", which must follow "{act.verb} {act.item}"'
                return f"{case.step} comes before {what}." if case.planned else f"{case.step} {what}, is not done."
            case _:
                return f"{case.step} breaks a rule."

    def reasons(case: Case) -> Iterator[Because]:
        rule = case.breach.guard.rule
        if rule:
            yield Because(message=str(rule.because or "the rule"), place=rule.origin.place)

    def advice(case: Case) -> str:
        rule = case.breach.guard.rule
        match rule:
            case After(must=must):
                return f'put "- {must.verb}: {must.item}" before it'
            case Never(unless=unless) if unless:
                return f"see to it first that {' or '.join(_wanted(case, state) for state in unless)}"
            case Never(while_=while_) if while_:
                return f"do it where {still(case.items, while_[0].item, disturbed=not while_[0].disturbed)}"
            case Before(need=need):
                return f"see to it first: {', '.join(_wanted(case, state) for state in need)}"
            case _:
                return "take the step out"

    return told(subject, Fault.RULE_BROKEN, words, reasons, advice)
