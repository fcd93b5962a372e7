"""Link: from the trees of all files to one library of records in which every name is resolved."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from procgen.finding import Because, Finding, in_order
from procgen.library import build_catalogue
from procgen.library.build_fleet import job, logbook
from procgen.library.build_items import build_items, record
from procgen.library.build_machine import assembly, figures, rules, schedule
from procgen.library.build_procedure import build_procedure, option_choices, variant_choices
from procgen.library.build_steps import Choices, Shelf
from procgen.library.catalogue import Manual
from procgen.library.fields import Fields, Reader
from procgen.library.files import ReadLibrary, SourceFile
from procgen.library.fleet import Job, Logbook
from procgen.library.items import Item, Record
from procgen.library.library import Library
from procgen.library.machine import Assembly, Figure, Machine, Procedure
from procgen.library.names import CATALOGUES, declare
from procgen.library.origin import Address, Kind, Origin
from procgen.library.prune import prune
from procgen.library.resolver import ItemScope, Mention, Resolver
from procgen.library.yaml_tree import Map

Entry = TypeVar("Entry", bound=Record)


def link(read: ReadLibrary) -> tuple[Library, tuple[Finding, ...]]:
    """Build every record of the files in `read`; what names nothing is reported and left out."""
    linker = _Linker(read)
    return linker.library(), in_order(linker.resolver.findings)


@dataclass(frozen=True, slots=True)
class _Source:
    """A file, and the keys that its maps lost."""

    file: SourceFile
    faults: dict[int, set[str]]


class _Linker:
    """Holds what linking gathers: names, uses, findings."""

    def __init__(self, read: ReadLibrary) -> None:
        self.root: Path = read.root
        names, twice = declare(read.files)
        self.names = names
        self.resolver = Resolver(names)
        self.resolver.findings.extend(twice)
        self.sources = tuple(_Source(file, prune(file.data, file.bad, file.kind)) for file in read.files)
        self.choices_of: Mapping[str, Choices] = {
            source.file.id: option_choices(source.file.data) for source in self.of(Kind.PROCEDURE)
        }

    def of(self, kind: Kind) -> Iterator[_Source]:
        """The files of one kind; of several with one id only the first."""
        seen: set[tuple[str, object]] = set()
        for source in self.sources:
            file = source.file
            key = (file.id, file.data.get("machine") if kind is Kind.ASSEMBLY else None)
            if file.kind is kind and (kind in CATALOGUES or key not in seen):
                seen.add(key)
                yield source

    def fields(self, source: _Source, by: Address, scope: ItemScope) -> Fields:
        """The file's own map, read as the record `by`."""
        file = source.file
        first = next(iter(file.data.spots), None)
        own = file.data.spots[first][1] if first else (1, 1)
        return Fields(Reader(self.resolver, file.path, by, scope, source.faults), file.data, own)

    def library(self) -> Library:
        """The whole library."""
        nowhere = ItemScope("", {})
        machines = {source.file.id: self.machine(source) for source in self.of(Kind.MACHINE)}
        self.strays()
        procedures = {source.file.id: self.procedure(source, machines) for source in self.of(Kind.PROCEDURE)}
        logbooks = {source.file.id: self.logbook(source, machines) for source in self.of(Kind.LOGBOOK)}
        jobs = {source.file.id: self.job(source, nowhere) for source in self.of(Kind.JOB)}
        return Library(
            root=self.root,
            manual=self.manual(nowhere),
            tools=self.catalogue(Kind.TOOL, build_catalogue.tool),
            parts=self.catalogue(Kind.PART, build_catalogue.part),
            sources=self.catalogue(Kind.SOURCE, build_catalogue.source),
            notices=self.catalogue(Kind.NOTICE, build_catalogue.notice),
            terms=self.catalogue(Kind.TERM, build_catalogue.term),
            machines=machines,
            procedures=procedures,
            logbooks={name: each for name, each in logbooks.items() if each},
            jobs=jobs,
            uses={address: tuple(uses) for address, uses in self.resolver.uses.items()},
        )

    def manual(self, scope: ItemScope) -> Manual:
        """The manual's record, or what stands for it in a library that has none."""
        address = Address(Kind.MANUAL, "manual")
        manuals = [self.fields(source, address, scope) for source in self.sources if source.file.kind is Kind.MANUAL]
        for other in manuals[1:]:
            self.resolver.report(
                "duplicate-name",
                other.origin.place,
                "The library has a manual file already, and here is another.",
                Because(message="the first one, which is used", place=manuals[0].origin.place),
                remedy="keep one of the two",
            )
        if manuals:
            return build_catalogue.manual(manuals[0])
        return Manual(address=address, title="Workshop manual", origin=Origin("manual.yaml", (1, 1), {}))

    def catalogue(self, kind: Kind, build: Callable[[Fields, Address], Entry]) -> dict[str, Entry]:
        """The entries of all catalogues of one kind; of several with one id the first.

        Tools and parts of a library that has no catalogue of them yet are what its steps name.
        """
        entries: dict[str, Entry] = {}
        for source in self.of(kind):
            for name, entry in self.fields(source, Address(kind, ""), ItemScope("", {})).named(CATALOGUES[kind]):
                if name not in entries:
                    address = Address(kind, name)
                    entries[name] = build(Fields(entry.reader.naming(address), entry.data, entry.own), address)
        for name, mention in self.resolver.implied.get(kind, {}).items():
            reader = Reader(self.resolver, mention.place.file, Address(kind, name), ItemScope("", {}), {})
            spot = (mention.place.line, mention.place.column)
            entries[name] = build(Fields(reader, Map(*spot), spot), Address(kind, name))
        return entries

    def scope(self, machine: str) -> ItemScope:
        """What can be named on a machine."""
        return ItemScope(machine, self.names.items.get(machine, {}))

    def shelf(self, machine: Machine | None, source: _Source) -> Shelf:
        """What steps in the file `source` may refer to beside items."""
        own_figures = source.file.data.get("figures")
        machine_id = machine.address.id if machine else ""
        return Shelf(
            choices={**(machine.variants if machine else {}), **option_choices(source.file.data)},
            figures=frozenset(self.names.figures.get(machine_id, {}))
            | frozenset(own_figures if isinstance(own_figures, dict) else ()),
            choices_of=self.choices_of,
        )

    def machine(self, source: _Source) -> Machine:
        """A machine with its assemblies."""
        machine_id = source.file.id
        address = Address(Kind.MACHINE, machine_id)
        fields = self.fields(source, address, self.scope(machine_id))
        variants = variant_choices(source.file.data)
        shelf = Shelf(
            choices=variants,
            figures=frozenset(self.names.figures.get(machine_id, {})),
            choices_of=self.choices_of,
        )
        items: dict[str, Item] = {}
        for item in build_items(fields, shelf, machine_id):
            items.setdefault(item.id, item)
        assemblies: list[Assembly] = []
        pictures: dict[str, Figure] = figures(fields, self.root)
        for part in self.of(Kind.ASSEMBLY):
            if part.file.data.get("machine") != machine_id:
                continue
            own = Address(Kind.ASSEMBLY, part.file.id, machine_id)
            part_fields = self.fields(part, own, self.scope(machine_id))
            declared = tuple(build_items(part_fields, shelf, machine_id))
            for item in declared:
                items.setdefault(item.id, item)
            built = assembly(part_fields, own, tuple(item.id for item in declared), self.root)
            self.resolver.note(address, Mention(own, "machine", part_fields.at("machine")))
            assemblies.append(built)
            pictures.update(built.figures)
        return Machine(
            summary=fields.prose("summary"),
            meter=fields.text("meter", "none"),
            variants={name: tuple(str(value) for value in values) for name, values in variants.items()},
            items=items,
            rules=tuple(rules(fields)),
            schedule={item.address.id: item for item in schedule(fields, machine_id)},
            figures=pictures,
            assemblies=tuple(assemblies),
            **record(fields, address),
        )

    def strays(self) -> None:
        """Assemblies of machines that nothing declares."""
        machines = self.names.shop[Kind.MACHINE]
        for source in self.of(Kind.ASSEMBLY):
            machine = source.file.data.get("machine")
            if isinstance(machine, str) and machine not in machines:
                fields = self.fields(source, Address(Kind.ASSEMBLY, source.file.id, machine), self.scope(machine))
                self.resolver.unknown(
                    machine, "machine", fields.at("machine"), machines, "write a file that begins with `machine:`"
                )

    def procedure(self, source: _Source, machines: Mapping[str, Machine]) -> Procedure:
        """A procedure on its machine, or on none."""
        address = Address(Kind.PROCEDURE, source.file.id)
        named = source.file.data.get("machine")
        scope = self.scope(str(named)) if named else ItemScope("", {})
        scope.local = self.names.local.get(source.file.id, {})
        lost = "machine" in source.faults.get(id(source.file.data), ())
        fields = self.fields(source, address, scope)
        machine = None
        if named:
            scope.broken = str(named) not in machines
            fields.shop_one("machine", Kind.MACHINE)
            machine = machines.get(str(named))
        elif lost:
            scope.broken = True
        else:
            scope.implies = source.file.id
        if machine is None:
            nothing = Address(Kind.MACHINE, "")
            machine = Machine(address=nothing, title="", origin=fields.origin)
        return build_procedure(
            fields,
            address,
            machine,
            self.shelf(machine, source),
            self.root,
            damaged=scope.broken or source.file.damaged or any(path[:1] == ("steps",) for path in source.file.bad),
        )

    def logbook(self, source: _Source, machines: Mapping[str, Machine]) -> Logbook | None:
        """An individual machine's logbook; None where its machine is unknown."""
        address = Address(Kind.LOGBOOK, source.file.id)
        machine_id = str(source.file.data.get("machine", ""))
        fields = self.fields(source, address, self.scope(machine_id))
        if fields.shop_one("machine", Kind.MACHINE) is None:
            return None
        return logbook(fields, address, machines[machine_id])

    def job(self, source: _Source, scope: ItemScope) -> Job:
        """A job on an individual machine."""
        address = Address(Kind.JOB, source.file.id)
        fields = self.fields(source, address, scope)
        return job(fields, address, fields.shop_one("logbook", Kind.LOGBOOK) or "", self.choices_of)
