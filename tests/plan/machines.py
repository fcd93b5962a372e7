"""Machines and procedures made by dice: small, tangled, and mostly unsafe. The same dice give the same procedure."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from pathlib import Path
from random import Random
from typing import Any, TypeVar

from procgen.finding import Place
from procgen.library.catalogue import Level, Manual, Notice, Part
from procgen.library.condition import ALWAYS, All, Condition, Is, Not
from procgen.library.condition import Any as AnyOf
from procgen.library.items import (
    Aid,
    Change,
    Check,
    Component,
    Energy,
    Fastener,
    Fluid,
    Item,
    Line,
    MachineCondition,
    Spec,
)
from procgen.library.library import Library
from procgen.library.machine import After, Before, Machine, Never, Option, Procedure, Rule
from procgen.library.origin import Address, ItemId, Kind, NoticeId, Origin, PartId, Prose
from procgen.library.procedure import Action, Step
from procgen.library.state import DISTURBS, RESTORES, Act, State, Verb
from procgen.measure.quantity import parse_quantity

T = TypeVar("T")
PLACE = Place("m.yaml", 1, 1)
COMPONENTS = ("c0", "c1", "c2", "c3")
FASTENERS = ("f0", "f1", "f2")
LINES = ("l0", "l1")
ITEMS = (*COMPONENTS, *FASTENERS, *LINES, "w0", "e0", "h0", "a0", "k0", "v0")
"""Everything that has a state: w0 a fluid, e0 and h0 energies, a0 an aid, k0 a condition, v0 a check."""
VERBS: dict[Verb, tuple[str, ...]] = {
    Verb.REMOVE: COMPONENTS,
    Verb.FIT: COMPONENTS,
    Verb.LOOSEN: FASTENERS,
    Verb.TIGHTEN: FASTENERS,
    Verb.DISCONNECT: LINES,
    Verb.CONNECT: LINES,
    Verb.DRAIN: ("w0",),
    Verb.FILL: ("w0",),
    Verb.ISOLATE: ("e0",),
    Verb.RESTORE: ("e0",),
    Verb.RELEASE: ("h0",),
    Verb.PLACE: ("a0",),
    Verb.WITHDRAW: ("a0",),
    Verb.INSPECT: (*COMPONENTS, *FASTENERS, "s0"),
    Verb.CHECK: ("v0",),
    Verb.TURN: ("c0",),
    Verb.RUN: ("c0",),
}
CHANGES = tuple(verb for verb in VERBS if verb in DISTURBS or verb in RESTORES)


class Dice:
    """Throws for everything that a drawn procedure needs."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.lines = count(1)

    def one(self, values: Sequence[T]) -> T:
        return values[self.random.randrange(len(values))]

    def chance(self, one_in: int) -> bool:
        return self.random.randrange(one_in) == 0

    def some(self, names: Sequence[str], most: int = 2) -> tuple[ItemId, ...]:
        chosen = [self.one(names) for _ in range(self.random.randrange(most + 1))] if names else []
        return tuple(ItemId(name) for name in dict.fromkeys(chosen))

    def rarely(self, names: Sequence[str], most: int = 1) -> tuple[ItemId, ...]:
        return self.some(names, most) if self.chance(3) else ()

    def origin(self) -> Origin:
        return Origin("p.yaml", (next(self.lines), 1), {})

    def known(self, kind: Kind, name: str) -> dict[str, Any]:
        return {"address": Address(kind, name, "m"), "title": name, "origin": self.origin()}

    # Machines

    def act(self) -> Act:
        verb = self.one(tuple(VERBS))
        return Act(verb, ItemId(self.one(VERBS[verb])), PLACE)

    def state(self) -> State:
        return State(ItemId(self.one(ITEMS)), self.chance(2), PLACE)

    def states(self, one_in: int = 2) -> tuple[State, ...]:
        return (self.state(),) if self.chance(one_in) else ()

    def rule(self) -> Rule:
        common: dict[str, Any] = {"id": "", "because": None, "level": Level.WARNING, "origin": self.origin()}
        which = self.random.randrange(3)
        if which == 0:
            held = (self.state(), *self.states(3))
            return Never(act=self.act(), while_=held, unless=self.states(), **common)
        if which == 1:
            return Before(act=self.act(), need=(self.state(), *self.states(3)), **common)
        return After(act=self.act(), must=self.act(), before=self.act() if self.chance(2) else None, **common)

    def change(self) -> Change | None:
        if not self.chance(6):
            return None
        verbs = [verb for verb in CHANGES if verb not in (Verb.REMOVE, Verb.FIT)]
        actions = [self.action(verbs) for _ in range(self.random.randrange(4))]
        own = tuple(Step(number=str(n), actions=(each,), origin=self.origin()) for n, each in enumerate(actions, 1))
        return Change(needs=self.states(3), steps=own, origin=self.origin())

    def component(self, index: int) -> Component:
        deeper = COMPONENTS[index + 1 :]
        return Component(
            **self.known(Kind.COMPONENT, COMPONENTS[index]),
            behind=(*self.some(deeper), *self.rarely((*LINES, "a0"))),
            held_by=self.some(FASTENERS),
            lines=self.some(LINES, 1),
            wet_with=self.some(("w0",), 1),
            exposed_to=self.some(("e0", "h0"), 1),
            rides_with=self.rarely(deeper),
            renew=(PartId("g0"),) if self.chance(4) else (),
            part=PartId("g1") if self.chance(4) else None,
            mass=parse_quantity("30 kg") if self.chance(3) else None,
            vital=self.chance(3),
            remove=self.change(),
            fit=self.change(),
        )

    def line(self, name: str) -> Line:
        return Line(
            **self.known(Kind.LINE, name),
            held_by=self.rarely(FASTENERS),
            carries=self.some(("w0",), 1),
            behind=self.rarely(COMPONENTS),
            exposed_to=self.rarely(("e0",)),
        )

    def machine(self) -> Machine:
        run, turn = (Act(verb, ItemId("c0"), PLACE) for verb in (Verb.RUN, Verb.TURN))
        items: list[Item] = [self.component(index) for index in range(len(COMPONENTS))]
        items += [Fastener(**self.known(Kind.FASTENER, name), behind=self.rarely(COMPONENTS)) for name in FASTENERS]
        items += [self.line(name) for name in LINES]
        items += [
            Fluid(**self.known(Kind.FLUID, "w0"), behind=self.rarely(COMPONENTS)),
            Energy(**self.known(Kind.ENERGY, "e0"), kind="electrical"),
            Energy(**self.known(Kind.ENERGY, "h0"), kind="heat", back_by=(run,)),
            Aid(**self.known(Kind.AID, "a0"), supports=self.some(COMPONENTS), needs=self.states(4)),
            MachineCondition(**self.known(Kind.CONDITION, "k0"), lost_by=(turn,)),
            Check(**self.known(Kind.CHECK, "v0"), of=self.some(COMPONENTS), needs=self.states(4)),
            Spec(**self.known(Kind.SPEC, "s0"), of=self.some(COMPONENTS, 1)),
        ]
        return Machine(
            address=Address(Kind.MACHINE, "m"),
            title="M",
            origin=self.origin(),
            items={item.id: item for item in items},
            rules=tuple(self.rule() for _ in range(self.random.randrange(3))),
            variants={"drive": ("hand", "belt", "motor")} if self.chance(2) else {},
        )

    # Procedures

    def action(self, verbs: Sequence[Verb]) -> Action:
        verb = self.one(verbs)
        return Action(verb, ItemId(self.one(VERBS[verb])), PLACE)

    def condition(self, choices: dict[str, tuple[bool | str, ...]]) -> Condition:
        if not choices or self.chance(2):
            return ALWAYS
        atoms: list[Condition] = []
        for _ in range(2):
            name = self.one(tuple(choices))
            atom = Is(name, self.one(choices[name]))
            atoms.append(Not(atom) if self.chance(4) else atom)
        return self.one([atoms[0], atoms[0], All(tuple(atoms)), AnyOf(tuple(atoms))])

    def step(self, label: str, choices: dict[str, tuple[bool | str, ...]]) -> Step:
        step = Step(
            number=label,
            id=f"s{label}" if self.chance(3) else "",
            actions=tuple(self.action(tuple(VERBS)) for _ in range(1 + self.chance(3))),
            do=Prose("Do.", PLACE) if self.chance(2) else None,
            when=self.condition(choices),
            needs=self.states(6),
            sets=(ItemId("k0"),) if self.chance(5) else (),
            new=self.one([(), (), (), (PartId("g0"),), (PartId("g1"),)]),
            notices=self.one([(), (), (), (NoticeId("n0"),), (NoticeId("n1"),)]),
            origin=self.origin(),
        )
        if self.chance(4):
            verb = self.one([Verb.OPEN, Verb.OPEN, Verb.CLOSE])
            aims = self.some((*COMPONENTS, *FASTENERS, "w0", "s0"), 2) or (ItemId("c0"),)
            return replace(step, actions=tuple(Action(verb, aim, PLACE) for aim in aims), do=None)
        return replace(step, actions=()) if self.chance(12) else step

    def steps(
        self, choices: dict[str, tuple[bool | str, ...]], prefix: str = "", depth: int = 0, ids: tuple[str, ...] = ()
    ) -> tuple[Step, ...]:
        found = []
        for number in range(1, self.random.randrange(1, 5 if depth else 10) + 1):
            step = self.step(f"{prefix}{number}", choices)
            ids = (*ids, step.id) if step.id else ids
            if depth < 2 and self.chance(4):
                step = replace(step, reject=self.steps(choices, f"{prefix}{number}.", depth + 1, ids))
            elif ids and self.chance(2 if depth else 12):
                step = replace(step, go_back_to=self.one(ids))
            found.append(step)
        return tuple(found)

    def procedure(self, *, bare: bool = False) -> tuple[Procedure, Library]:
        machine = self.machine()
        if bare:
            machine = replace(machine, address=Address(Kind.MACHINE, ""), rules=())
        options = {
            str(name): Option(id=name, ask="", default=False, choices=(), origin=self.origin())
            for name in self.some(("o0", "o1"))
        }
        choices = {**{name: option.values for name, option in options.items()}, **machine.variants}
        procedure = Procedure(
            address=Address(Kind.PROCEDURE, "p"),
            title="P",
            origin=self.origin(),
            machine=machine,
            options=options,
            only_for=self.condition(dict(machine.variants)) if self.chance(3) else ALWAYS,
            notices=self.one([(), (), (NoticeId("n0"),)]),
            starts_with=self.states(4),
            leaves=self.states(4),
            steps=self.steps(choices),
        )
        return procedure, library_of(procedure)


def library_of(procedure: Procedure) -> Library:
    origin = Origin("l.yaml", (1, 1), {})
    parts = {
        name: Part(address=Address(Kind.PART, name), title=name, origin=origin, single_use=name == "g1")
        for name in ("g0", "g1")
    }
    notices = {
        name: Notice(
            address=Address(Kind.NOTICE, name), title=name, origin=origin, level=Level.DANGER, kinds=frozenset({kind})
        )
        for name, kind in (("n0", "electrical"), ("n1", "heat"))
    }
    return Library(
        root=Path(),
        manual=Manual(address=Address(Kind.MANUAL, "manual"), title="", origin=origin),
        parts=parts,
        notices=notices,
        procedures={"p": procedure},
    )
