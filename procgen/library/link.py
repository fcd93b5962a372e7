"""Link: from the trees of all files to one library of records in which every name is resolved."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

from procgen.finding import Because, Finding, Place, in_order
from procgen.library import build_catalogue
from procgen.library.build_fleet import job, logbook
from procgen.library.build_items import build_items, record, title_from
from procgen.library.build_machine import assembly, figures, rules, schedule
from procgen.library.build_procedure import build_procedure, variant_choices
from procgen.library.build_steps import Shelf
from procgen.library.catalogue import Manual
from procgen.library.fields import Fields, Reader
from procgen.library.files import ReadLibrary, SourceFile
from procgen.library.fleet import Job, Logbook
from procgen.library.items import Item, Record
from procgen.library.library import Head, Library
from procgen.library.listing import Listed, Listing, listing_of
from procgen.library.machine import Assembly, Figure, Machine, Procedure
from procgen.library.names import declare
from procgen.library.origin import Address, Kind, Origin, Use
from procgen.library.outline import CATALOGUES, Choices, Outline
from procgen.library.resolver import Implied, ItemScope, Mention, Resolver, Uses
from procgen.library.yaml_tree import Map
from procgen.memo import NOTHING_KNOWN, Memo

Entry = TypeVar("Entry", bound=Record)


def link(read: ReadLibrary) -> tuple[Library, tuple[Finding, ...]]:
    """Build every record of the files in `read`; what names nothing is reported and left out."""
    linker = Linker(listing_of(read))
    linked = tuple(map(linker.procedure, linker.heads))
    library = linker.library([each.implied for each in linked])
    procedures = {each.procedure.address.id: each.procedure for each in linked}
    uses = linker.uses(each.uses for each in linked)
    findings = (*linker.findings, *(finding for each in linked for finding in each.findings))
    return replace(library, procedures=procedures, uses=uses), in_order(findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkedProcedure:
    """A procedure, and what came of looking up its names."""

    procedure: Procedure
    uses: Uses
    findings: tuple[Finding, ...]
    implied: Implied
    """Tools and parts of which the library has no catalogue yet, and where they are first named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """All that is no procedure, linked. It depends on its own files and on the heads of the procedures."""

    library: Library
    """Without procedures, and without uses."""
    before: Uses
    """What is named by what comes before procedures: machines."""
    after: Uses
    """And by what comes after them."""
    findings: tuple[Finding, ...]


