"""What else decides whether a torque clamps: what is on the threads, whether the bolt is new, in which order."""

import re
from collections.abc import Iterable, Iterator

from procgen.checks.check import Subject
from procgen.checks.language import sentences
from procgen.checks.tightenings import Tightening, each_once, fasteners, tightenings
from procgen.fasteners.pattern import PatternError
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Component, Fastener, Line, Record, Threads
from procgen.library.library import Library
from procgen.library.machine import Machine
from procgen.library.procedure import Step
from procgen.library.references import references
from procgen.library.state import Verb
from procgen.measure.stages import BackOff, Slacken, To, Turn
from procgen.plan.plausible import clamps
from procgen.plan.positions import positions
from procgen.plan.steps import PlannedStep

# What is on the threads

_PUTS_ON = {
    # The oil that is drained past a plug is on nobody's mind: oil is put on "with oil", by the drop, or by the verb.
    Threads.OILED: r"oil(?:ed|ing)|^ *oil|(?:with|in|of) (?:\w+ ){0,2}oil|lubricat\w+|wet(?:ted)?",
    Threads.GREASED: r"greas\w+|anti-?seize|moly\w*|copper paste|lubricat\w+|assembly paste",
    Threads.LOCKING: r"lock(?:ing)?[ -](?:compound|fluid)|thread[ -]?lock\w*|adhesive",
    Threads.SEALANT: r"seal(?:ing)?[ -]?(?:ant|er|compound|paste)|(?:thread|PTFE) (?:seal\w*|tape)",
}
_ON_THREADS = re.compile(r"\b(?:threads?|bolts?|nuts?|screws?|studs?|plugs?|bolt heads?)\b", re.IGNORECASE)
_NEVER = re.compile(r"\b(?:no|not|never|neither|nor|without|free of|off|dry)\b", re.IGNORECASE)


def threads_condition(subject: Subject) -> Iterator[Finding]:
    """The figure holds for threads in one condition, and the work leaves them in another."""
    for each in each_once(tightenings(subject)):
        threads = each.fastener.threads
        if threads is None or each.fastener.torque is None or not clamps(each.fastener.torque):
            continue
        before = tuple(_up_to(each))
        put_on = _put_on(each, before, subject.library)
        slippery = put_on & {Threads.OILED, Threads.GREASED}
        if threads is Threads.DRY and slippery:
            yield _slippery(each, Threads.OILED if Threads.OILED in slippery else Threads.GREASED)
        elif threads is not Threads.DRY and not put_on and _comes_out(each, before) and not _is_new(each, before):
            yield _bare(each, threads)


def _up_to(each: Tightening) -> Iterator[PlannedStep]:
    for planned in each.plan.steps:
        yield planned
        if planned is each.planned:
            return


def _put_on(each: Tightening, before: Iterable[PlannedStep], library: Library) -> frozenset[Threads]:
    """What any step up to the tightening puts on the threads of this fastener, by action, by words or by amount."""
    id_, found = each.fastener.id, set[Threads]()
    for planned in before:
        step = planned.step
        verbs = {action.verb for action in planned.actions if action.item == id_}
        if not verbs and not (step.do and f"{{{id_}" in step.do.text):
            continue
        found |= set(_in_words(step, each.fastener, touches=bool(verbs)))
        if verbs:
            used = [library.parts[amount.part] for amount in step.uses if amount.part in library.parts]
            found |= {kind for part in used for kind in _substances(f"with {part.address.id}, with {part.title}")}
        if Verb.LUBRICATE in verbs and not found:
            found.add(Threads.OILED)
    return frozenset(found)


def _in_words(step: Step, fastener: Fastener, *, touches: bool) -> Iterator[Threads]:
    for sentence in sentences(step.do.text) if step.do else ():
        named = any(reference.name == fastener.id for reference in references(sentence))
        if named or (touches and _ON_THREADS.search(sentence)):
            yield from _substances(sentence) if not _NEVER.search(sentence) else ()


def _substances(text: str) -> Iterator[Threads]:
    # Names in braces are ids of items, such as {oil-filter-thread}: they say nothing of what is put on.
    plain = re.sub(r"\{[^{}]*\}", " ", text).replace("-", " ")
    return (kind for kind, words in _PUTS_ON.items() if re.search(rf"\b(?:{words})\b", plain, re.IGNORECASE))


def _comes_out(each: Tightening, before: Iterable[PlannedStep]) -> bool:
    """Whether the fastener comes right out, as it does with the component that it holds; else its threads stay wet."""
    held = set(each.plan.machine.held.get(each.fastener.id, ()))
    return any(action.verb is Verb.REMOVE and action.item in held for planned in before for action in planned.actions)


def _is_new(each: Tightening, before: Iterable[PlannedStep]) -> bool:
    """Whether a new one goes in, which comes from its maker with what belongs on it."""
    part = each.fastener.part
    return part is not None and any(part in planned.step.new for planned in before)


def _slippery(each: Tightening, what: Threads) -> Finding:
    torque = each.fastener.torque.text if each.fastener.torque else ""
    return Finding(
        check="threads-condition",
        severity=Severity.WARNING,
        place=each.place,
        message=f"The threads of {each.fastener.id} are {what} here, and {torque} is for dry threads: "
        f"the same torque stretches {'an' if what is Threads.OILED else 'a'} {what} bolt by half as much again.",
        because=(Because(message="dry, says its declaration", place=each.fastener.origin.of("threads")),),
        remedy="leave the threads dry, or look up the figure for that condition and say `threads:` so",
    )


