"""Torque you can trust: a figure for all that is tightened, somebody who vouches for it, and the family's table.

What physics says to a figure is in torque_figures.py, what other figures say to it in torque_compared.py, tools in
torque_tools.py, threads, old bolts and the order of tightening in torque_joints.py.
"""

from collections.abc import Iterator

from procgen.checks.check import Check, Subject
from procgen.checks.tightenings import Tightening, by_step, declared, fasteners, of_fastener, place_of, tightenings
from procgen.checks.torque_compared import torque_differs, torque_number_in_prose
from procgen.checks.torque_figures import (
    thread_unknown,
    torque_high,
    torque_low,
    torque_not_judged,
    torque_over_yield,
    torque_stages,
    torque_unit_suspect,
)
from procgen.checks.torque_joints import reused_fastener, threads_condition, tightening_order
from procgen.checks.torque_tools import angle_gauge_missing, wrench_range
from procgen.finding import Finding, Place, Severity
from procgen.library.items import Fastener
from procgen.library.state import Verb
from procgen.plan.steps import Maker


def torque_missing(subject: Subject) -> Iterator[Finding]:
    """A fastener is tightened, or holds what goes back, and nobody says how much."""
    for fastener, place, how in (*_tightened(subject), *_holding(subject)):
        if fastener.torque is None and "torque" not in fastener.faulty:
            yield Finding(
                check="torque-missing",
                severity=Severity.ERROR,
                place=place,
                message=f"{how}, and no torque is given.",
                because=(declared(fastener),),
                remedy=f"give {fastener.id} a `torque:`; where no wrench is used, say so: "
                'torque: {by-hand: "Until it is snug, then a quarter turn"}',
            )


def _tightened(subject: Subject) -> Iterator[tuple[Fastener, Place, str]]:
    for each in tightenings(subject):
        yield each.fastener, each.place, f"{_step(each)} tightens {each.fastener.id}"


def _step(each: Tightening) -> str:
    match each.planned.maker:
        case Maker.AUTHOR:
            return f"Step {each.planned.step.number}"
        case Maker.COMPONENT:
            return "This step"
        case Maker.DATA:
            return f"Step {each.planned.author.number}"


def _holding(subject: Subject) -> Iterator[tuple[Fastener, Place, str]]:
    for procedure in subject.procedures:
        plan = subject.plan(procedure)
        for planned in plan.steps:
            for action in planned.actions:
                if action.verb not in (Verb.FIT, Verb.CONNECT):
                    continue
                item = plan.machine.items.get(action.item)
                for name in getattr(item, "held_by", ()):
                    fastener = plan.machine.items.get(name)
                    if isinstance(fastener, Fastener):
                        yield fastener, place_of(planned), f"{name} holds {action.item}, which goes back here"


def torque_unsourced(subject: Subject) -> Iterator[Finding]:
    """A torque that nobody vouches for, in a library that has sources."""
    if not subject.library.sources:
        return
    for fastener in fasteners(subject):
        torque = fastener.torque
        if torque and not torque.is_by_hand and fastener.source is None and "source" not in fastener.faulty:
            yield Finding(
                check="torque-unsourced",
                severity=Severity.WARNING,
                place=fastener.origin.of("torque"),
                message=f"The torque of {fastener.id}, {torque.text}, has no source: "
                "nobody can tell how far to trust it, or look it up again.",
                remedy="add `source:` with the id of a source and the page; `common-practice` is a kind of source too",
            )


CHECKS = (
    Check("torque-missing", Severity.ERROR, torque_missing, once=of_fastener),
    Check("torque-unsourced", Severity.WARNING, torque_unsourced),
    Check("torque-over-yield", Severity.ERROR, torque_over_yield),
    Check("torque-high", Severity.WARNING, torque_high),
    Check("torque-low", Severity.WARNING, torque_low),
    Check("torque-unit-suspect", Severity.ERROR, torque_unit_suspect),
    Check("torque-not-judged", Severity.ADVICE, torque_not_judged),
    Check("torque-stages", Severity.ERROR, torque_stages),
    Check("torque-differs", Severity.WARNING, torque_differs, of_all=True),
    Check("torque-number-in-prose", Severity.WARNING, torque_number_in_prose),
    Check("thread-unknown", Severity.WARNING, thread_unknown),
    Check("wrench-range", Severity.WARNING, wrench_range, once=by_step),
    Check("angle-gauge-missing", Severity.WARNING, angle_gauge_missing, once=by_step),
    Check("threads-condition", Severity.WARNING, threads_condition, once=by_step),
    Check("reused-fastener", Severity.WARNING, reused_fastener, once=by_step),
    Check("tightening-order", Severity.WARNING, tightening_order),
)
