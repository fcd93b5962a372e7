"""Words for what the proof of a plan found: who, where, why, in which case, and what to do about it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from procgen.checks.check import Subject
from procgen.finding import Because, Finding, Place, Severity
from procgen.library.items import Item
from procgen.library.library import Library
from procgen.library.origin import Kind
from procgen.library.procedure import Action
from procgen.plan.guards import Fault
from procgen.plan.naming import does, said
from procgen.plan.proof import Breach, Proof
from procgen.plan.remedies import remedy
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import Structure, structure_of


@dataclass(frozen=True, slots=True)
class Case:
    """A breach, with what it takes to speak of it."""

    proof: Proof
    breach: Breach
    library: Library

    @property
    def plan(self) -> Plan:
        """The plan in which it is."""
        return self.proof.plan

    @property
    def items(self) -> Mapping[str, Item]:
        """What the plan's machine consists of."""
        return self.plan.machine.items

    @property
    def structure(self) -> Structure:
        """How the plan's machine hangs together."""
        return structure_of(self.plan.machine, self.library, self.plan.procedure.implied_items)

    @property
    def is_job(self) -> bool:
        """Whether it is in the plan of a job: its lines are procedures, and no edit of theirs is tried."""
        return self.plan.procedure.address.kind is Kind.JOB

    @property
    def of(self) -> str:
        """What is in the way, live, missing."""
        return self.breach.guard.of

    @property
    def item(self) -> str:
        """What is touched."""
        return self.breach.guard.item

    @property
    def planned(self) -> PlannedStep | None:
        """The step at which it is; None at the end."""
        return None if self.breach.step is None else self.plan.steps[self.breach.step]

    @property
    def made_by(self) -> PlannedStep | None:
        """The last step that made it so; None where it was so from the beginning."""
        return self.plan.steps[self.breach.history[-1]] if self.breach.history else None

    @property
    def step(self) -> str:
        """The step as the beginning of a sentence: 'Step 3, "remove coolant-pump",'."""
        return opening(self.items, self.planned, self.breach.action) if self.planned else "At the end"

    def yet(self, state: str) -> str:
        """A state that is so from the beginning, "still on", or has become so, "on again"."""
        return f"{state} again" if self.breach.history else f"still {state}"

    @property
    def place(self) -> Place:
        """The author's line; at the end, the line that made it so, or the procedure's first."""
        planned = self.planned or self.made_by
        return planned.author.place if planned else self.plan.procedure.origin.place


def opening(items: Mapping[str, Item], planned: PlannedStep, action: Action | None) -> str:
    """A step by its author's number and words, and which part of it, where it stands for several."""
    author = planned.author
    words = said(author)
    start = f"Step {author.number}, " + (f'"{words}",' if words else "plain text,")
    own = action is None or any((each.verb, each.item) == (action.verb, action.item) for each in author.actions)
    return start if own or action is None else f"{start} where it {does(items, action)},"


def in_case(choices: Mapping[str, bool | str]) -> str:
    """The choices that make something happen, in the author's words; empty where it always happens."""
    if not choices:
        return ""
    told = [_choice(name, value) for name, value in choices.items()]
    return " It happens with " + (told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}") + "."


def _choice(name: str, value: bool | str) -> str:
    if isinstance(value, str):
        return f"{name} = {value}"
    for good, bad in ((" accepted", " rejected"), (" within limits", " out of limits")):
        if good in name:
            return name if value else name.replace(good, bad)
    return f"{name} {'on' if value else 'off'}"


Words = Callable[[Case], str]
"""The sentence that tells what is wrong."""
Reasons = Callable[[Case], Iterator[Because]]
"""What led to it, beside the steps."""
Advice = Callable[[Case], str]
"""What to do, where no edit was found that works."""


def told(subject: Subject, fault: Fault, words: Words, reasons: Reasons, advice: Advice) -> Iterator[Finding]:
    """The findings about one kind of fault, in every procedure and every job whose order can be judged."""
    for proof in subject.proofs:
        for breach in proof.of(fault):
            case = Case(proof, breach, subject.library)
            edits = () if case.is_job else remedy(proof, breach, subject.library)
            yield Finding(
                check=str(fault),
                severity=Severity.ERROR,
                place=case.place,
                message=words(case) + in_case(breach.smallest),
                when=dict(breach.smallest) or None,
                because=(*reasons(case), *_led_there(case)),
                remedy=", and ".join(str(edit) for edit in edits) or advice(case),
            )


def no_reasons(_case: Case) -> Iterator[Because]:
    """For faults that need no more than the steps that led there."""
    yield from ()


def link(case: Case, item: str, key: str, words: str) -> Iterator[Because]:
    """The line of an item that says how it depends on another."""
    record = case.items.get(item)
    if record:
        yield Because(message=words, place=record.origin.of(key))


def behind(case: Case, item: str, front: str) -> Iterator[Because]:
    """The lines that say that one item is behind another."""
    for there, fronts in case.structure.places(item):
        if front in fronts:
            yield from link(case, there, "behind", f"{there} is behind {front}")


def _led_there(case: Case) -> Iterator[Because]:
    """The component's lines that brought the step, and the steps that made it so."""
    planned = case.planned
    if planned:
        yield from planned.led_by[1:]
        if case.is_job and planned.step.place != planned.author.place:
            yield Because(message=f"step {planned.step.number} there", place=planned.step.place)
    for index in case.breach.history:
        step = case.plan.steps[index]
        yield Because(message=_did(case.items, step, case), place=step.step.place)


def _did(items: Mapping[str, Item], step: PlannedStep, case: Case) -> str:
    facts = {want.fact for want in case.breach.guard.wants} | {case.of}
    action = next((each for each in step.actions if each.item in facts), None) or next(iter(step.actions), None)
    number = f"step {step.author.number}"
    if action is None:
        return f"{number} sets it" if step.step.sets else number
    return f"{number} {does(items, action)}"
