"""What a sheet asks to be filled in, step by step: the one list that the printed sheet, the ticking sheet and
`procgen record` share.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from procgen.library.catalogue import Units
from procgen.library.condition import Condition, names
from procgen.library.items import Check, Component, Fastener, Fluid, Item, Line, Spec
from procgen.library.library import Library
from procgen.library.machine import Option
from procgen.library.origin import ItemId, PartId
from procgen.library.state import Verb
from procgen.measure.quantity import Quantity
from procgen.measure.torque import Expect, To
from procgen.measure.units import known_unit
from procgen.plan.steps import Plan, PlannedStep
from procgen.sheet.reading import Scale, open_scale, scale_of

_MOST_BOXES = 24
"""How many boxes of one kind a step gets; more is a table that no step has room for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingBox:
    """Something measured."""

    id: str
    """Unique in its step: the spec's id, or a fastener's where the wrench is read, or "reading"."""
    title: str
    limits: Quantity | None
    """None where nobody gave any."""
    unit: str
    """In which it is read, as the author has it, where there are no limits; empty where nobody said."""
    count: int
    """How many times it is measured."""
    is_spec: bool
    """Whether it goes into the logbook under its id."""

    def scale(self, units: Units) -> Scale | None:
        """What it is read in, by the units of the manual; None where only whoever types it knows."""
        if self.limits:
            return scale_of(self.limits, units)
        unit = known_unit(self.unit) if self.unit else None
        return open_scale(unit, units) if unit else None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDownBox:
    """The torque that a self-locking nut takes before it clamps: measured, and added to each figure."""

    fastener: ItemId
    title: str
    count: int
    figures: tuple[Quantity, ...]
    """The torques to which it is added, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepBoxes:
    """The boxes of one step."""

    key: str
    number: str
    words: str
    """What the step is called in a message: "Tighten pump bolts"."""
    when: Condition
    branch_of: str | None
    outcome: str | None
    """The choice that this step decides: accepted or not."""
    by_reading: bool
    """The outcome is whether the readings are within their limits; else a person says so."""
    ticks: int
    """How many times the step is done."""
    readings: tuple[ReadingBox, ...]
    run_downs: tuple[RunDownBox, ...]
    words_to_write: tuple[str, ...]
    """The author's words for what else is written down."""
    signs: tuple[str, ...]
    """Roles that sign here, each by another person."""
    parts: tuple[PartId, ...]
    """What goes in with this step and is kept in the logbook."""
    go_back_to: str | None


@dataclass(frozen=True, kw_only=True)
class Form:
    """All boxes of a sheet."""

    steps: tuple[StepBoxes, ...]
    choices: Mapping[str, tuple[bool | str, ...]]
    """Every name that a step's condition may use, and its values."""
    asked: Mapping[str, Option]
    """Options that whoever does the work decides; none on a job's sheet."""
    variants: Mapping[str, tuple[str, ...]]
    """Variants of the machine that steps depend on."""
    meter: str
    """hours, km, mi, cycles or none."""
    roles: tuple[str, ...]
    """Who signs at the end: the first did it, the second checked it."""

    @cached_property
    def by_key(self) -> Mapping[str, StepBoxes]:
        """Every step's boxes by its key."""
        return {step.key: step for step in self.steps}


def form_of(plan: Plan, library: Library) -> Form:
    """The boxes of a plan's sheet."""
    steps = tuple(_step(planned, plan, library) for planned in plan.steps)
    asked = frozenset(name for planned in plan.steps for name in names(planned.when))
    signed = tuple(dict.fromkeys(role for step in steps for role in step.signs))
    known = library.manual.sign_off
    roles = tuple(role for role in known if role in signed) or known[:1] or ("fitter",)
    return Form(
        steps=steps,
        choices=plan.choices,
        asked={id_: option for id_, option in plan.procedure.options.items() if id_ in asked},
        variants={id_: values for id_, values in plan.machine.variants.items() if id_ in asked},
        meter=plan.machine.meter,
        roles=(*roles, *(role for role in signed if role not in roles)),
    )


