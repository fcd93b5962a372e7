"""Procedures' steps as their authors wrote them. Nothing is expanded here; that is planning."""

from collections.abc import Mapping
from dataclasses import dataclass

from procgen.finding import Place
from procgen.library.condition import ALWAYS, Condition
from procgen.library.origin import (
    Accepted,
    ItemId,
    NoticeId,
    Origin,
    PartId,
    ProcedureId,
    Prose,
    ToolId,
)
from procgen.library.state import State, Verb
from procgen.measure.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Action:
    """What a step does to an item; a step that names several has one action for each, in order."""

    verb: Verb
    item: ItemId
    place: Place


@dataclass(frozen=True, slots=True)
class Follow:
    """Do another procedure here."""

    procedure: ProcedureId
    options: Mapping[str, bool | str]
    """Choices for the followed procedure's options; its defaults stand for the rest."""
    place: Place


@dataclass(frozen=True, slots=True)
class Wait:
    """Let time pass."""

    minutes: float
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Amount:
    """A consumable that a step uses."""

    part: PartId
    quantity: Quantity | None
    """None where the author gives no amount."""
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One map in a list of steps."""

    number: str
    """The author's number: "3", and "3.1" for the first step of a branch of step 3."""
    id: str = ""
    actions: tuple[Action, ...] = ()
    """In the order of doing: loosen before remove, fit before tighten; empty for plain text, follow and wait."""
    follow: Follow | None = None
    wait: Wait | None = None
    do: Prose | None = None
    why: Prose | None = None
    note: Prose | None = None
    notices: tuple[NoticeId, ...] = ()
    tools: tuple[ToolId, ...] = ()
    uses: tuple[Amount, ...] = ()
    new: tuple[PartId, ...] = ()
    figure: str = ""
    """Id of a figure in the step's procedure, or in its machine."""
    see: tuple[ProcedureId, ...] = ()
    minutes: float | None = None
    when: Condition = ALWAYS
    needs: tuple[State, ...] = ()
    sets: tuple[ItemId, ...] = ()
    proof: Prose | None = None
    record: tuple[str, ...] = ()
    """Each a spec's id, or the author's words for what is written down."""
    sign: tuple[str, ...] = ()
    accept: Prose | None = None
    reject: tuple["Step", ...] = ()
    limits: Quantity | None = None
    """The step's own limits; a measured spec brings its own where None."""
    out_of_limits: tuple["Step", ...] = ()
    go_back_to: str = ""
    repeat: int = 1
    repeat_for: Prose | None = None
    reverse_order: bool = False
    accepting: tuple[Accepted, ...] = ()
    origin: Origin
    faulty: frozenset[str] = frozenset()

    @property
    def place(self) -> Place:
        """Where the step begins."""
        return self.origin.place

    @property
    def branch(self) -> tuple["Step", ...]:
        """What is done where the step's inspection or measurement fails."""
        return self.reject or self.out_of_limits


def walk(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Every step, branches after the step that they belong to, in the order in which they are written."""
    found: list[Step] = []
    for step in steps:
        found.append(step)
        found.extend(walk(step.branch))
    return tuple(found)
