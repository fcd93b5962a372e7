"""A job planned: what is done in which order, for whom, and what doing it together saves. Values only."""

from collections.abc import Mapping
from dataclasses import dataclass

from procgen.finding import Because, Finding
from procgen.library.fleet import Job, Logbook, Task
from procgen.library.machine import Procedure
from procgen.library.origin import ItemId
from procgen.plan.steps import Plan, PlannedStep


@dataclass(frozen=True, slots=True, order=True)
class OwnStep:
    """A step of one of a job's procedures, which a step of the job's plan does."""

    task: int
    """Index in `JobPlan.tasks`."""
    key: str
    """Key of the step in that procedure's own plan, as `expand` gives it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTask:
    """One procedure of a job, and what it costs."""

    number: str
    """Its place in the job's `do:`, from 1."""
    task: Task
    procedure: Procedure
    alone: Plan
    """As it would be done by itself on this machine: options chosen, variants known, inspections open."""
    minutes_alone: float
    extra_minutes: float
    """What it costs on top of the others: the job would take so much less without it."""
    extra_steps: int
    """How many steps only it brings, branches included."""

    def own(self, key: str) -> PlannedStep:
        """The step of `alone` that has that key in the procedure's own plan."""
        return self.alone.step(f"{self.number}-{self.procedure.address.id}-{key}")


@dataclass(frozen=True, slots=True, kw_only=True)
class NotShared:
    """Something that several procedures do, and that is done more than once all the same."""

    items: tuple[ItemId, ...]
    """What is disturbed or checked more than once; empty where it is a procedure that is done more than once."""
    tasks: tuple[int, ...]
    """Who does it, as indices in `JobPlan.tasks`; the last of them does it by itself."""
    reason: str
    """Why, in a sentence for the mechanic."""
    because: tuple[Because, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPlan:
    """A job, as it will be done."""

    job: Job
    logbook: Logbook | None
    """None where the job names none that is known."""
    plan: Plan
    """All of it as one plan, whose procedure has the job's address, title, notes and place. Its `author` steps are
    the lines of `do:`. The outermost group of a step names the procedure that it belongs to, unless several share it.
    """
    tasks: tuple[JobTask, ...]
    """In the author's order, without those that the library does not have."""
    does: Mapping[str, tuple[OwnStep, ...]]
    """For the key of each step of the plan: whose steps it does. Several where it is shared."""
    minutes_together: float
    """With every inspection passed: the sum of the steps that give a time."""
    not_shared: tuple[NotShared, ...] = ()
    findings: tuple[Finding, ...] = ()
    """What cannot be expanded, told at the procedures already."""

    @property
    def minutes_alone(self) -> float:
        """What the procedures take one after the other, each by itself."""
        return sum(task.minutes_alone for task in self.tasks)

    @property
    def minutes_saved(self) -> float:
        """What is saved by doing them together."""
        return self.minutes_alone - self.minutes_together

    @property
    def steps_alone(self) -> int:
        """How many steps the procedures have one after the other, branches included."""
        return sum(len(task.alone.steps) for task in self.tasks)

    def shared_by(self, key: str) -> tuple[JobTask, ...]:
        """The procedures that a step of the plan is done for."""
        return tuple(self.tasks[index] for index in sorted({own.task for own in self.does.get(key, ())}))
