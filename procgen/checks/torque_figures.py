"""What physics says to a torque: too much, next to nothing, a slip of unit or point, passes that undo each other.

One cause gives one finding: a figure that cannot be right is either likely to have been meant otherwise
(torque-unit-suspect), or too much, or too little; and nothing else is said about its passes.
"""

from collections.abc import Iterator

from procgen.checks.check import Subject
from procgen.checks.tightenings import fasteners, in_unit, stage_place
from procgen.fasteners.tightening import Verdict
from procgen.finding import Because, Finding, Severity
from procgen.library.items import Fastener, Head
from procgen.measure.quantity import Quantity
from procgen.measure.stages import BackOff, Slacken, To, Turn
from procgen.measure.typeset import show
from procgen.plan.joint import Joint, joint_of
from procgen.plan.plausible import Misfit, clamps, excess, misfit

_MOST_READINGS = 3


def _misfits(subject: Subject) -> Iterator[tuple[Joint, Misfit]]:
    for fastener in fasteners(subject):
        if fastener.torque is None:
            continue
        joint = joint_of(fastener)
        found = misfit(joint, fastener.torque)
        if found:
            yield joint, found


def torque_over_yield(subject: Subject) -> Iterator[Finding]:
    """A torque that stretches the bolt beyond its yield, or strips its thread, whatever the friction is."""
    for joint, fault in _misfits(subject):
        if fault.verdict is not Verdict.OVER or fault.meant:
            continue
        most = in_unit(fault.band.high_nm, fault.quantity.unit)
        if joint.hole_governs and joint.hole:
            does = (
                f"strips the thread out of {joint.fastener.into} at {joint.hole.engagement_mm:g} mm of engagement: "
                f"{most} is the most that it bears"
            )
            remedy = "look the figure up again, and measure the engagement"
        else:
            does = f"stretches {joint.words} beyond its yield: {most} is the most that it takes, {_friction(joint)}"
            remedy = "look the figure up again, and see whether thread, class and state of the threads are right"
        yield _finding("torque-over-yield", Severity.ERROR, (joint, fault), f"{show(fault.quantity)} {does}.", remedy)


def torque_high(subject: Subject) -> Iterator[Finding]:
    """A torque that is right only while the threads are rough: more than charts give for dry ones."""
    for fastener in fasteners(subject):
        if fastener.torque is None:
            continue
        joint = joint_of(fastener)
        found = excess(joint, fastener.torque)
        if found and not misfit(joint, fastener.torque):
            most = in_unit(found.most_nm, found.quantity.unit)
            yield Finding(
                check="torque-high",
                severity=Severity.WARNING,
                place=stage_place(fastener, found.stage),
                message=f"{fastener.id}: {show(found.quantity)} is more than charts give {joint.words} for dry "
                f"threads: where they run smoothly, {most} stretches it as far as it should.",
                remedy=f"did you mean {_offered(found.meant)}?" if found.meant else "look the figure up, and its unit",
            )


def torque_low(subject: Subject) -> Iterator[Finding]:
    """A torque so small that it hardly clamps anything."""
    for joint, fault in _misfits(subject):
        if fault.verdict is not Verdict.LOW or fault.meant:
            continue
        message = (
            f"{show(fault.quantity)} hardly clamps {joint.words}: it is {_share(fault)} of "
            f"{in_unit(fault.band.low_nm, fault.quantity.unit)}, the least that stretches it as it should."
        )
        yield _finding("torque-low", Severity.WARNING, (joint, fault), message, _LOW_REMEDY)


_LOW_REMEDY = (
    "look the figure up again; where it is right (a plug on a washer, a cover on rubber), "
    "accept it and say what sets it"
)


def torque_unit_suspect(subject: Subject) -> Iterator[Finding]:
    """A torque that cannot be right as written, and would be in another unit or with the point moved."""
    for joint, fault in _misfits(subject):
        if not fault.meant:
            continue
        unit = fault.quantity.unit
        band = f"{in_unit(fault.band.low_nm, unit)} to {in_unit(fault.band.high_nm, unit)}"
        what = "is more than" if fault.verdict is Verdict.OVER else f"is {_share(fault)} of what"
        takes = f"{joint.words} takes ({band})" if fault.is_final else f"{joint.words} takes on the way ({band} in all)"
        message = f"{show(fault.quantity)} {what} {takes}; {_offered(fault.meant)} would fit."
        remedy = f"did you mean {_offered(fault.meant)}? Look it up; where the figure is right, accept it and say why"
        yield _finding("torque-unit-suspect", Severity.ERROR, (joint, fault), message, remedy)


def _finding(slug: str, severity: Severity, at: tuple[Joint, Misfit], message: str, remedy: str) -> Finding:
    joint, fault = at
    fastener = joint.fastener
    return Finding(
        check=slug,
        severity=severity,
        place=stage_place(fastener, fault.stage),
        message=f"{fastener.id}: {message}",
        remedy=remedy,
    )


def _share(fault: Misfit) -> str:
    return f"{100 * fault.torque_nm / fault.band.low_nm:.2g} %"


