"""What every name stands for: the first half of linking. Names are gathered before any record is built, so that
the order of files and of keys never matters.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from procgen.finding import Because, Finding, Place, Severity
from procgen.library.files import SourceFile
from procgen.library.origin import Address, Kind
from procgen.library.yaml_tree import Map

GROUPS: dict[str, Kind] = {
    "components": Kind.COMPONENT,
    "fasteners": Kind.FASTENER,
    "lines": Kind.LINE,
    "fluids": Kind.FLUID,
    "energies": Kind.ENERGY,
    "aids": Kind.AID,
    "conditions": Kind.CONDITION,
    "specs": Kind.SPEC,
    "checks": Kind.CHECK,
}
"""The keys that declare a machine's items."""

CATALOGUES: dict[Kind, str] = {
    Kind.TOOL: "tools",
    Kind.PART: "parts",
    Kind.SOURCE: "sources",
    Kind.NOTICE: "notices",
    Kind.TERM: "terms",
}
"""Shop-wide names and the key of the file that declares them."""


@dataclass(frozen=True, slots=True)
class Declared:
    """A name with the place that declares it."""

    address: Address
    place: Place


Scope = dict[str, Declared]


@dataclass(frozen=True, slots=True)
class Names:
    """Every name of a library."""

    shop: Mapping[Kind, Scope] = field(default_factory=lambda: {kind: {} for kind in Kind})
    """Shop-wide names by kind: catalogues, machines, procedures, logbooks, jobs."""
    items: dict[str, Scope] = field(default_factory=dict)
    """For each machine its items."""
    schedules: dict[str, Scope] = field(default_factory=dict)
    figures: dict[str, Scope] = field(default_factory=dict)
    assemblies: dict[str, Scope] = field(default_factory=dict)
    local: dict[str, Scope] = field(default_factory=dict)
    """For each procedure the items that its own file declares."""


def declare(files: Iterable[SourceFile]) -> tuple[Names, tuple[Finding, ...]]:
    """Gather every name. A name declared twice is reported at the second place; the first stands."""
    names = Names()
    findings: list[Finding] = []
    for file in files:
        for scope, declared in _declarations(names, file):
            first = scope.setdefault(declared.address.id, declared)
            if first is not declared:
                findings.append(_twice(first, declared))
    _local_against_machine(names, files, findings)
    return names, tuple(findings)


def _declarations(names: Names, file: SourceFile) -> Iterator[tuple[Scope, Declared]]:
    kind, data = file.kind, file.data
    if kind in CATALOGUES:
        yield from _entries(names.shop[kind], file, data.get(CATALOGUES[kind]), kind, "")
        return
    if kind is None or kind is Kind.MANUAL:
        return
    own = Declared(Address(kind, file.id), _own_place(file))
    if kind is Kind.ASSEMBLY:
        machine = _text(data.get("machine"))
        own = Declared(Address(kind, file.id, machine), own.place)
        yield names.assemblies.setdefault(machine, {}), own
        yield from _groups(names.items.setdefault(machine, {}), file, machine)
        yield from _entries(names.figures.setdefault(machine, {}), file, data.get("figures"), Kind.FIGURE, machine)
        return
    yield names.shop[kind], own
    if kind is Kind.MACHINE:
        yield from _groups(names.items.setdefault(file.id, {}), file, file.id)
        yield from _entries(names.figures.setdefault(file.id, {}), file, data.get("figures"), Kind.FIGURE, file.id)
        schedule = names.schedules.setdefault(file.id, {})
        yield from _entries(schedule, file, data.get("schedule"), Kind.SCHEDULE, file.id)
    if kind is Kind.PROCEDURE:
        yield from _groups(names.local.setdefault(file.id, {}), file, file.id)


def _groups(scope: Scope, file: SourceFile, owner: str) -> Iterator[tuple[Scope, Declared]]:
    for key, kind in GROUPS.items():
        yield from _entries(scope, file, file.data.get(key), kind, owner)


def _entries(
    scope: Scope, file: SourceFile, entries: object, kind: Kind, owner: str
) -> Iterator[tuple[Scope, Declared]]:
    if isinstance(entries, Map):
        for name in entries:
            yield scope, Declared(Address(kind, name, owner), Place(file.path, *entries.spots[name][0]))


def _own_place(file: SourceFile) -> Place:
    first = next(iter(file.data), None)
    return Place(file.path, *(file.data.spots[first][1] if first else (1, 1)))


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def _twice(first: Declared, second: Declared) -> Finding:
    what = second.address
    where = f" of {what.scope}" if what.scope else ""
    kinds = what.kind if first.address.kind is what.kind else f"{what.kind}, and as a {first.address.kind} before it"
    return Finding(
        check="duplicate-name",
        severity=Severity.ERROR,
        place=second.place,
        message=f'"{what.id}"{where} is declared twice: here as a {kinds}. Nobody could tell which one a step means.',
        because=(Because(message=f'"{what.id}" is first declared', place=first.place),),
        remedy="give one of the two another name, or remove it",
    )


def _local_against_machine(names: Names, files: Iterable[SourceFile], findings: list[Finding]) -> None:
    for file in files:
        if file.kind is not Kind.PROCEDURE:
            continue
        machine_items = names.items.get(_text(file.data.get("machine")), {})
        for name, declared in names.local.get(file.id, {}).items():
            if name in machine_items:
                findings.append(_twice(machine_items[name], declared))