def _step(planned: PlannedStep, plan: Plan, library: Library) -> StepBoxes:
    step = planned.step
    readings = tuple(_readings(planned, plan))
    return StepBoxes(
        key=planned.key,
        number=planned.number,
        words=_called(planned, plan),
        when=planned.when,
        branch_of=planned.branch_of,
        outcome=planned.outcome,
        by_reading=bool(step.out_of_limits) and any(box.limits for box in readings),
        ticks=min(max(step.repeat, 1), _MOST_BOXES),
        readings=readings,
        run_downs=tuple(_run_downs(planned, plan)),
        words_to_write=tuple(text for text in step.record if ItemId(text) not in plan.machine.items),
        signs=_signs(planned, plan),
        parts=tuple(_parts(planned, plan, library)),
        go_back_to=planned.go_back_to,
    )


def _called(planned: PlannedStep, plan: Plan) -> str:
    verbs: dict[str, list[str]] = {}
    for action in planned.actions:
        item = plan.machine.items.get(action.item)
        verbs.setdefault(action.verb.value, []).append(item.title if item else action.item)
    said = "; ".join(f"{verb} {', '.join(titles)}" for verb, titles in verbs.items())
    if said:
        return said[0].upper() + said[1:]
    words = planned.step.do.text.split(". ")[0].split() if planned.step.do else []
    return " ".join(words[:12]).rstrip(".")


def _items(planned: PlannedStep, plan: Plan) -> Iterator[Item]:
    items = plan.machine.items
    yield from (items[action.item] for action in planned.actions if action.item in items)


def _readings(planned: PlannedStep, plan: Plan) -> Iterator[ReadingBox]:
    step = planned.step
    specs = [item for item in _items(planned, plan) if isinstance(item, Spec)]
    recorded = (plan.machine.items.get(ItemId(name)) for name in step.record)
    specs.extend(item for item in recorded if isinstance(item, Spec))
    count = min(max(step.repeat, 1), _MOST_BOXES)
    for place, spec in enumerate({spec.id: spec for spec in specs}.values()):
        limits = step.limits if place == 0 and step.limits else spec.limits
        unit = "" if limits else spec.unit
        yield ReadingBox(id=spec.id, title=spec.title, limits=limits, unit=unit, count=count, is_spec=True)
    if step.limits and not specs:
        yield ReadingBox(id="reading", title="Reading", limits=step.limits, unit="", count=count, is_spec=False)
    for fastener in _tightened(planned, plan):
        for stage in fastener.torque.stages if fastener.torque else ():
            if isinstance(stage, Expect):
                count = min(fastener.count, _MOST_BOXES)
                yield ReadingBox(
                    id=fastener.id, title=fastener.title, limits=stage.quantity, unit="", count=count, is_spec=False
                )


def _tightened(planned: PlannedStep, plan: Plan) -> Iterator[Fastener]:
    for action in planned.actions:
        item = plan.machine.items.get(action.item)
        if action.verb is Verb.TIGHTEN and isinstance(item, Fastener):
            yield item


def _run_downs(planned: PlannedStep, plan: Plan) -> Iterator[RunDownBox]:
    for fastener in _tightened(planned, plan):
        figures = (
            tuple(stage.quantity for stage in fastener.torque.stages if isinstance(stage, To))
            if (fastener.torque and fastener.prevailing)
            else ()
        )
        if figures:
            count = min(fastener.count, _MOST_BOXES)
            yield RunDownBox(fastener=fastener.id, title=fastener.title, count=count, figures=figures)


def _signs(planned: PlannedStep, plan: Plan) -> tuple[str, ...]:
    if planned.step.sign:
        return planned.step.sign
    return next((item.sign for item in _items(planned, plan) if isinstance(item, Check) and item.sign), ())


def _parts(planned: PlannedStep, plan: Plan, library: Library) -> Iterator[PartId]:
    """New parts, and what fills the machine; cloths and grease are nobody's history."""
    step = planned.step
    used = [amount.part for amount in step.uses]
    found = [*step.new]
    found += [part for part in used if not (known := library.parts.get(part)) or not known.consumable]
    for action in planned.actions:
        item = plan.machine.items.get(action.item)
        match action.verb, item:
            case Verb.FILL, Fluid(part=part) if part:
                found.append(part)
            case Verb.RENEW, Component(part=part) | Line(part=part) if part:
                found.append(part)
    yield from dict.fromkeys(found)
