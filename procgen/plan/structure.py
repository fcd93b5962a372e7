"""How a machine hangs together, read from both ends: what stands in front of what, what holds what, what touches what.

Built once for a plan; everything here is looked up, nothing is decided.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache
from typing import Any, TypeVar

from procgen.library.items import (
    Aid,
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
from procgen.library.machine import Machine, Rule
from procgen.library.origin import ItemId, PartId
from procgen.library.state import Verb

_T = TypeVar("_T")
_K = TypeVar("_K")
_V = TypeVar("_V")
Doing = tuple[Verb, str]
"""A verb and the item that it is done to."""


class Structure:
    """The items of one machine and how they depend on each other."""

    def __init__(
        self, machine: Machine, library: Library | None = None, implied: frozenset[ItemId] = frozenset()
    ) -> None:
        """`library` tells what is heavy and what is single-use; `implied`: items of which nothing is declared."""
        self.machine = machine
        self.items: Mapping[str, Item] = machine.items
        self.implied = implied
        self.worked_out: dict[tuple[str, Verb, str], tuple[Any, ...]] = {}
        """What others have worked out for an act and need not work out again: effects, guards."""
        self.lift_kg = library.manual.one_person_lift_kg if library else 20.0
        parts = library.parts if library else {}
        self.single_use = frozenset(name for name, part in parts.items() if part.single_use)

    def every(self, kind: type[_T]) -> Iterator[_T]:
        """The machine's items of one class."""
        return (item for item in self.items.values() if isinstance(item, kind))

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {name: place for place, name in enumerate(self.items)}

    def place_of(self, item_id: str) -> int:
        """Where an item stands in the order in which the machine declares its items."""
        return self._places[item_id]

    # What is where

    def places(self, item_id: str) -> Iterator[tuple[str, tuple[ItemId, ...]]]:
        """Where hands go to touch an item: what is there, and what stands in front of it.

        A fastener is reached where what it holds is; a spec or a check where the items in its `of` are.
        """
        item = self.items.get(item_id)
        match item:
            case Component(behind=behind) | Line(behind=behind) | Fluid(behind=behind) | Aid(behind=behind):
                yield item_id, behind
            case Fastener(behind=behind):
                yield item_id, behind
                holders = self.holders(item_id)
                for holder in holders:
                    for there, front in self.places(holder):
                        # A bolt through two parts, one in front of the other, is reached from the outer one.
                        yield there, tuple(each for each in front if each not in holders)
            case Spec(of=of) | Check(of=of):
                for each in of:
                    yield from self.places(each)
            case _:
                return

    def front_of(self, item_id: str) -> tuple[ItemId, ...]:
        """What must be off before anyone can get at an item, each once, in the author's order."""
        return tuple(dict.fromkeys(front for _, fronts in self.places(item_id) for front in fronts))

    @cached_property
    def _hidden(self) -> Mapping[str, tuple[ItemId, ...]]:
        stateful = (Component, Fastener, Line, Fluid, Aid)
        pairs = (
            (front, item.id)
            for item in self.items.values()
            if isinstance(item, stateful)
            for front in self.front_of(item.id)
        )
        return _grouped(pairs)

    def hidden_by(self, item_id: str) -> tuple[ItemId, ...]:
        """What nobody can get at while `item_id` is in service."""
        return self._hidden.get(item_id, ())

    # What holds what

    def holders(self, fastener: str) -> tuple[ItemId, ...]:
        """The components and lines that a fastener holds."""
        return self.machine.held.get(fastener, ())

    def held_by(self, item_id: str) -> tuple[ItemId, ...]:
        """The fasteners that hold a component or a line."""
        item = self.items.get(item_id)
        return item.held_by if isinstance(item, (Component, Line)) else ()

    def lines_of(self, item_id: str) -> tuple[ItemId, ...]:
        """The lines that are parted before a component comes off."""
        item = self.items.get(item_id)
        return item.lines if isinstance(item, Component) else ()

    @cached_property
    def _owners(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((line, each.id) for each in self.every(Component) for line in each.lines)

    def owners(self, line: str) -> tuple[ItemId, ...]:
        """The components that a line leads to."""
        return self._owners.get(line, ())

    def carriers(self, item_id: str) -> tuple[ItemId, ...]:
        """What a component rides with: where that is off, so is the component."""
        item = self.items.get(item_id)
        return item.rides_with if isinstance(item, Component) else ()

    @cached_property
    def _all_carriers(self) -> Mapping[ItemId, tuple[ItemId, ...]]:
        return {each.id: self._upwards(each.id) for each in self.every(Component) if each.rides_with}

    def _upwards(self, item_id: str) -> tuple[ItemId, ...]:
        found: dict[ItemId, None] = {}
        waiting = list(self.carriers(item_id))
        while waiting:
            carrier = waiting.pop(0)
            if carrier not in found and carrier != item_id:
                found[carrier] = None
                waiting.extend(self.carriers(carrier))
        return tuple(found)

    def all_carriers(self, item_id: str) -> tuple[ItemId, ...]:
        """What a component rides with, and what that rides with."""
        return self._all_carriers.get(ItemId(item_id), ())

    @cached_property
    def _riders(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((carrier, rider) for rider, carriers in self._all_carriers.items() for carrier in carriers)

    def riders(self, item_id: str) -> tuple[ItemId, ...]:
        """All that comes off and goes back with a component, and with what rides with it."""
        return self._riders.get(item_id, ())

    # Energies, fluids, weight

    def exposed_to(self, item_id: str) -> tuple[ItemId, ...]:
        """The energies that are made safe before hands go near an item."""
        item = self.items.get(item_id)
        return item.exposed_to if isinstance(item, (Component, Line)) else ()

    @cached_property
    def _exposed(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped(
            (energy, item.id)
            for item in self.items.values()
            if isinstance(item, (Component, Line))
            for energy in item.exposed_to
        )

    def exposed(self, energy: str) -> tuple[ItemId, ...]:
        """What an energy reaches: all of it is in service before the energy comes back."""
        return self._exposed.get(energy, ())

    def fluids_in(self, item_id: str) -> tuple[ItemId, ...]:
        """The fluids that run out when a component comes off or a line is parted."""
        match self.items.get(item_id):
            case Component(wet_with=fluids) | Line(carries=fluids):
                return fluids
            case _:
                return ()

    @cached_property
    def _wet(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((fluid, item_id) for item_id in map(ItemId, self.items) for fluid in self.fluids_in(item_id))

    def holds_fluid(self, fluid: str) -> tuple[ItemId, ...]:
        """The components and lines that keep a fluid in."""
        return self._wet.get(fluid, ())

    def is_heavy(self, item_id: str) -> bool:
        """Whether a component is over what the house lets one person lift."""
        item = self.items.get(item_id)
        if not isinstance(item, Component) or item.mass is None:
            return False
        return item.mass.middle_in("kg") > self.lift_kg

    @cached_property
    def _supports(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((component, aid.id) for aid in self.every(Aid) for component in aid.supports)

    def supports(self, component: str) -> tuple[ItemId, ...]:
        """The aids that can carry a component."""
        return self._supports.get(component, ())

    @cached_property
    def _supported(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((aid.id, component) for aid in self.every(Aid) for component in aid.supports)

    def supported_by(self, aid: str) -> tuple[ItemId, ...]:
        """What an aid can carry."""
        return self._supported.get(aid, ())

    def energy_kind(self, energy: str) -> str:
        """The kind of an energy; empty for one of which nothing is declared."""
        item = self.items.get(energy)
        return item.kind if isinstance(item, Energy) and item.id not in self.implied else ""

    # What is done about it

    @cached_property
    def _checks(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((item, check.id) for check in self.every(Check) for item in check.of)

    def checks_of(self, item_id: str) -> tuple[ItemId, ...]:
        """The checks that name an item in their `of`."""
        return self._checks.get(item_id, ())

    def renewed_with(self, item_id: str) -> tuple[PartId, ...]:
        """The single-use parts that an item gets new every time that it is disturbed."""
        item = self.items.get(item_id)
        if not isinstance(item, (Component, Line)):
            return ()
        own = (item.part,) if item.part and item.part in self.single_use else ()
        return tuple(dict.fromkeys((*item.renew, *own)))

    @cached_property
    def _renewing(self) -> Mapping[str, tuple[ItemId, ...]]:
        return _grouped((part, item_id) for item_id in map(ItemId, self.items) for part in self.renewed_with(item_id))

    def renewing(self, part: str) -> tuple[ItemId, ...]:
        """The items that get a single-use part new every time."""
        return self._renewing.get(part, ())

    @cached_property
    def _lost_by(self) -> Mapping[Doing, tuple[ItemId, ...]]:
        return _grouped(
            ((act.verb, act.item), each.id) for each in self.every(MachineCondition) for act in each.lost_by
        )

    def lost_by(self, doing: Doing) -> tuple[ItemId, ...]:
        """The conditions that an act loses."""
        return self._lost_by.get(doing, ())

    @cached_property
    def _back_by(self) -> Mapping[Doing, tuple[ItemId, ...]]:
        return _grouped(((act.verb, act.item), each.id) for each in self.every(Energy) for act in each.back_by)

    def back_by(self, doing: Doing) -> tuple[ItemId, ...]:
        """The stored energies that an act brings back."""
        return self._back_by.get(doing, ())

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The machine's rules."""
        return self.machine.rules


class _Same:
    """What makes two structures one: the same machine, and the same of what a library adds to it."""

    def __init__(self, machine: Machine, library: Library | None, implied: frozenset[ItemId]) -> None:
        self.machine = machine
        self.library = library
        self.implied = implied
        # A portion of a library has a library of its own, which shares these with the others.
        self._seen = (machine, library.manual, library.parts) if library else (machine,)

    def __hash__(self) -> int:
        return hash((id(self.machine), self.implied))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Same)
            and self.implied == other.implied
            and len(self._seen) == len(other._seen)
            and all(mine is theirs for mine, theirs in zip(self._seen, other._seen, strict=True))
        )


@lru_cache(maxsize=16)
def _structure_of(same: _Same) -> Structure:
    return Structure(same.machine, same.library, same.implied)


def structure_of(
    machine: Machine, library: Library | None = None, implied: frozenset[ItemId] = frozenset()
) -> Structure:
    """The structure of a machine. Procedures of one machine share it, with what is worked out from it; nothing in it
    ever changes."""
    return _structure_of(_Same(machine, library, implied))


def _grouped(pairs: Iterable[tuple[_K, _V]]) -> Mapping[_K, tuple[_V, ...]]:
    found: dict[_K, dict[_V, None]] = {}
    for key, value in pairs:
        found.setdefault(key, {})[value] = None
    return {key: tuple(values) for key, values in found.items()}
