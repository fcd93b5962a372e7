"""Small changes to a procedure, as values: what a suggestion tells its author to do, and what tests can do for them."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import assert_never

from procgen.library.machine import Procedure
from procgen.library.origin import ItemId, NoticeId, Origin, PartId
from procgen.library.procedure import Action, Step
from procgen.library.state import Verb


@dataclass(frozen=True, slots=True, kw_only=True)
class Insert:
    """A new line."""

    verb: Verb
    item: ItemId
    before: Step | None
    """The step that it goes in front of; None: at the end."""

    def __str__(self) -> str:
        proved = ", with its `proof:`," if self.verb in (Verb.ISOLATE, Verb.RELEASE) else ""
        line = f'"- {self.verb}: {self.item}"{proved}'
        return f"put {line} before step {self.before.number}" if self.before else f"put {line} at the end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A step goes somewhere else."""

    step: Step
    before: Step | None
    """The step that it goes in front of; None: after `after`."""
    after: Step | None = None

    def __str__(self) -> str:
        where = f"before step {self.before.number}" if self.before else ""
        return f"move step {self.step.number} {where or f'after step {self.after.number if self.after else 0}'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """A step goes away."""

    step: Step

    def __str__(self) -> str:
        return f"take step {self.step.number} out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """A step gets one more new part or notice."""

    step: Step
    new: PartId | None = None
    notice: NoticeId | None = None

    def __str__(self) -> str:
        line = f'"new: [{self.new}]"' if self.new else f'"notices: [{self.notice}]"'
        return f"add {line} to step {self.step.number}"


Edit = Insert | Move | Drop | Add


def apply(procedure: Procedure, edits: Iterable[Edit]) -> Procedure:
    """The procedure with the edits made, one after the other; the numbers of its steps stay as they were."""
    steps = procedure.steps
    for edit in edits:
        steps = _applied(steps, edit)
    return replace(procedure, steps=steps)


def _applied(steps: tuple[Step, ...], edit: Edit) -> tuple[Step, ...]:
    match edit:
        case Insert(verb=verb, item=item, before=before):
            made = _made(verb, item, steps, before)
            return _with(steps, before, (made,), keep=True) if before else (*steps, made)
        case Move(step=step, before=before, after=after):
            without = _with(steps, step, (), keep=False)
            anchor = before or after
            return _with(without, anchor, (step,), keep=True, behind=before is None) if anchor else without
        case Drop(step=step):
            return _with(steps, step, (), keep=False)
        case Add(step=step, new=new, notice=notice):
            fuller = replace(
                step,
                new=(*step.new, *((new,) if new else ())),
                notices=(*step.notices, *((notice,) if notice else ())),
            )
            return _with(steps, step, (fuller,), keep=False)
        case _:
            assert_never(edit)


def _made(verb: Verb, item: ItemId, steps: tuple[Step, ...], before: Step | None) -> Step:
    near = before or steps[-1]
    place = near.place
    origin = Origin(place.file, (place.line, place.column), {})
    return Step(number=near.number, actions=(Action(verb, item, place),), origin=origin)


def _with(
    steps: tuple[Step, ...], anchor: Step, new: tuple[Step, ...], *, keep: bool, behind: bool = False
) -> tuple[Step, ...]:
    """The steps with `new` at the step `anchor`, in whatever branch it lies. A step is known by its origin."""
    found: list[Step] = []
    for step in steps:
        if step.origin is anchor.origin:
            kept = (step,) if keep else ()
            found.extend((*kept, *new) if behind else (*new, *kept))
        elif step.reject:
            found.append(replace(step, reject=_with(step.reject, anchor, new, keep=keep, behind=behind)))
        elif step.out_of_limits:
            found.append(replace(step, out_of_limits=_with(step.out_of_limits, anchor, new, keep=keep, behind=behind)))
        else:
            found.append(step)
    return tuple(found)
