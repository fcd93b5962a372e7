"""Mutants of a procedure: what a slip of the pen does to it."""

from collections.abc import Iterator
from dataclasses import replace

from procgen.library.condition import ALWAYS, Not
from procgen.library.machine import Procedure
from procgen.library.procedure import Step
from procgen.library.state import Verb

Steps = tuple[Step, ...]


def mutants(procedure: Procedure) -> Iterator[tuple[str, Procedure]]:
    """Every mutant, with what was done: a step dropped, swapped with its neighbour or moved anywhere in its list, a
    `when` dropped or negated, a branch dropped, an aid's withdrawal dropped."""
    for told, steps in _lists(procedure.steps):
        yield told, replace(procedure, steps=steps)


def _lists(steps: Steps) -> Iterator[tuple[str, Steps]]:
    for index, step in enumerate(steps):
        without = steps[:index] + steps[index + 1 :]
        yield f"drop {step.number}", without
        for place in range(len(without) + 1):
            if place != index:
                how = "swap" if place == index + 1 else "move"
                yield f"{how} {step.number} to {place + 1}", (*without[:place], step, *without[place:])
        for told, changed in _changed(step):
            yield told, (*steps[:index], *changed, *steps[index + 1 :])


def _changed(step: Step) -> Iterator[tuple[str, Steps]]:
    if step.when != ALWAYS:
        yield f"drop the when of {step.number}", (replace(step, when=ALWAYS),)
        yield f"negate the when of {step.number}", (replace(step, when=Not(step.when)),)
    if step.branch:
        yield f"drop the branch of {step.number}", (replace(step, reject=(), out_of_limits=()),)
        key = "reject" if step.reject else "out_of_limits"
        for told, branch in _lists(step.branch):
            if branch:
                yield told, (replace(step, **{key: branch}),)  # type: ignore[arg-type]
    withdrawn = [action for action in step.actions if action.verb is Verb.WITHDRAW]
    for action in withdrawn:
        left = tuple(each for each in step.actions if each is not action)
        yield f"drop the withdrawal of {action.item} from {step.number}", (replace(step, actions=left),)