def _bare(each: Tightening, threads: Threads) -> Finding:
    torque = each.fastener.torque.text if each.fastener.torque else ""
    wanted = f"with {threads}" if threads in (Threads.LOCKING, Threads.SEALANT) else str(threads)
    return Finding(
        check="threads-condition",
        severity=Severity.WARNING,
        place=each.place,
        message=f"{torque} is for threads {wanted}, and no step puts anything on those of {each.fastener.id}: "
        "dry, the same torque clamps less.",
        because=(Because(message=f"{threads}, says its declaration", place=each.fastener.origin.of("threads")),),
        remedy=f"say it in the step that tightens them, or in a step before it: `lubricate: {each.fastener.id}`",
    )


# Old bolts


def reused_fastener(subject: Subject) -> Iterator[Finding]:
    """A fastener that is good for one tightening goes back in."""
    for each in each_once(tightenings(subject)):
        fastener = each.fastener
        if fastener.reusable or "reusable" in fastener.faulty or _renewed(each):
            continue
        part = fastener.part or "its part"
        yield Finding(
            check="reused-fastener",
            severity=Severity.WARNING,
            place=each.place,
            message=f"{fastener.id} must be new every time, and no step brings new ones: "
            "an old one has stretched, or its locking is spent.",
            because=(Because(message="not reusable", place=fastener.origin.of("reusable")),),
            remedy=f"write `new: [{part}]` in the step that tightens it"
            + ("" if fastener.part else f", and give {fastener.id} its `part:`"),
        )


def _renewed(each: Tightening) -> bool:
    """Whether the procedure brings new ones: by `new:`, by `renew:`, or with the thing that it holds."""
    part, id_ = each.fastener.part, each.fastener.id
    for planned in each.plan.steps:
        new = planned.step.new
        if part in new if part else planned is each.planned and new:
            return True
        if any(action.verb is Verb.RENEW and action.item == id_ for action in planned.actions):
            return True
    held = (each.plan.machine.items.get(name) for name in each.plan.machine.held.get(id_, ()))
    return any(isinstance(item, Component | Line) and part in item.renew for item in held)


# The order of tightening

_ENOUGH_FOR_AN_ORDER = 4


def tightening_order(subject: Subject) -> Iterator[Finding]:
    """Four or more fasteners draw a vital or sealing joint down, and nothing says in which order; or it cannot be."""
    for fastener in fasteners(subject):
        if fastener.pattern is not None:
            fault = _pattern_fault(fastener)
            if fault:
                yield _finding(
                    fastener, "pattern", f"{fastener.id}: {fault}.", "mend `pattern:`, `count:` or the order"
                )
        elif fastener.count >= _ENOUGH_FOR_AN_ORDER and "pattern" not in fastener.faulty:
            held = next(_drawn_down(fastener, subject), None)
            if held:
                yield _finding(
                    fastener,
                    "count",
                    f"{fastener.count} of {fastener.id} draw {held} down, and nothing says in which order: "
                    "tightened round the edge, it sits askew and leaks or cracks.",
                    "say where they sit, as in `pattern: {circle: 6}` or {grid: 2x5}: the order follows from it",
                )


def _finding(fastener: Fastener, key: str, message: str, remedy: str) -> Finding:
    place = fastener.origin.of(key)
    return Finding(check="tightening-order", severity=Severity.WARNING, place=place, message=message, remedy=remedy)


def _pattern_fault(fastener: Fastener) -> str:
    pattern = fastener.pattern
    if pattern is None:
        return ""
    try:
        found = positions(pattern)
    except PatternError as error:
        return str(error)
    if len(found.positions) != fastener.count and "count" not in fastener.faulty:
        return f"the pattern has {len(found.positions)} places, and there are {fastener.count} of them"
    numbers = {
        number
        for stage in (fastener.torque.stages if fastener.torque else ())
        if isinstance(stage, To | Turn | BackOff | Slacken)
        for number in stage.only
    }
    beyond = sorted(number for number in numbers if number > fastener.count)
    return f"a stage is only for number {beyond[0]}, and there are {fastener.count} of them" if beyond else ""


def _drawn_down(fastener: Fastener, subject: Subject) -> Iterator[str]:
    """The vital or sealing components that it holds."""
    for machine in _machines(fastener, subject):
        for name in machine.held.get(fastener.id, ()):
            item = machine.items[name]
            if isinstance(item, Component) and (item.vital or _seals(item, subject.library)):
                yield item.id


def _machines(fastener: Fastener, subject: Subject) -> Iterator[Machine]:
    scope = fastener.address.scope
    if scope in subject.library.machines:
        yield subject.library.machines[scope]
    elif scope in subject.library.procedures:
        yield subject.library.procedures[scope].machine


_SEAL = re.compile(r"\b(?:gaskets?|seals?|o-?rings?)\b", re.IGNORECASE)


def _seals(component: Component, library: Library) -> bool:
    """Whether it keeps a fluid in: it is drained before it comes off, or a gasket or a seal is renewed with it."""
    renewed: list[Record] = [library.parts[part] for part in component.renew if part in library.parts]
    return bool(component.wet_with) or any(_SEAL.search(part.title) for part in renewed)
