"""Sets of procedures on one kind of machine, as jobs: each is planned once, on however many machines of it.

The minutes are those of the merged plan, as a job would have it. Nothing is estimated.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from procgen.library.fleet import Job, Task
from procgen.library.items import Component, Fluid, Line
from procgen.library.library import Library
from procgen.library.origin import ItemId
from procgen.library.procedure import Action
from procgen.library.state import DISTURBS, RESTORES
from procgen.plan.blocks import can_be_shared
from procgen.plan.duration import minutes_of, usual_minutes
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
        self._alone: dict[tuple[_OnKind, _Work], tuple[Plan, Access]] = {}

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

    def most_saved(self, job: Job, more: Job) -> tuple[float, float]:
        """No more minutes than these can be saved by doing `more` with a job; and what `more` takes by itself.

        At most those steps are shared, outside branches, that are written in one place or make the same change.
        """
        done: set[object] = set()
        for task in job.do:
            for step in self._by_itself(replace(job, do=(task,)))[0].steps:
                done.update(_could_share(step))
        plans = [self._by_itself(replace(more, do=(task,)))[0] for task in more.do]
        saved = (minutes_of(step) for plan in plans for step in plan.steps if not done.isdisjoint(_could_share(step)))
        return sum(saved), sum(map(usual_minutes, plans))

    def _opened_by(self, alone: Job) -> Access:
        return self._by_itself(alone)[1]

    def _by_itself(self, alone: Job) -> tuple[Plan, Access]:
        key = self._kind(alone), _work(alone.do)
        if key not in self._alone:
            (chain,) = chains(alone, self.library)
            self._alone[key] = chain.plan, _access(chain.plan)
        return self._alone[key]

    def _kind(self, job: Job) -> _OnKind:
        logbook = self.library.logbooks.get(job.logbook)
        return (logbook.machine, frozenset(logbook.variants.items())) if logbook else ("", frozenset())


def _work(tasks: Iterable[Task]) -> _Work:
    return tuple((task.procedure, frozenset(task.options.items())) for task in tasks)


def _access(plan: Plan) -> Access:
    # What is done in a branch is never shared.
    items = dict.fromkeys(item for step in plan.steps if step.branch_of is None for item in opened_by(step, plan))
    touching = [(minutes_of(step), {action.item for action in step.actions if _moves(action)}) for step in plan.steps]
    return {item: sum(minutes for minutes, touched in touching if item in touched) for item in items}


def _could_share(step: PlannedStep) -> Iterator[object]:
    """What two procedures may have in common in a step: where it is written, the changes and the check that it does."""
    if step.branch_of is None:
        yield step.step.place
        yield from ((action.verb, action.item) for action in step.actions if can_be_shared(action))


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
