"""The whole library after linking: every record, every name resolved, and who names what."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from procgen.finding import Place
from procgen.library.catalogue import Manual, Notice, Part, Source, Term, Tool
from procgen.library.fleet import Job, Logbook
from procgen.library.items import Record
from procgen.library.machine import Assembly, Machine, Procedure
from procgen.library.origin import ITEM_KINDS, Address, Kind, Use
from procgen.library.unopened import Unopened


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A procedure as others name it: what can be known of it without reading its steps."""

    address: Address
    title: str
    machine: str
    """Id of the machine that it names; empty where it names none."""
    place: Place
    """Where its id is written."""
    machine_place: Place
    """Where it names its machine."""
    once_per_job: bool = False
    declares: tuple[tuple[Address, Place], ...] = ()
    """Items that its own file declares, and where."""


@dataclass(frozen=True, kw_only=True)
class Library:
    """What the author wrote, linked. Every mapping is keyed by id and in the order of the files."""

    root: Path
    manual: Manual
    tools: Mapping[str, Tool] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    notices: Mapping[str, Notice] = field(default_factory=dict)
    terms: Mapping[str, Term] = field(default_factory=dict)
    machines: Mapping[str, Machine] = field(default_factory=dict)
    procedures: Mapping[str, Procedure] = field(default_factory=dict)
    logbooks: Mapping[str, Logbook] = field(default_factory=dict)
    jobs: Mapping[str, Job] = field(default_factory=dict)
    uses: Mapping[Address, tuple[Use, ...]] = field(default_factory=dict)
    """For everything that has an address: every place that names it, in the order of the files."""

    @cached_property
    def heads(self) -> Mapping[str, Head]:
        """Every procedure as others name it, in the order of the files."""
        known: Mapping[str, Head] | None = getattr(self.procedures, "heads", None)
        return self._heads() if known is None else known

    def _heads(self) -> Mapping[str, Head]:
        return {
            name: Head(
                address=each.address,
                title=each.title,
                machine=each.machine.address.id,
                place=each.origin.place,
                machine_place=each.origin.of("machine"),
                once_per_job=each.once_per_job,
                declares=tuple(
                    (item.address, item.origin.place) for item in (each.machine.items[id_] for id_ in each.local_items)
                ),
            )
            for name, each in self.procedures.items()
        }

    def with_procedure(self, procedure: Procedure) -> "Library":
        """The same library with that procedure in place of the one of the same id."""
        return replace(self, procedures=_Instead(self.procedures, procedure))

    def used_by(self, address: Address) -> tuple[Use, ...]:
        """Every place that names `address`."""
        return self.uses.get(address, ())

    @property
    def named_in_text(self) -> tuple[Mapping[str, Record], ...]:
        """The shop-wide names that `{name}` in a text may stand for, in the order in which they are tried."""
        return (
            self.tools,
            self.parts,
            self.procedures,
            self.machines,
            self.notices,
            self.sources,
            self.terms,
        )

    def resolve(self, name: str, machine: Machine | None) -> Record | None:
        """What `{name}` in a text stands for: an item of `machine` first, then the shop-wide names; None: nothing."""
        if machine and name in machine.items:
            return machine.items[name]
        return next((shelf[name] for shelf in self.named_in_text if name in shelf), None)

    def assemblies(self) -> Mapping[tuple[str, str], Assembly]:
        """Every assembly, by machine id and its own id."""
        return {
            (machine.address.id, assembly.address.id): assembly
            for machine in self.machines.values()
            for assembly in machine.assemblies
        }

    def find(self, address: Address) -> Record | None:
        """The record that has `address`, or None."""
        if address.kind in ITEM_KINDS:
            owner = self.machines.get(address.scope) or self._bare_machine(address.scope)
            return owner.items.get(address.id) if owner else None
        if address.kind is Kind.ASSEMBLY:
            return self.assemblies().get((address.scope, address.id))
        if address.kind is Kind.SCHEDULE:
            owner = self.machines.get(address.scope)
            return owner.schedule.get(address.id) if owner else None
        if address.kind is Kind.MANUAL:
            return self.manual
        return self._shelves.get(address.kind, {}).get(address.id)

    def _bare_machine(self, procedure_id: str) -> Machine | None:
        procedure = self.procedures.get(procedure_id)
        return procedure.machine if procedure else None

    @property
    def _shelves(self) -> Mapping[Kind, Mapping[str, Record]]:
        return {
            Kind.MACHINE: self.machines,
            Kind.PROCEDURE: self.procedures,
            Kind.TOOL: self.tools,
            Kind.PART: self.parts,
            Kind.SOURCE: self.sources,
            Kind.NOTICE: self.notices,
            Kind.TERM: self.terms,
            Kind.LOGBOOK: self.logbooks,
            Kind.JOB: self.jobs,
        }


class _Instead(Unopened[Procedure]):
    """Procedures, one of them another: none is opened for that."""

    def __init__(self, of: Mapping[str, Procedure], other: Procedure) -> None:
        super().__init__(of)
        self.heads: Mapping[str, Head] | None = getattr(of, "heads", None)
        self._of = of
        self._other = other

    def __getitem__(self, name: str) -> Procedure:
        return self._other if name == self._other.address.id else self._of[name]
