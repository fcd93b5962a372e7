"""The procedures of a job, each compiled by itself for the machine that the job is done on.

A job is compiled like a procedure that follows others: its `do:` lines are the author's steps. Options are settled by
the job, variants by the logbook. Where a component says how it comes off or goes back, that is how it is done, whatever
words the procedure has for it; unless the procedure's own later steps build on its own words, and the order would fail.
"""

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from procgen.finding import Finding
from procgen.library.condition import NEVER, renamed
from procgen.library.fleet import Job, Task
from procgen.library.items import Change, Component, Item
from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.library.origin import Address, Kind, ProcedureId
from procgen.library.procedure import Action, Follow, Step, walk
from procgen.library.state import Verb
from procgen.plan.expand import expand
from procgen.plan.frames import settled
from procgen.plan.proof import prove
from procgen.plan.steps import Plan, PlannedStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """One procedure of a job as it would be done by itself."""

    number: str
    """Its place in the job's `do:`, from 1."""
    task: Task
    procedure: Procedure
    plan: Plan
    findings: tuple[Finding, ...]

    @property
    def prefix(self) -> str:
        """What the keys of its steps begin with; the rest is the key in the procedure's own plan."""
        return f"{self.number}-{self.procedure.address.id}-"


def chains(job: Job, library: Library) -> tuple[Chain, ...]:
    """The procedures of a job, those that the library does not have left out."""
    machine = _machine(job, library)
    return tuple(
        _chain(job, str(number), task, machine, library)
        for number, task in enumerate(job.do, 1)
        if task.procedure in library.procedures
    )


def follower(job: Job, procedures: Mapping[ProcedureId, Procedure], machine: Machine) -> Procedure:
    """A job as a procedure that follows those that it does, one after the other."""
    return Procedure(
        address=job.address,
        title=job.title,
        note=job.note,
        accepting=job.accepting,
        origin=job.origin,
        faulty=job.faulty,
        machine=machine,
        date=job.planned.isoformat() if job.planned else "",
        notices=tuple(dict.fromkeys(notice for each in procedures.values() for notice in each.notices)),
        figures={name: figure for each in procedures.values() for name, figure in each.figures.items()},
        steps=tuple(_line(str(number), task) for number, task in enumerate(job.do, 1) if task.procedure in procedures),
        implied_items=frozenset(item for each in procedures.values() for item in each.implied_items),
    )


def _line(number: str, task: Task) -> Step:
    place = task.origin.place
    return Step(
        number=number, follow=Follow(procedure=task.procedure, options=task.options, place=place), origin=task.origin
    )


def _machine(job: Job, library: Library) -> Machine:
    """The job's machine, with the variants that the logbook knows."""
    logbook = library.logbooks.get(job.logbook)
    known = logbook.variants if logbook else {}
    machine = library.machines.get(logbook.machine) if logbook else None
    if machine is None:
        first = next(library.procedures[each.procedure] for each in job.do if each.procedure in library.procedures)
        machine = first.machine
    return replace(
        machine,
        variants={
            name: (known[name],) if known.get(name) in values else values for name, values in machine.variants.items()
        },
    )


def _chain(job: Job, number: str, task: Task, machine: Machine, library: Library) -> Chain:
    procedure = library.procedures[task.procedure]
    plan, findings = _compiled(job, number, task, machine, library)
    reworded = replace(procedure, steps=tuple(_by_components(procedure.steps, procedure.machine.items)))
    if reworded.steps != procedure.steps:
        other = library.with_procedure(reworded)
        by_components, found = _compiled(job, number, task, machine, other)
        if len(prove(by_components, library).breaches) <= len(prove(plan, library).breaches):
            plan, findings = by_components, found
    return Chain(number=number, task=task, procedure=procedure, plan=plan, findings=findings)


