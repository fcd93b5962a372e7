"""What every name stands for: the first half of linking. Names are gathered before any record is built, so that
the order of files and of keys never matters.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from procgen.finding import Because, Finding, Place, Severity
from procgen.library.origin import Address, Kind
from procgen.library.outline import CATALOGUES, Outline


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


def declare(outlines: Iterable[Outline]) -> tuple[Names, tuple[Finding, ...]]:
    """Gather every name. A name declared twice is reported at the second place; the first stands."""
    names = Names()
    findings: list[Finding] = []
    for outline in outlines:
        for scope, declared in _declarations(names, outline):
            first = scope.setdefault(declared.address.id, declared)
            if first is not declared:
                findings.append(_twice(first, declared))
    _local_against_machine(names, outlines, findings)
    return names, tuple(findings)


def _declarations(names: Names, file: Outline) -> Iterator[tuple[Scope, Declared]]:
    kind = file.kind
    if kind is None or kind is Kind.MANUAL:
        return
    if kind not in CATALOGUES:
        of_machine = kind is Kind.ASSEMBLY
        shelf = names.assemblies.setdefault(file.machine, {}) if of_machine else names.shop[kind]
        address = Address(kind, file.id, file.machine if of_machine else "")
        yield shelf, Declared(address, Place(file.path, *file.own))
    owner = file.machine if kind is Kind.ASSEMBLY else file.id
    for entry in file.entries:
        address = Address(entry.kind, entry.id, owner)
        yield _scope(names, kind, entry.kind, owner), Declared(address, Place(file.path, *entry.spot))


def _scope(names: Names, file: Kind, entry: Kind, owner: str) -> Scope:
    """Where what a file of one kind declares is looked up."""
    if file in CATALOGUES:
        return names.shop[file]
    if file is Kind.PROCEDURE:
        return names.local.setdefault(owner, {})
    by_machine = {Kind.FIGURE: names.figures, Kind.SCHEDULE: names.schedules}.get(entry, names.items)
    return by_machine.setdefault(owner, {})


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


def _local_against_machine(names: Names, outlines: Iterable[Outline], findings: list[Finding]) -> None:
    for file in outlines:
        if file.kind is not Kind.PROCEDURE:
            continue
        machine_items = names.items.get(file.machine, {})
        for name, declared in names.local.get(file.id, {}).items():
            if name in machine_items:
                findings.append(_twice(machine_items[name], declared))
