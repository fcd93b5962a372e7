"""Whether what the work needs is named: the new seal, the part, the tool, the amount."""

from collections.abc import Iterator

from procgen.checks.breaches import Case, link, told
from procgen.checks.check import Check, Subject
from procgen.checks.written_steps import written_steps
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Aid, Component, Fastener, Fluid, Line, Spec
from procgen.library.state import Verb
from procgen.plan.guards import Fault
from procgen.plan.naming import in_sentence, the


def seal_reused(subject: Subject) -> Iterator[Finding]:
    """Something goes back with a single-use part that was disturbed and is not renewed."""

    def words(case: Case) -> str:
        part = case.library.parts.get(case.of)
        name = in_sentence(part.title) if part else case.of
        return f"The {name} of {the(case.items, case.item)} is disturbed and not renewed: it seals once."

    def reasons(case: Case) -> Iterator[Because]:
        record = case.items.get(case.item)
        key = "renew" if isinstance(record, (Component, Line)) and case.of in record.renew else "part"
        return link(case, case.item, key, f"{case.item} gets a new {case.of} every time")

    def advice(case: Case) -> str:
        return f'add "new: [{case.of}]" to the step that puts {the(case.items, case.item)} back'

    return told(subject, Fault.SEAL_REUSED, words, reasons, advice)


def part_missing(subject: Subject) -> Iterator[Finding]:
    """Something is renewed, and nothing says what to order for it; nothing is said where no parts are declared."""
    if not subject.library.parts:
        return
    for written in written_steps(subject):
        step = written.step
        if step.new or step.uses or step.faulty & {"new", "uses"}:
            continue
        for action in step.actions:
            item = written.items.get(action.item)
            known = isinstance(item, (Component, Line, Fastener, Fluid)) and (item.part or "part" in item.faulty)
            if action.verb is Verb.RENEW and not known and action.item not in written.implied:
                yield Finding(
                    check="part-missing",
                    severity=Severity.WARNING,
                    place=step.place,
                    message=f"{written.name} renews {the(written.items, action.item)}, and no part says what to order.",
                    because=(Because(message=f"{action.item} is declared", place=item.origin.place),) if item else (),
                    remedy=f"add `part:` to {action.item}, or `new:` to the step",
                )


def tool_missing(subject: Subject) -> Iterator[Finding]:
    """A step measures, or puts an aid in, and no tool is named; nothing is said where no tools are declared."""
    if not subject.library.tools:
        return
    for written in written_steps(subject):
        step = written.step
        if step.tools or "tools" in step.faulty:
            continue
        for action in step.actions:
            item = written.items.get(action.item)
            if action.verb is Verb.MEASURE and not (isinstance(item, Spec) and (item.tools or "with" in item.faulty)):
                fault, remedy = "measures, and does not say with what", f"add `with:` to {action.item}, or `tools:`"
            elif action.verb is Verb.PLACE and isinstance(item, Aid) and not item.tool and "tool" not in item.faulty:
                fault, remedy = (
                    "puts an aid in that is no tool on the list",
                    f"add `tool:` to {action.item}, or `tools:`",
                )
            else:
                continue
            yield Finding(
                check="tool-missing",
                severity=Severity.WARNING,
                place=step.place,
                message=f"{written.name} {fault}: it will be missing at the bench.",
                because=(Because(message=f"{action.item} is declared", place=item.origin.place),) if item else (),
                remedy=f"{remedy} to the step",
            )


def amount_missing(subject: Subject) -> Iterator[Finding]:
    """A consumable with a unit is used without an amount, or a fluid filled in of which nobody knows how much."""
    library = subject.library
    for written in written_steps(subject):
        step = written.step
        for amount in step.uses:
            part = library.parts.get(amount.part)
            if part and part.unit and amount.quantity is None and "uses" not in step.faulty:
                yield Finding(
                    check="amount-missing",
                    severity=Severity.WARNING,
                    place=amount.place,
                    message=f"{written.name} uses {in_sentence(part.title)} and does not say how much.",
                    because=(Because(message=f"{amount.part} is counted in {part.unit}", place=part.origin.place),),
                    remedy=f"write `uses: {{{amount.part}: 1 {part.unit}}}` with the right figure",
                )
        for action in step.actions:
            item = written.items.get(action.item)
            unknown = isinstance(item, Fluid) and item.capacity is None and "capacity" not in item.faulty
            if action.verb is Verb.FILL and unknown and not step.uses and action.item not in written.implied and item:
                yield Finding(
                    check="amount-missing",
                    severity=Severity.WARNING,
                    place=step.place,
                    message=f"{written.name} fills in {the(written.items, action.item)}, and nobody knows how much.",
                    because=(Because(message=f"{action.item} is declared", place=item.origin.place),),
                    remedy=f"add `capacity:` to {action.item}",
                )


CHECKS = (
    Check("seal-reused", Severity.ERROR, seal_reused),
    Check("part-missing", Severity.WARNING, part_missing),
    Check("tool-missing", Severity.WARNING, tool_missing),
    Check("amount-missing", Severity.WARNING, amount_missing),
)
