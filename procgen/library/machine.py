"""Machines, their assemblies, rules and schedules, and the procedures that are done on them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from procgen.finding import Place
from procgen.library.catalogue import Level
from procgen.library.condition import ALWAYS, Condition
from procgen.library.items import Item, Record
from procgen.library.origin import ItemId, MachineId, NoticeId, Origin, ProcedureId, Prose
from procgen.library.procedure import Step, walk
from procgen.library.state import Act, State
from procgen.measure.interval import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Never:
    """`never: turn crankshaft, while: timing-belt off, unless: rockers-slack`: absence between states."""

    id: str
    act: Act
    while_: tuple[State, ...]
    """All of these hold."""
    unless: tuple[State, ...]
    """Any of these lifts the rule."""
    because: Prose | None
    level: Level
    note: Prose | None = None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """`before: remove timing-belt, need: [at-tdc]`: precedence."""

    id: str
    act: Act
    need: tuple[State, ...]
    because: Prose | None
    level: Level
    note: Prose | None = None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """`after: fit timing-belt, must: check two-turns, before: fit lower-cover`: response."""

    id: str
    act: Act
    must: Act
    before: Act | None
    """None: before the end."""
    because: Prose | None
    level: Level
    note: Prose | None = None
    origin: Origin


Rule = Never | Before | After


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleItem(Record):
    """Work that falls due."""

    of: tuple[ItemId, ...] = ()
    every: Interval | None = None
    nth_of: str = ""
    """Id of another schedule item: this one is due at every nth time of it."""
    nth: int = 0
    do: tuple[ProcedureId, ...] = ()
    resets: tuple[str, ...] = ()
    """Ids of schedule items that count as done with it."""
    kind: str = ""
    """inspect, renew, service, or empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """A number on a figure."""

    number: int
    x_percent: float
    y_percent: float
    item: ItemId | None
    text: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A picture that stands beside the file that uses it."""

    id: str
    file: str
    """Path relative to the library, with forward slashes."""
    alt: str
    title: str
    callouts: tuple[Callout, ...]
    note: Prose | None = None
    origin: Origin
    missing: bool = False
    """The file is not there, or leaves the library; reported by the linker."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly(Record):
    """A group of components of a machine."""

    machine: MachineId
    summary: Prose | None = None
    items: tuple[ItemId, ...] = ()
    """What its file declares, in the author's order."""
    figures: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Machine(Record):
    """A machine model, or what a procedure without one has to stand on."""

    summary: Prose | None = None
    meter: str = "none"
    """hours, km, mi, cycles or none."""
    variants: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    items: Mapping[str, Item] = field(default_factory=dict)
    """Everything in the machine's namespace, in the order in which it was read."""
    rules: tuple[Rule, ...] = ()
    schedule: Mapping[str, ScheduleItem] = field(default_factory=dict)
    figures: Mapping[str, Figure] = field(default_factory=dict)
    """The machine's own and its assemblies'."""
    assemblies: tuple[Assembly, ...] = ()

    @property
    def machine_id(self) -> MachineId:
        """The machine's id; empty for a procedure that names no machine."""
        return MachineId(self.address.id)

    @cached_property
    def assembly_of(self) -> Mapping[str, Assembly]:
        """The assembly that declares each item; items of the machine file itself are not in it."""
        return {item: assembly for assembly in self.assemblies for item in assembly.items}

    @cached_property
    def held(self) -> Mapping[str, tuple[ItemId, ...]]:
        """For each fastener, the components and lines that it holds."""
        held: dict[ItemId, list[ItemId]] = {}
        for item in self.items.values():
            for fastener in getattr(item, "held_by", ()):
                held.setdefault(fastener, []).append(item.id)
        return {fastener: tuple(holders) for fastener, holders in held.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A choice that whoever does the work makes."""

    id: str
    ask: str
    default: bool | str
    choices: tuple[str, ...]
    """Empty for a yes-or-no option."""
    note: Prose | None = None
    origin: Origin

    @property
    def values(self) -> tuple[bool | str, ...]:
        """Every value that it can have."""
        return self.choices or (True, False)


@dataclass(frozen=True, kw_only=True)
class Procedure(Record):
    """A job that can be done, step by step."""

    machine: Machine
    """Its machine, with the items that the procedure declares itself added to it."""
    revision: str = ""
    date: str = ""
    summary: Prose | None = None
    only_for: Condition = ALWAYS
    once_per_job: bool = False
    options: Mapping[str, Option] = field(default_factory=dict)
    notices: tuple[NoticeId, ...] = ()
    starts_with: tuple[State, ...] = ()
    leaves: tuple[State, ...] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    local_items: tuple[ItemId, ...] = ()
    """What the procedure's own file declares."""
    implied_items: frozenset[ItemId] = frozenset()
    """What its steps name and nothing declares; only in a procedure without a machine."""
    damaged: bool = False
    """Some step could not be read: nothing may be concluded from its order."""

    @property
    def procedure_id(self) -> ProcedureId:
        """The procedure's id."""
        return ProcedureId(self.address.id)

    @property
    def is_bare(self) -> bool:
        """Whether it names no machine file."""
        return not self.machine.address.id

    def every_step(self) -> Iterator[Step]:
        """All its steps as written, branches included."""
        return iter(self._every_step)

    @cached_property
    def _every_step(self) -> tuple[Step, ...]:
        return walk(self.steps)
