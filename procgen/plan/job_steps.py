"""Makes a plan of a job's nodes in their order: numbers, outcomes, headings, what each procedure costs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from procgen.library.condition import holds
from procgen.library.machine import Procedure
from procgen.plan.duration import minutes_of
from procgen.plan.job_tasks import Chain, free_name, with_outcomes
from procgen.plan.sharing import Node
from procgen.plan.snapshots import complete
from procgen.plan.steps import Plan, PlannedStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """The steps of a job, laid down."""

    plan: Plan
    does: Mapping[str, tuple[tuple[int, str], ...]]
    """For the key of each step: the procedures that it does something for, and the keys of their own steps."""
    extra: tuple[tuple[float, int], ...]
    """For each procedure: the minutes and the steps that only it brings."""


def lay_down(procedure: Procedure, nodes: Sequence[Node], chains: Sequence[Chain]) -> Laid:
    """The job's plan."""
    steps = _with_numbers(_with_headings(nodes))
    names = _outcome_names(steps)
    steps = [with_outcomes(step, names) for step in steps]
    outcomes = {step.outcome: step.key for step in steps if step.outcome}
    every = {name: values for chain in chains for name, values in chain.plan.choices.items()}
    decided = {name for chain in chains for name in chain.plan.outcomes}
    plan = Plan(
        procedure=procedure,
        machine=procedure.machine,
        steps=tuple(steps),
        choices={
            **{name: values for name, values in every.items() if name not in decided},
            **dict.fromkeys(outcomes, (True, False)),
        },
        outcomes=outcomes,
        damaged=any(chain.plan.damaged for chain in chains),
    )
    return Laid(
        plan=plan,
        does={key: tuple(dict.fromkeys(owns)) for node in nodes for key, owns in node.owns.items()},
        extra=tuple(_extra(task, nodes, plan) for task in range(len(chains))),
    )


def _with_headings(nodes: Sequence[Node]) -> list[PlannedStep]:
    """What several procedures share stands under none of their names."""
    return [
        replace(step, groups=step.groups[1:]) if len(node.tasks) > 1 else step for node in nodes for step in node.steps
    ]


def _with_numbers(steps: Sequence[PlannedStep]) -> list[PlannedStep]:
    counts: dict[str, int] = {}
    numbers: dict[str, str] = {}
    result = []
    for step in steps:
        prefix = f"{numbers[step.branch_of]}." if step.branch_of else ""
        counts[prefix] = counts.get(prefix, 0) + 1
        numbers[step.key] = f"{prefix}{counts[prefix]}"
        result.append(replace(step, number=numbers[step.key]))
    return result


def _outcome_names(steps: Sequence[PlannedStep]) -> dict[str, str]:
    """Outcomes by the names that they have in their own procedures, numbered where several are left of one name."""
    names: dict[str, str] = {}
    for step in steps:
        if step.outcome:
            names[step.outcome] = free_name(_base(step.outcome), set(names.values()))
    return names


def _base(name: str) -> str:
    start, bracket, number = name.rpartition(" (")
    return start if bracket and number.rstrip(")").isdigit() else name


def _extra(task: int, nodes: Sequence[Node], plan: Plan) -> tuple[float, int]:
    """What the job would be shorter by without one procedure."""
    usual = complete(plan, {})
    planned = {step.key: step for step in plan.steps}
    minutes, steps = 0.0, 0
    for node in nodes:
        if task not in node.tasks:
            continue
        for step in node.steps:
            now = minutes_of(planned[step.key]) if holds(planned[step.key].when, usual) else 0.0
            others = [took for other, took in node.minutes[step.key].items() if other != task]
            alone = node.tasks == (task,)
            steps += alone
            minutes += now if alone else now - min(now, max(others, default=now))
    return minutes, steps
