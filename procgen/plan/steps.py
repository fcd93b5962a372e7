"""A procedure as it will be done: the value that checks, pages and jobs share."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from procgen.finding import Because
from procgen.library.condition import Condition
from procgen.library.machine import Machine, Procedure
from procgen.library.origin import ItemId
from procgen.library.procedure import Action, Step
from procgen.library.state import State, Verb


class Maker(StrEnum):
    """Who wrote a step's words."""

    AUTHOR = "author"
    """The procedure's own step."""
    COMPONENT = "component"
    """The component's own remove or fit steps."""
    DATA = "data"
    """The program, from the item's data."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The `open`, `close` or `follow`, or the component's own steps, that brought a run of steps."""

    key: str
    """Unique in the plan."""
    verb: Verb
    item: ItemId | None
    """None for `follow`."""
    title: str
    """"Get at the coolant pump", "Make the engine safe"."""
    number: str
    """Number of the author's step that asked for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """A state that a followed procedure starts with."""

    state: State
    when: Condition
    """Where it is followed at all; the step that carries it may be done more rarely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """One step as it will be done."""

    key: str
    """Unique in the plan and stable while the procedure is: fit for an anchor."""
    number: str
    """As printed: "12", and "12.1" in a branch."""
    step: Step
    """The step with its words, tools, notices, signatures; made from data where nobody wrote one."""
    actions: tuple[Action, ...]
    """As the step's own, but for `open`, `close` and `follow`, which are no actions any more."""
    maker: Maker
    when: Condition
    """Path condition over options, variants and outcomes: when this step is done at all."""
    outcome: str | None = None
    """The name of the outcome that this step decides: True for accepted or within limits."""
    branch_of: str | None = None
    """Key of the step whose failed outcome leads here."""
    depth: int = 0
    """How many branches deep it lies."""
    groups: tuple[Group, ...] = ()
    """Outermost first; empty for a step that the author wrote where it stands."""
    led_by: tuple[Because, ...] = ()
    """The lines that it came from, the author's own step first."""
    author: Step
    """The procedure's own step that it came from: itself, or the one that opens, closes, removes, follows."""
    go_back_to: str | None = None
    """Key of the step to which it goes back when it is done."""
    assumes: tuple[Assumed, ...] = ()
    """What a followed procedure that begins here starts with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A procedure, or a job, compiled to steps."""

    procedure: Procedure
    machine: Machine
    steps: tuple[PlannedStep, ...]
    """Branches stand after the step that they belong to."""
    choices: Mapping[str, tuple[bool | str, ...]]
    """Every name that a path condition may use (options, variants, outcomes), and the values that it can have."""
    outcomes: Mapping[str, str]
    """For each outcome the key of the step that decides it."""
    unreached: tuple[Step, ...] = ()
    """The procedure's own steps that no way through comes to; what lies in their branches is not counted again."""
    damaged: bool = False
    """Some step of the procedure, or of one that it follows, could not be read: its order proves nothing."""

    def step(self, key: str) -> PlannedStep:
        """The step that has that key. Raises KeyError where there is none."""
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)
