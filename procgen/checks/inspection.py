"""Whether an inspection can be decided: what is good, measured with what, and whether vital work is looked at."""

from collections.abc import Iterator
from fractions import Fraction

from procgen.checks.breaches import Case, no_reasons, told
from procgen.checks.check import Check, Subject
from procgen.checks.written_steps import Written, written_steps
from procgen.finding import Because, Finding, Severity
from procgen.library.catalogue import Tool
from procgen.library.items import Spec
from procgen.library.library import Library
from procgen.library.state import Verb
from procgen.measure.quantity import Quantity
from procgen.measure.typeset import show
from procgen.plan.guards import Fault
from procgen.plan.naming import name_of, the


def _measured(written: Written) -> Iterator[tuple[str, Spec | None, Quantity | None]]:
    """What a step measures: its id, its record where it is a spec, and the limits that hold for it."""
    step = written.step
    for action in step.actions:
        if action.verb is Verb.MEASURE:
            item = written.items.get(action.item)
            spec = item if isinstance(item, Spec) else None
            yield action.item, spec, step.limits or (spec.limits if spec else None)


def limits_missing(subject: Subject) -> Iterator[Finding]:
    """Something is measured, and nobody can tell whether the reading is good."""
    for written in written_steps(subject):
        step = written.step
        only_noted = bool(step.record) and not step.branch
        if step.accept or only_noted or "limits" in step.faulty:
            continue
        for item, spec, limits in _measured(written):
            if limits is None and not (spec and "limits" in spec.faulty):
                fault, remedy = "gives no limits: no reading is good or bad", "add `limits:`"
            elif limits is not None and limits.is_single:
                fault = f"has {show(limits)} for its limits, and no reading is exactly that"
                remedy = "give a range, a tolerance or one end: `5–7 mm`, `6 ± 1 mm`, `>= 5 mm`"
            else:
                continue
            yield Finding(
                check="limits-missing",
                severity=Severity.WARNING,
                place=step.place,
                message=f"{written.name} {fault}.",
                because=(Because(message=f"{item} is declared", place=spec.origin.place),) if spec else (),
                remedy=remedy + (f" to {item}, or to the step" if spec else " to the step"),
            )


def limits_inverted(subject: Subject) -> Iterator[Finding]:
    """The limits of a step and those of the spec that it measures leave nothing between them."""
    for written in written_steps(subject):
        own = written.step.limits
        for _, spec, _ in _measured(written):
            other = spec.limits if spec else None
            if own is None or spec is None or other is None or own.dimension is not other.dimension:
                continue
            if _leaves_nothing(own, other.to(own.unit)):
                yield Finding(
                    check="limits-inverted",
                    severity=Severity.ERROR,
                    place=written.step.origin.of("limits"),
                    message=f"{written.name} asks for {show(own)}, and {name_of(written.items, spec.id)} for "
                    f"{show(other)}: no reading meets both.",
                    because=(Because(message=f"the limits of {spec.id}", place=spec.origin.of("limits")),),
                    remedy="mend the end that is the wrong way round, or leave the step's own limits out",
                )


def _leaves_nothing(own: Quantity, other: Quantity) -> bool:
    """Whether no reading, or only the one figure at which they meet, is inside both."""
    lows = [end for end in (own.low, other.low) if end is not None]
    highs = [end for end in (own.high, other.high) if end is not None]
    return bool(lows and highs) and max(lows) >= min(highs) and not own.is_single


def gauge_too_coarse(subject: Subject) -> Iterator[Finding]:
    """The finest gauge of a step cannot tell good from bad: over a tenth of the tolerance (common practice)."""
    for written in written_steps(subject):
        for _, spec, limits in _measured(written):
            tools = written.step.tools or (spec.tools if spec else ())
            finest = _finest(subject.library, tools, limits) if limits else None
            if limits is None or finest is None or not limits.width:
                continue
            tool, step_size = finest
            if step_size > limits.width / 10:
                yield Finding(
                    check="gauge-too-coarse",
                    severity=Severity.WARNING,
                    place=written.step.place,
                    message=f"{written.name} has limits of {show(limits)}, and {tool.address.id} reads to "
                    f"{tool.resolution.text if tool.resolution else ''}: that is over a tenth of the width.",
                    because=(Because(message=f"{tool.address.id} is declared", place=tool.origin.place),),
                    remedy="put a finer gauge on the list",
                )


def _finest(library: Library, tools: tuple[str, ...], limits: Quantity) -> tuple[Tool, Fraction] | None:
    """The tool with the finest reading in that dimension, and the reading in the unit of the limits."""
    found = []
    for name in tools:
        tool = library.tools.get(name)
        if tool and tool.resolution and tool.resolution.dimension is limits.dimension:
            found.append((tool.resolution.to(limits.unit).middle, tool))
    if not found:
        return None
    size, tool = min(found, key=lambda each: each[0])
    return tool, size


def accept_missing(subject: Subject) -> Iterator[Finding]:
    """Something is inspected, and the step does not say what is good."""
    for written in written_steps(subject):
        step = written.step
        inspects = [action for action in step.actions if action.verb is Verb.INSPECT]
        if inspects and step.accept is None and step.limits is None and not step.faulty & {"accept", "limits"}:
            yield Finding(
                check="accept-missing",
                severity=Severity.WARNING,
                place=step.place,
                message=f"{written.name} does not say what is good: two people will judge it differently.",
                remedy='add `accept:` with what one sees when it is good: "no light under the straightedge"',
            )


def vital_unchecked(subject: Subject) -> Iterator[Finding]:
    """Something vital is covered, or the work ends, with nobody having checked it since it was last changed."""

    def words(case: Case) -> str:
        name = the(case.items, case.of)
        if case.planned is None:
            return f"At the end nobody has checked {name} since it was last changed, and it is vital."
        return f"{case.step} covers {name}, which is vital and has not been checked since it was last changed."

    def advice(case: Case) -> str:
        known = case.structure.checks_of(case.of)
        if known:
            return f'put "- check: {" or ".join(known)}" where all of it is back and nothing covers it yet'
        return f"declare a check with `of: [{case.of}]`, and put it where nothing covers it yet"

    return told(subject, Fault.VITAL_UNCHECKED, words, no_reasons, advice)


CHECKS = (
    Check("limits-missing", Severity.WARNING, limits_missing),
    Check("limits-inverted", Severity.ERROR, limits_inverted),
    Check("gauge-too-coarse", Severity.WARNING, gauge_too_coarse),
    Check("accept-missing", Severity.WARNING, accept_missing),
    Check("vital-unchecked", Severity.ERROR, vital_unchecked),
)
