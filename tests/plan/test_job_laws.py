"""Laws of planning jobs, on many small libraries."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from hypothesis import HealthCheck, assume, given, settings

from procgen.library.library import Library
from procgen.library.state import DISTURBS, RESTORES
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.steps import Plan, PlannedStep
from tests.plan.jobs import Written, faults, jobs

LAWS = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow]
)


def sound(written: Written) -> tuple[JobPlan, Library]:
    """The plan of a job whose procedures are faultless, each by itself on this machine."""
    library = written.library
    job = plan_job(written.job(library), library)
    for task in job.tasks:
        assume(not faults(task.alone, library))
    return job, library


def changes(plan: Plan) -> Counter[tuple[str, str]]:
    """How often each change is made outside branches."""
    return Counter(
        (str(action.verb), str(action.item))
        for step in plan.steps
        if step.branch_of is None
        for action in step.actions
        if action.verb in DISTURBS or action.verb in RESTORES
    )


@LAWS
@given(jobs())
def test_a_job_has_no_fault_that_its_procedures_do_not_have(written: Written) -> None:
    job, library = sound(written)
    assert faults(job.plan, library) == set()


@LAWS
@given(jobs())
def test_what_is_shared_is_done_once(written: Written) -> None:
    job, _ = sound(written)
    assume(not job.not_shared)
    most: Counter[tuple[str, str]] = Counter()
    for task in job.tasks:
        most |= changes(task.alone)
    assert changes(job.plan) == most


@LAWS
@given(jobs())
def test_every_step_of_every_procedure_is_done_in_its_order(written: Written) -> None:
    job, _ = sound(written)
    for index, task in enumerate(job.tasks):
        prefix = f"{task.number}-{task.procedure.address.id}-"
        places: dict[str, list[int]] = {}
        for place, step in enumerate(job.plan.steps):
            for own in job.does[step.key]:
                if own.task == index:
                    places.setdefault(prefix + own.key, []).append(place)
        tops = [step for step in task.alone.steps if step.branch_of is None]
        assert all(step.key in places for step in tops)
        for before, after in pairwise(tops):
            assert min(places[before.key]) <= max(places[after.key])
            if len(places[before.key]) == len(places[after.key]) == 1:
                assert places[before.key][0] <= places[after.key][0]


@LAWS
@given(jobs())
def test_together_is_never_longer_than_one_after_the_other(written: Written) -> None:
    job, _ = sound(written)
    assert len(job.plan.steps) <= job.steps_alone
    assert job.minutes_together <= job.minutes_alone
    assert job.minutes_saved >= 0


@LAWS
@given(jobs())
def test_the_same_library_gives_the_same_plan(written: Written) -> None:
    first, second = written.library, written.library
    assert repr(plan_job(written.job(first), first)) == repr(plan_job(written.job(second), second))


@LAWS
@given(jobs(most=3))
def test_what_a_procedure_costs_on_top_is_what_the_job_is_shorter_by_without_it(written: Written) -> None:
    job, _ = sound(written)
    assume(not job.not_shared)
    for left_out in job.tasks:
        without = written.text.replace(
            "do: [" + ", ".join(task.procedure.address.id for task in job.tasks) + "]",
            "do: [" + ", ".join(task.procedure.address.id for task in job.tasks if task != left_out) + "]",
        )
        smaller = Written(without).library
        rest = plan_job(Written(without).job(smaller), smaller)
        assume(not rest.not_shared)
        assert left_out.extra_minutes == job.minutes_together - rest.minutes_together


@LAWS
@given(jobs())
def test_what_is_done_more_than_once_is_told_with_a_reason(written: Written) -> None:
    job, _ = sound(written)
    most: Counter[tuple[str, str]] = Counter()
    for task in job.tasks:
        most |= changes(task.alone)
    told = {item for each in job.not_shared for item in each.items}
    assert {item for (_, item), times in changes(job.plan).items() if times > most[_, item]} <= told
    assert all(each.reason.endswith(".") and len(each.tasks) > 1 for each in job.not_shared)


# The least number of steps, by trying every order


Run = tuple[PlannedStep, ...]


def runs(plan: Plan) -> list[Run]:
    """A plan's steps, each with its branch."""
    found: list[list[PlannedStep]] = []
    for step in plan.steps:
        if step.branch_of is None:
            found.append([])
        found[-1].append(step)
    return [tuple(each) for each in found]


def same(left: Run, right: Run) -> bool:
    """Whether two steps make the same changes, and nothing else."""
    mine, theirs = ([(action.verb, action.item) for action in run[0].actions] for run in (left, right))
    return bool(mine) and mine == theirs and all(verb in DISTURBS or verb in RESTORES for verb, _ in mine)


def woven(left: list[Run], right: list[Run]) -> Iterator[list[Run]]:
    """Every way to do two lists of steps, each in its order, with any of the same steps done once."""
    if not left or not right:
        yield [*left, *right]
        return
    for rest in woven(left[1:], right):
        yield [left[0], *rest]
    for rest in woven(left, right[1:]):
        yield [right[0], *rest]
    if same(left[0], right[0]):
        for rest in woven(left[1:], right[1:]):
            yield [left[0], *rest]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(jobs(plain=True))
def test_there_is_no_safe_plan_with_fewer_steps(written: Written) -> None:
    job, library = sound(written)
    one, other = (runs(task.alone) for task in job.tasks)
    assume(len(one) + len(other) <= 11)
    for ways in sorted(woven(one, other), key=lambda way: sum(map(len, way))):
        count = sum(map(len, ways))
        if count >= len(job.plan.steps):
            break
        shorter = _replaced(job.plan, tuple(step for run in ways for step in run))
        assert faults(shorter, library), [step.key for step in shorter.steps]


def _replaced(plan: Plan, steps: Run) -> Plan:
    return replace(
        plan, steps=steps, choices={**plan.choices, **{s.outcome: (True, False) for s in steps if s.outcome}}
    )
