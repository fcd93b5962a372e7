"""Every step that an author wrote, once, wherever it stands: in a procedure, or in how a component comes off and goes
back. For checks of what a step says, not of when it is done."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.checks.check import Subject
from procgen.library.items import Component, Item
from procgen.library.procedure import Step, walk
from procgen.plan.naming import said, the


@dataclass(frozen=True, slots=True)
class Written:
    """A step, and what it can name."""

    step: Step
    items: Mapping[str, Item]
    whose: str
    """Of what it is a step, for a sentence: empty for a procedure, else " of how the upper cover comes off"."""
    implied: frozenset[str] = frozenset()
    """Items of which nothing is declared."""

    @property
    def name(self) -> str:
        """The step as the beginning of a sentence."""
        words = said(self.step)
        return f"Step {self.step.number}{self.whose}" + (f', "{words}",' if words else "")


def written_steps(subject: Subject) -> tuple[Written, ...]:
    """Every step of what is looked at, in the order of the files, branches included."""
    return subject.worked_out(_written)


def _written(subject: Subject) -> Iterator[Written]:
    for machine in subject.machines:
        yield from _in_components(machine.items, machine.items)
    for procedure in subject.procedures:
        items = procedure.machine.items
        yield from _in_components({name: items[name] for name in procedure.local_items}, items)
        implied = frozenset(str(name) for name in procedure.implied_items)
        yield from (Written(step, items, "", implied) for step in procedure.every_step())


def _in_components(own: Mapping[str, Item], items: Mapping[str, Item]) -> Iterator[Written]:
    for item in own.values():
        if isinstance(item, Component):
            for change, how in ((item.remove, "comes off"), (item.fit, "goes back")):
                for step in walk(change.steps if change else ()):
                    yield Written(step, items, f" of how {the(items, item.id)} {how}")
