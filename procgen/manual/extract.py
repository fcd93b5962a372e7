"""What the rest of a manual says of a procedure: all that other pages show of it, without its steps.

It is small, and is made while the procedure's plan is at hand. So a page that lists a thousand procedures asks for the
plans of none.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.library.library import Library
from procgen.library.origin import Accepted, Address, Kind, Prose
from procgen.manual.conditions import may_hold
from procgen.manual.paths import figure_path
from procgen.manual.work import StepMark, Touched, mark_of, touched
from procgen.plan.duration import minutes_of
from procgen.plan.steps import Plan

_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Extract:
    """One procedure, as other pages know it."""

    minutes: float
    """Its usual working time; 0 where nobody says."""
    touches: Mapping[Address, Touched]
    """Everything that its steps name outside their texts, and the steps."""
    about: str
    """Titles and numbers of what its steps handle, for Find."""
    words: str
    """The words of its texts, each once, for Find."""
    accepting: tuple[Accepted, ...]
    """What it accepts as a whole."""
    accepting_at: tuple[tuple[Accepted, StepMark | None], ...]
    """What its steps accept, and which; None for a step that is never done."""
    pictures: Mapping[str, str]
    """Its figures: where each goes in the manual, and its file."""
    is_disputed: bool
    """Sources differ on the procedure itself."""


def extract(plan: Plan, library: Library) -> Extract:
    """What other pages say of the procedure with that plan."""
    procedure = plan.procedure
    pictures = ((figure_path(figure), figure.file) for figure in procedure.figures.values())
    return Extract(
        minutes=usual_minutes(plan),
        touches=_touches(plan, library),
        about=_about(plan, library),
        words=_words(plan),
        accepting=procedure.accepting,
        accepting_at=tuple(
            (each, _printed(plan, step.number)) for step in procedure.every_step() for each in step.accepting
        ),
        pictures={path: file for path, file in pictures if path},
        is_disputed=bool(procedure.other_values),
    )


def usual_minutes(plan: Plan) -> float:
    """The time with every option as preset and every inspection passed: the sum of the steps that give one.

    What depends on a variant counts: the page is for all of them.
    """
    usual: dict[str, bool | str] = {id_: option.default for id_, option in plan.procedure.options.items()}
    usual.update(dict.fromkeys(plan.outcomes, True))
    return sum(minutes_of(planned) for planned in plan.steps if may_hold(planned.when, usual) is not False)


def _printed(plan: Plan, number: str) -> StepMark | None:
    """How the author's step of that number is printed; a fold's first step where the step became one."""
    for planned in plan.steps:
        if (planned.groups[0].number if planned.groups else planned.step.number) == number:
            return mark_of(planned)
    return None


def _touches(plan: Plan, library: Library) -> Mapping[Address, Touched]:
    found: dict[Address, dict[StepMark, None]] = {}
    for planned in plan.steps:
        for address in touched(planned, plan, library):
            found.setdefault(address, {})[mark_of(planned)] = None
    own = plan.procedure.address.id
    return {
        address: Touched(tuple(marks), f"{own} {' '.join(map(' '.join, marks))}") for address, marks in found.items()
    }


def _about(plan: Plan, library: Library) -> str:
    items = plan.procedure.machine.items
    titles: dict[str, None] = {plan.procedure.address.id: None}
    for planned in plan.steps:
        titles.update((items[action.item].title, None) for action in planned.actions if action.item in items)
        parts = (*planned.step.new, *(amount.part for amount in planned.step.uses))
        for kind, ids in ((Kind.PART, parts), (Kind.TOOL, planned.step.tools)):
            for record in filter(None, (library.find(Address(kind, id_)) for id_ in ids)):
                titles.update({record.title: None, getattr(record, "number", ""): None})
    return " ".join(filter(None, titles))


def _words(plan: Plan) -> str:
    words = (word for text in _texts(plan) if text for word in _WORD.findall(text.text.lower()))
    return " ".join(dict.fromkeys(words))


def _texts(plan: Plan) -> Iterator[Prose | None]:
    yield from (plan.procedure.summary, plan.procedure.note)
    for step in plan.procedure.every_step():
        yield from (step.do, step.why, step.note, step.accept, step.proof)