def _friction(joint: Joint) -> str:
    if joint.bolt is None:
        return ""
    threads = f"threads {joint.fastener.threads}" if joint.fastener.threads else "whatever is on the threads"
    rough = "" if joint.has_class else ", even of the hardest class"
    return f"{threads}, friction up to {joint.bolt.mu_high:g}{rough}"


def _offered(meant: tuple[Quantity, ...]) -> str:
    *most, last = (show(quantity) for quantity in meant[:_MOST_READINGS])
    return f"{', '.join(most)} or {last}" if most else last


def torque_not_judged(subject: Subject) -> Iterator[Finding]:
    """A torque that cannot be held against physics, or only roughly, because thread or class is not given."""
    for fastener in fasteners(subject):
        if fastener.torque is None or not clamps(fastener.torque) or fastener.head in (Head.BANJO, Head.CLIP):
            continue
        joint = joint_of(fastener)
        if joint.thread_fault or misfit(joint, fastener.torque):
            continue
        lacking = tuple(_lacking(fastener, joint))
        if lacking:
            rough = "is judged only roughly" if joint.bolt else "cannot be judged"
            yield Finding(
                check="torque-not-judged",
                severity=Severity.ADVICE,
                place=stage_place(fastener, 0),
                message=f"{fastener.id}: {fastener.torque.text} {rough}: {'; '.join(lacking)}.",
                remedy=_what_to_add(fastener, joint),
            )


def _lacking(fastener: Fastener, joint: Joint) -> Iterator[str]:
    if not fastener.thread and "thread" not in fastener.faulty:
        yield "no thread is given"
    if joint.class_fault:
        yield joint.class_fault.rstrip(".")
    elif not fastener.strength_class and "class" not in fastener.faulty:
        yield "no class is given"


def _what_to_add(fastener: Fastener, joint: Joint) -> str:
    added = [] if fastener.thread else ["`thread:`, as in M8x1.25"]
    if not joint.has_class:
        added.append('`class:`, the number on the head, as in "8.8"')
    return f"add {' and '.join(added)}; where there is none to find, accept it and say why"


def thread_unknown(subject: Subject) -> Iterator[Finding]:
    """A thread that no standard lists, so that neither a torque nor a spanner can be judged by it."""
    for fastener in fasteners(subject):
        fault = joint_of(fastener).thread_fault
        if fault:
            yield Finding(
                check="thread-unknown",
                severity=Severity.WARNING,
                place=fastener.origin.of("thread"),
                message=f"{fastener.id}: {fault}",
                remedy="write the thread as it is stamped or measured, as in M8x1.25, M10x1, 3/8-16 UNC",
            )


def torque_stages(subject: Subject) -> Iterator[Finding]:
    """A pass lower than the one before it, or a back-off that nothing follows."""
    for fastener in fasteners(subject):
        if fastener.torque is None or misfit(joint_of(fastener), fastener.torque):
            continue
        yield from _falling(fastener)
        yield from _left_slack(fastener)


def _falling(fastener: Fastener) -> Iterator[Finding]:
    """Passes below one that still holds; each fastener of the joint is followed by itself, 0 stands for the rest."""
    stages = fastener.torque.stages if fastener.torque else ()
    named = {number for stage in stages if isinstance(stage, To | Turn | BackOff | Slacken) for number in stage.only}
    holding: dict[int, int] = {}
    for index, stage in enumerate(stages):
        if not isinstance(stage, To | Turn | BackOff | Slacken):
            continue
        members = stage.only or (0, *sorted(named))
        if isinstance(stage, BackOff | Slacken):
            for member in members:
                holding.pop(member, None)
        elif isinstance(stage, To):
            earlier = next((holding[member] for member in members if member in holding), None)
            before = stages[earlier] if earlier is not None else None
            if earlier is not None and isinstance(before, To) and stage.quantity.is_below(before.quantity):
                yield _lower(fastener, index, stage.quantity, earlier, before.quantity)
                return
            holding |= dict.fromkeys(members, index)


def _lower(fastener: Fastener, index: int, figure: Quantity, earlier: int, before: Quantity) -> Finding:
    return Finding(
        check="torque-stages",
        severity=Severity.ERROR,
        place=stage_place(fastener, index),
        message=f"{fastener.id}: the pass to {show(figure)} comes after {show(before)} and does nothing: "
        "the wrench clicks before anything turns.",
        because=(Because(message=f"tightened to {show(before)}", place=stage_place(fastener, earlier)),),
        remedy="put the passes in rising order, or slacken between them with {back-off: 90°} or {slacken: fully}",
    )


def _left_slack(fastener: Fastener) -> Iterator[Finding]:
    stages = fastener.torque.stages if fastener.torque else ()
    if stages and isinstance(stages[-1], BackOff | Slacken):
        last = len(stages) - 1
        yield Finding(
            check="torque-stages",
            severity=Severity.ERROR,
            place=stage_place(fastener, last),
            message=f"{fastener.id}: the last stage slackens it, and nothing follows: it is left loose.",
            remedy="say what comes after it: a torque, {align: split pin, by: tightening}, or {by-hand: …} for a play",
        )