class Linker:
    """Links a library: all that is no procedure at once, and each procedure when it is asked for.

    A procedure depends on its own file, on what is no procedure, and on the outlines of the rest: on nothing else.
    """

    def __init__(self, listing: Listing, known: Ground | None = None, memo: Memo = NOTHING_KNOWN) -> None:
        """known: the ground of the same library, where it has been linked before."""
        self._root = listing.root
        outlines = [file.outline for file in listing.files]
        self._names, self._twice = memo.again("names", outlines, lambda: declare(outlines))
        self._files = listing.files
        self._known = known
        self._memo = memo
        # Two, so that what procedures name can be put between what comes before them and what comes after.
        self._before, self._after = Resolver(self._names), Resolver(self._names)
        self._procedures = {file.outline.id: file for file in self._of(Kind.PROCEDURE)}
        self._choices_of: Mapping[str, Choices] = {
            name: file.outline.options or {} for name, file in self._procedures.items()
        }
        if known:
            self._machines = known.library.machines
            return
        self._machines = {file.outline.id: self._machine(file) for file in self._of(Kind.MACHINE)}
        self._strays()
        nowhere = ItemScope("", {})
        logbooks = {file.outline.id: self._logbook(file) for file in self._of(Kind.LOGBOOK)}
        self._logbooks = {name: each for name, each in logbooks.items() if each}
        self._jobs = {file.outline.id: self._job(file, nowhere) for file in self._of(Kind.JOB)}
        self._manual = self._the_manual(nowhere)

    @cached_property
    def heads(self) -> Mapping[str, Head]:
        """Every procedure as others name it, by its id, in the order of the files."""
        outlines = {name: file.outline for name, file in self._procedures.items()}
        return self._memo.again("heads", outlines, lambda: {name: _head(outline) for name, outline in outlines.items()})

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found in what is no procedure; all of it once `library` has been called."""
        ground = self._known.findings if self._known else (*self._before.findings, *self._after.findings)
        return (*self._twice, *ground)

    @property
    def is_short_of_catalogues(self) -> bool:
        """Whether tools or parts are whatever the steps name, since nothing declares any."""
        return any(not self._names.shop[kind] for kind in (Kind.TOOL, Kind.PART))

    def uses(self, of_procedures: Iterable[Uses]) -> Mapping[Address, tuple[Use, ...]]:
        """Who names what, in the order of the files; all of it once `library` has been called."""
        before = self._known.before if self._known else self._before.uses
        after = self._known.after if self._known else self._after.uses
        every = [before, *of_procedures, after]
        return self._memo.again("uses", every, lambda: _merged(every))

    def library(self, implied: Iterable[Implied] = ()) -> Library:
        """The whole library but for its procedures and for what they name.

        implied: what procedures name of which there is no catalogue; to be given where the library is short of them.
        """
        if self._known:
            return replace(self._known.library, root=self._root)
        named: dict[Kind, dict[str, Mention]] = {}
        for found in (self._before.implied, *implied, self._after.implied):
            for kind, mentions in found.items():
                for name, mention in mentions.items():
                    named.setdefault(kind, {}).setdefault(name, mention)
        return Library(
            root=self._root,
            manual=self._manual,
            tools=self._catalogue(Kind.TOOL, build_catalogue.tool, named),
            parts=self._catalogue(Kind.PART, build_catalogue.part, named),
            sources=self._catalogue(Kind.SOURCE, build_catalogue.source, named),
            notices=self._catalogue(Kind.NOTICE, build_catalogue.notice, named),
            terms=self._catalogue(Kind.TERM, build_catalogue.term, named),
            machines=self._machines,
            logbooks=self._logbooks,
            jobs=self._jobs,
        )

    def ground(self, library: Library) -> Ground:
        """What another linker of the same files may be told. library: as `library` gave it."""
        return Ground(
            library=library,
            before=self._before.uses,
            after=self._after.uses,
            findings=(*self._before.findings, *self._after.findings),
        )

    def procedure(self, name: str) -> LinkedProcedure:
        """A procedure on its machine, or on none. Raises KeyError where there is none of that id."""
        resolver = Resolver(self._names)
        procedure = self._procedure(self._procedures[name].open(), resolver)
        return LinkedProcedure(
            procedure=procedure, uses=resolver.uses, findings=tuple(resolver.findings), implied=resolver.implied
        )

    def _of(self, kind: Kind) -> Iterator[Listed]:
        """The files of one kind; of several with one id only the first."""
        seen: set[tuple[str, str]] = set()
        for file in self._files:
            outline = file.outline
            key = (outline.id, outline.machine if kind is Kind.ASSEMBLY else "")
            if outline.kind is kind and (kind in CATALOGUES or key not in seen):
                seen.add(key)
                yield file

    def _fields(self, file: SourceFile, by: Address, scope: ItemScope, resolver: Resolver) -> Fields:
        """The file's own map, read as the record `by`."""
        return Fields(Reader(resolver, file.path, by, scope), file.data, file.outline.own)

    def _the_manual(self, scope: ItemScope) -> Manual:
        """The manual's record, or what stands for it in a library that has none."""
        address = Address(Kind.MANUAL, "manual")
        files = (file.open() for file in self._files if file.outline.kind is Kind.MANUAL)
        manuals = [self._fields(file, address, scope, self._after) for file in files]
        for other in manuals[1:]:
            self._after.report(
                "duplicate-name",
                other.origin.place,
                "The library has a manual file already, and here is another.",
                Because(message="the first one, which is used", place=manuals[0].origin.place),
                remedy="keep one of the two",
            )
        if manuals:
            return build_catalogue.manual(manuals[0])
        return Manual(address=address, title="Workshop manual", origin=Origin("manual.yaml", (1, 1), {}))

    def _catalogue(self, kind: Kind, build: Callable[[Fields, Address], Entry], implied: Implied) -> dict[str, Entry]:
        """The entries of all catalogues of one kind; of several with one id the first.

        Tools and parts of a library that has no catalogue of them yet are what its steps name.
        """
        entries: dict[str, Entry] = {}
        for file in self._of(kind):
            fields = self._fields(file.open(), Address(kind, ""), ItemScope("", {}), self._after)
            for name, entry in fields.named(CATALOGUES[kind]):
                if name not in entries:
                    address = Address(kind, name)
                    entries[name] = build(Fields(entry.reader.naming(address), entry.data, entry.own), address)
        for name, mention in implied.get(kind, {}).items():
            reader = Reader(self._after, mention.place.file, Address(kind, name), ItemScope("", {}))
            spot = (mention.place.line, mention.place.column)
            entries[name] = build(Fields(reader, Map(*spot), spot), Address(kind, name))
        return entries

    def _scope(self, machine: str) -> ItemScope:
        """What can be named on a machine."""
        return ItemScope(machine, self._names.items.get(machine, {}))

    def _shelf(self, machine: Machine | None, file: SourceFile) -> Shelf:
        """What steps in a file may refer to beside items."""
        own_figures = file.data.get("figures")
        machine_id = machine.address.id if machine else ""
        return Shelf(
            choices={**(machine.variants if machine else {}), **(file.outline.options or {})},
            figures=frozenset(self._names.figures.get(machine_id, {}))
            | frozenset(own_figures if isinstance(own_figures, dict) else ()),
            choices_of=self._choices_of,
        )

    def _machine(self, listed: Listed) -> Machine:
        """A machine with its assemblies."""
        file = listed.open()
        machine_id = file.outline.id
        address = Address(Kind.MACHINE, machine_id)
        fields = self._fields(file, address, self._scope(machine_id), self._before)
        variants = variant_choices(file.data)
        shelf = Shelf(
            choices=variants,
            figures=frozenset(self._names.figures.get(machine_id, {})),
            choices_of=self._choices_of,
        )
        items: dict[str, Item] = {}
        for item in build_items(fields, shelf, machine_id):
            items.setdefault(item.id, item)
        assemblies: list[Assembly] = []
        pictures: dict[str, Figure] = figures(fields, self._root)
        for part in self._assemblies_of.get(machine_id, ()):
            own = Address(Kind.ASSEMBLY, part.outline.id, machine_id)
            part_fields = self._fields(part.open(), own, self._scope(machine_id), self._before)
            declared = tuple(build_items(part_fields, shelf, machine_id))
            for item in declared:
                items.setdefault(item.id, item)
            built = assembly(part_fields, own, tuple(item.id for item in declared), self._root)
            self._before.note(address, Mention(own, "machine", part_fields.at("machine")))
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

    @cached_property
    def _assemblies_of(self) -> Mapping[str, list[Listed]]:
        """For each machine the files of its assemblies."""
        found: dict[str, list[Listed]] = {}
        for file in self._of(Kind.ASSEMBLY):
            found.setdefault(file.outline.machine, []).append(file)
        return found

    def _strays(self) -> None:
        """Assemblies of machines that nothing declares."""
        machines = self._names.shop[Kind.MACHINE]
        for machine, files in self._assemblies_of.items():
            for outline in (file.outline for file in files if machine and machine not in machines):
                place = Place(outline.path, *outline.machine_spot)
                self._before.unknown(machine, "machine", place, machines, "write a file that begins with `machine:`")

    def _procedure(self, file: SourceFile, resolver: Resolver) -> Procedure:
        address = Address(Kind.PROCEDURE, file.outline.id)
        named = file.data.get("machine")
        scope = self._scope(str(named)) if named else ItemScope("", {})
        scope.local = self._names.local.get(file.outline.id, {})
        fields = self._fields(file, address, scope, resolver)
        machine = None
        if named:
            scope.broken = str(named) not in self._machines
            fields.shop_one("machine", Kind.MACHINE)
            machine = self._machines.get(str(named))
        elif "machine" in file.data.lost:
            scope.broken = True
        else:
            scope.implies = file.outline.id
        if machine is None:
            nothing = Address(Kind.MACHINE, "")
            machine = Machine(address=nothing, title="", origin=fields.origin)
        return build_procedure(
            fields,
            address,
            machine,
            self._shelf(machine, file),
            self._root,
            damaged=scope.broken or file.damaged or any(path[:1] == ("steps",) for path in file.bad),
        )

    def _logbook(self, listed: Listed) -> Logbook | None:
        """An individual machine's logbook; None where its machine is unknown."""
        file = listed.open()
        address = Address(Kind.LOGBOOK, file.outline.id)
        machine_id = str(file.data.get("machine", ""))
        fields = self._fields(file, address, self._scope(machine_id), self._after)
        if fields.shop_one("machine", Kind.MACHINE) is None:
            return None
        return logbook(fields, address, self._machines[machine_id])

    def _job(self, listed: Listed, scope: ItemScope) -> Job:
        """A job on an individual machine."""
        file = listed.open()
        address = Address(Kind.JOB, file.outline.id)
        fields = self._fields(file, address, scope, self._after)
        return job(fields, address, fields.shop_one("logbook", Kind.LOGBOOK) or "", self._choices_of)


def _merged(every: Iterable[Uses]) -> Mapping[Address, tuple[Use, ...]]:
    merged: dict[Address, dict[Use, None]] = {}
    for uses in every:
        for address, found in uses.items():
            merged.setdefault(address, {}).update(found)
    return {address: tuple(found) for address, found in merged.items()}


def _head(outline: Outline) -> Head:
    address = Address(Kind.PROCEDURE, outline.id)
    return Head(
        address=address,
        title=outline.title or title_from(outline.id),
        machine=outline.machine,
        place=Place(outline.path, *outline.own),
        machine_place=Place(outline.path, *outline.machine_spot),
        once_per_job=outline.once,
        declares=tuple(
            (Address(entry.kind, entry.id, outline.id), Place(outline.path, *entry.spot)) for entry in outline.entries
        ),
    )
