"""Whether the reader is warned in time, and whether what is made safe is proved safe."""

from collections.abc import Iterator

from procgen.checks.breaches import Case, in_case, link
from procgen.checks.check import Check, Subject
from procgen.checks.written_steps import written_steps
from procgen.finding import Because, Finding, Severity
from procgen.library.catalogue import Level, Notice
from procgen.library.state import Verb
from procgen.plan.guards import Fault
from procgen.plan.naming import does, name_of
from procgen.plan.proof import Proof
from procgen.plan.steps import PlannedStep


def hazard_unannounced(subject: Subject) -> Iterator[Finding]:
    """Hands go near an energy, and no notice of its kind stands at the step or before it, nor comes after it."""
    for proof in subject.proofs:
        for case in _exposures(subject, proof):
            kind = _kind(case)
            if case.breach.guard.fault is Fault.NOTICE_LATE or _later(case, kind) or _speechless(case):
                continue
            fitting = sorted(name for name, notice in subject.library.notices.items() if kind in notice.kinds)
            written = f"notices: [{' or '.join(fitting)}]" if fitting else f"a notice with `kinds: [{kind}]`"
            met = f"{name_of(case.items, case.of)} ({kind})"
            yield Finding(
                check="hazard-unannounced",
                severity=Severity.ERROR,
                place=case.place,
                message=f"{case.step} exposes hands to {met}, and no notice has said so."
                + in_case(case.breach.smallest),
                when=dict(case.breach.smallest) or None,
                because=tuple(_exposed(case)),
                remedy=f"add {written} to the step, or to one before it",
            )


def notice_late(subject: Subject) -> Iterator[Finding]:
    """A notice comes after the first step that it should have warned of."""
    for proof in subject.proofs:
        seen: set[str] = set()
        for case in _exposures(subject, proof):
            kind = _kind(case)
            late = _later(case, kind)
            if late is None or kind in seen:
                continue
            seen.add(kind)
            step, notice = late
            yield Finding(
                check="notice-late",
                severity=Severity.ERROR,
                place=step.step.origin.of("notices"),
                message=f'The notice "{notice.title}" stands at step {step.author.number}, after '
                f"{_lower(case.step)} {_what(case)}." + in_case(case.breach.smallest),
                when=dict(case.breach.smallest) or None,
                because=(Because(message=f"step {_author(case)} comes first", place=case.place), *_exposed(case)),
                remedy=f"move the notice to step {_author(case)}, or before it",
            )


def notice_incomplete(subject: Subject) -> Iterator[Finding]:
    """A notice stands where hands go near an energy, and does not say which kind of energy it announces."""
    for proof in subject.proofs:
        for case in _exposures(subject, proof):
            notice = _speechless(case)
            kind = _kind(case)
            if notice and case.breach.guard.fault is Fault.HAZARD_UNANNOUNCED and not _later(case, kind):
                yield Finding(
                    check="notice-incomplete",
                    severity=Severity.ERROR,
                    place=notice.origin.place,
                    message=f'The notice "{notice.title}" does not say which kinds of energy it announces, and stands '
                    f"at a step that exposes hands to {name_of(case.items, case.of)} ({kind}).",
                    because=(Because(message=f"step {_author(case)}", place=case.place), *_exposed(case)),
                    remedy=f"add `kinds: [{kind}]` to it, if that is what it warns of",
                )


def isolation_unproven(subject: Subject) -> Iterator[Finding]:
    """An energy is isolated or released, and nobody is told how to know that it is gone."""
    for written in written_steps(subject):
        step = written.step
        made_safe = [action for action in step.actions if action.verb in (Verb.ISOLATE, Verb.RELEASE)]
        if made_safe and step.proof is None and "proof" not in step.faulty:
            yield Finding(
                check="isolation-unproven",
                severity=Severity.ERROR,
                place=step.place,
                message=f"{written.name} does not say how one knows that "
                f"{name_of(written.items, made_safe[0].item)} is gone.",
                remedy="add `proof:` with the try that shows it: press the starter, open the tap, read the gauge",
            )


def _exposures(subject: Subject, proof: Proof) -> Iterator[Case]:
    """Where a kind of energy is met before a notice of it, in the order of the steps."""
    found = [*proof.of(Fault.HAZARD_UNANNOUNCED), *proof.of(Fault.NOTICE_LATE)]
    for breach in sorted(found, key=lambda breach: breach.step or 0):
        yield Case(proof, breach, subject.library)


def _kind(case: Case) -> str:
    return case.structure.energy_kind(case.of)


def _later(case: Case, kind: str) -> tuple[PlannedStep, Notice] | None:
    """The first notice of that kind after the step."""
    for planned in case.plan.steps[(case.breach.step or 0) + 1 :]:
        for name in planned.step.notices:
            notice = case.library.notices.get(name)
            if notice and kind in notice.kinds:
                return planned, notice
    return None


def _speechless(case: Case) -> Notice | None:
    """An injury notice at the step that names no kind of energy."""
    for name in case.planned.step.notices if case.planned else ():
        notice = case.library.notices.get(name)
        if notice and notice.level is not Level.NOTICE and not notice.kinds and "kinds" not in notice.faulty:
            return notice
    return None


def _exposed(case: Case) -> Iterator[Because]:
    for there, _ in case.structure.places(case.item):
        if case.of in case.structure.exposed_to(there):
            yield from link(case, there, "exposed-to", f"{there} is exposed to {case.of}")


def _author(case: Case) -> str:
    return case.planned.author.number if case.planned else ""


def _what(case: Case) -> str:
    if case.breach.guard.fault is Fault.NOTICE_LATE and case.breach.action:
        return does(case.items, case.breach.action)
    return f"exposes hands to {name_of(case.items, case.of)} ({_kind(case)})"


def _lower(text: str) -> str:
    return text[0].lower() + text[1:]


CHECKS = (
    Check("hazard-unannounced", Severity.ERROR, hazard_unannounced),
    Check("notice-late", Severity.ERROR, notice_late),
    Check("notice-incomplete", Severity.ERROR, notice_incomplete),
    Check("isolation-unproven", Severity.ERROR, isolation_unproven),
)