def _compiled(
    job: Job, number: str, task: Task, machine: Machine, library: Library
) -> tuple[Plan, tuple[Finding, ...]]:
    procedure = library.procedures[task.procedure]
    alone = replace(job, do=(task,))
    carrier = follower(alone, {task.procedure: procedure}, machine)
    # No procedure can have this id, so that none is taken for one that follows itself.
    address = Address(Kind.JOB, f"job {job.address.id}")
    carrier = replace(carrier, address=address, steps=(_line(number, task),), accepting=())
    plan, findings = expand(carrier, library)
    variants = {name: values[0] for name, values in plan.machine.variants.items() if len(values) == 1}
    steps = tuple(_settled(plan.steps, variants))
    left = {step.key for step in steps}
    return replace(
        plan,
        steps=steps,
        choices={name: values for name, values in plan.choices.items() if name not in variants},
        outcomes={name: key for name, key in plan.outcomes.items() if key in left},
        unreached=(),
    ), findings


def _settled(steps: tuple[PlannedStep, ...], variants: Mapping[str, bool | str]) -> Iterator[PlannedStep]:
    """The steps that there are on a machine of these variants."""
    for planned in steps:
        when = settled(planned.when, variants)
        if when != NEVER:
            assumes = tuple(replace(each, when=settled(each.when, variants)) for each in planned.assumes)
            yield replace(planned, when=when, assumes=assumes)


def _by_components(steps: tuple[Step, ...], items: Mapping[str, Item]) -> Iterator[Step]:
    """The steps with the procedure's own words taken away where a component says how it comes off or goes back."""
    for step in steps:
        changed = replace(
            step,
            reject=tuple(_by_components(step.reject, items)),
            out_of_limits=tuple(_by_components(step.out_of_limits, items)),
        )
        described = {_doing(action) for action in step.actions if _own_steps(action, items)}
        if step.do is None or not described:
            yield changed
            continue
        done = {
            _doing(inner) for action in step.actions for each in _own_steps(action, items) for inner in each.actions
        }
        actions = tuple(each for each in step.actions if _doing(each) in described or _doing(each) not in done)
        yield replace(changed, do=None, minutes=None, actions=actions)


def _own_steps(action: Action, items: Mapping[str, Item]) -> tuple[Step, ...]:
    item = items.get(action.item)
    change: Change | None = None
    if isinstance(item, Component):
        change = {Verb.REMOVE: item.remove, Verb.FIT: item.fit}.get(action.verb)
    return walk(change.steps) if change else ()


def _doing(action: Action) -> tuple[Verb, str]:
    return action.verb, action.item


def distinct(found: Sequence[Chain]) -> tuple[Chain, ...]:
    """The chains with a name of its own for every outcome."""
    taken: set[str] = set()
    result = []
    for chain in found:
        names = {}
        for name in chain.plan.outcomes:
            names[name] = free_name(name, taken)
            taken.add(names[name])
        result.append(replace(chain, plan=_with_names(chain.plan, names)))
    return tuple(result)


def free_name(name: str, taken: Container[str]) -> str:
    """The name, with a number where it is taken."""
    unique, again = name, 2
    while unique in taken:
        unique, again = f"{name} ({again})", again + 1
    return unique


def _with_names(plan: Plan, names: Mapping[str, str]) -> Plan:
    return replace(
        plan,
        steps=tuple(with_outcomes(step, names) for step in plan.steps),
        choices={names.get(name, name): values for name, values in plan.choices.items()},
        outcomes={names[name]: key for name, key in plan.outcomes.items()},
    )


def with_outcomes(planned: PlannedStep, names: Mapping[str, str]) -> PlannedStep:
    """A step with other names for the outcomes that it depends on or decides."""
    return replace(
        planned,
        when=renamed(planned.when, names),
        outcome=names.get(planned.outcome, planned.outcome) if planned.outcome else None,
        assumes=tuple(replace(each, when=renamed(each.when, names)) for each in planned.assumes),
    )
