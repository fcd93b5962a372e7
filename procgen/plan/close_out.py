"""The close-out list: everything that was disturbed, the step that put it back, its torque, who proves it."""

from dataclasses import dataclass

from procgen.library.condition import ALWAYS, Condition
from procgen.library.items import Aid, Component, Energy, Fastener, Fluid, Line
from procgen.library.origin import ItemId
from procgen.library.state import Verb
from procgen.measure.torque import Torque
from procgen.plan.cases import NONE, UNKNOWN
from procgen.plan.choices import Choices
from procgen.plan.course import Course, Written
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import Structure, structure_of


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseOut:
    """One thing that was disturbed."""

    item: ItemId
    disturbed_by: str
    """Key of the step that first disturbs it."""
    restored_by: str | None
    """Key of the last step that puts it back, outside branches where there is one; None: it is handed on so."""
    torque: Torque | None
    """Of a fastener, where a figure is given."""
    proved_by: str | None
    """Key of the last step that does a check of it; None where there is none."""
    sign: tuple[str, ...]
    """Who signs the step that puts it back, and the one that proves it."""
    when: Condition
    """In which ways through it is disturbed at all."""


def close_out(plan: Plan) -> tuple[CloseOut, ...]:
    """Everything that a plan disturbs and must put back, in the order in which it is first disturbed."""
    structure = structure_of(plan.machine)
    choices = Choices(plan.choices)
    course = Course(structure, {}, choices)
    course.begin(plan.procedure)
    for planned in plan.steps:
        course.take(planned)
    lines = [
        _line(ItemId(fact), written, plan, structure, choices)
        for fact, written in course.written.items()
        if _comes_back(structure, fact) and any(each.value for each in written)
    ]
    order = {planned.key: index for index, planned in enumerate(plan.steps)}
    return tuple(sorted(lines, key=lambda line: order[line.disturbed_by]))


def _comes_back(structure: Structure, fact: str) -> bool:
    item = structure.items.get(fact)
    return isinstance(item, (Component, Fastener, Line, Fluid, Aid)) or (isinstance(item, Energy) and item.is_supplied)


def _line(item: ItemId, written: list[Written], plan: Plan, structure: Structure, choices: Choices) -> CloseOut:
    where = NONE
    for each in written:
        where = where | each.where if each.value else where
    off = next(each.step for each in written if each.value)
    back = [plan.steps[each.step] for each in written if not each.value]
    back = [planned for planned in back if planned.branch_of is None] or back
    record = structure.items[item]
    checks = structure.checks_of(item)
    proving = [planned for planned in plan.steps if _does_one(planned, checks)]
    restoring = back[-1] if back else None
    signing = [each for each in (restoring, *proving[-1:]) if each]
    return CloseOut(
        item=item,
        disturbed_by=plan.steps[off].key,
        restored_by=restoring.key if restoring else None,
        torque=record.torque if isinstance(record, Fastener) else None,
        proved_by=proving[-1].key if proving else None,
        sign=tuple(dict.fromkeys(role for each in signing for role in each.step.sign)),
        when=choices.condition(where, within=choices.cases(plan.procedure.only_for))
        if where is not UNKNOWN
        else ALWAYS,
    )


def _does_one(planned: PlannedStep, checks: tuple[ItemId, ...]) -> bool:
    return any(action.verb is Verb.CHECK and action.item in checks for action in planned.actions)
