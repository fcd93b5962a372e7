"""Sets of procedures on one kind of machine, as jobs: each is planned once, on however many machines of it.

The minutes are those of the merged plan, as a job would have it. Nothing is estimated.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from procgen.library.fleet import Job, Task
from procgen.library.items import Component, Fluid, Line
from procgen.library.library import Library
from procgen.library.origin import ItemId
from procgen.library.procedure import Action
from procgen.library.state import DISTURBS, RESTORES
from procgen.plan.duration import minutes_of
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.job_tasks import chains
from procgen.plan.steps import Plan, PlannedStep

_OnKind = tuple[str, frozenset[tuple[str, str]]]
"""A machine, and the variants that are known of the individual one."""
_Work = tuple[tuple[str, frozenset[tuple[str, object]]], ...]

Access = Mapping[ItemId, float]
"""What is taken off, parted or drained, and the minutes of the steps that do it and put it back."""


class Together:
    """What procedures come to when they are done together."""

    def __init__(self, library: Library) -> None:
        """Nothing is planned before it is asked for."""
        self.library = library
        self._planned: dict[tuple[_OnKind, _Work], JobPlan] = {}
        self._opened: dict[tuple[_OnKind, _Work], Access] = {}

    def plan(self, job: Job) -> JobPlan:
        """The procedures of a job planned for a machine like its own: its steps and times hold, its names may not.

        Raises ValueError where the library has none of them.
        """
        key = self._kind(job), _work(job.do)
        if key not in self._planned:
            self._planned[key] = plan_job(job, self.library)
        return self._planned[key]

    def opened(self, job: Job) -> Access:
        """All that its procedures take off, part or drain by themselves. Only what two have among it can be shared."""
        found: dict[ItemId, float] = {}
        for task in job.do:
            for item, minutes in self._opened_by(replace(job, do=(task,))).items():
                found[item] = max(minutes, found.get(item, 0.0))
        return found

    def _opened_by(self, alone: Job) -> Access:
        key = self._kind(alone), _work(alone.do)
        if key not in self._opened:
            (chain,) = chains(alone, self.library)
            self._opened[key] = _access(chain.plan)
        return self._opened[key]

    def _kind(self, job: Job) -> _OnKind:
        logbook = self.library.logbooks.get(job.logbook)
        return (logbook.machine, frozenset(logbook.variants.items())) if logbook else ("", frozenset())


def _work(tasks: Iterable[Task]) -> _Work:
    return tuple((task.procedure, frozenset(task.options.items())) for task in tasks)


def _access(plan: Plan) -> Access:
    items = dict.fromkeys(item for step in plan.steps for item in opened_by(step, plan))
    touching = [(minutes_of(step), {action.item for action in step.actions if _moves(action)}) for step in plan.steps]
    return {item: sum(minutes for minutes, touched in touching if item in touched) for item in items}


def _moves(action: Action) -> bool:
    return action.verb in DISTURBS or action.verb in RESTORES


def opened_by(step: PlannedStep, plan: Plan) -> tuple[ItemId, ...]:
    """What a step takes off, parts or drains."""
    items = plan.machine.items
    return tuple(
        action.item
        for action in step.actions
        if action.verb in DISTURBS and isinstance(items.get(action.item), (Component, Line, Fluid))
    )
