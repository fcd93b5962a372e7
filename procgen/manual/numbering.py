"""Section numbers, as a bound manual has them: short enough to call across the shop.

A machine is a numbered section, its assemblies are letters in it (1A, 1B), what belongs to an assembly is numbered in
that (1B.4), and procedures count through the machine (1-07). Shop-wide sections have a letter.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from string import ascii_uppercase

from procgen.library.library import Library
from procgen.library.machine import Machine
from procgen.library.origin import Address

GENERAL = "0"
"""The section of procedures that name no machine."""
FLEET, TOOLS, PARTS, NOTICES, SOURCES, WORDS, REPORT = "FTPNSWR"
"""The letters of the shop-wide sections."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """The section number of everything that has one."""

    of: Mapping[Address, str]

    def __getitem__(self, address: Address) -> str:
        return self.of.get(address, "")


def number(library: Library) -> Numbers:
    """Number the whole manual, in the order of the library."""
    return Numbers(dict(_all(library)))


def _all(library: Library) -> Iterator[tuple[Address, str]]:
    sections: dict[str, str] = {"": GENERAL}
    for count, machine in enumerate(library.machines.values(), start=1):
        sections[machine.address.id] = str(count)
        yield from _machine(machine, str(count))
    counts: dict[str, int] = {}
    for head in library.heads.values():
        section = sections.get(head.machine, GENERAL)
        counts[section] = counts.get(section, 0) + 1
        own = f"{section}-{counts[section]:02}"
        yield head.address, own
        for place, (address, _) in enumerate(head.declares, start=1):
            yield address, f"{own}.{place}"
    shelves = {
        TOOLS: library.tools,
        PARTS: library.parts,
        NOTICES: library.notices,
        SOURCES: library.sources,
        FLEET: library.logbooks,
    }
    for letter, shelf in shelves.items():
        for count, record in enumerate(shelf.values(), start=1):
            yield record.address, f"{letter}{count}"


def _machine(machine: Machine, section: str) -> Iterator[tuple[Address, str]]:
    yield machine.address, section
    for place, assembly in enumerate(machine.assemblies):
        letters = f"{section}{_letters(place)}"
        yield assembly.address, letters
        for count, id_ in enumerate(assembly.items, start=1):
            yield machine.items[id_].address, f"{letters}.{count}"
    loose = (item for item in machine.items.values() if item.id not in machine.assembly_of)
    for count, item in enumerate(loose, start=1):
        yield item.address, f"{section}.{count}"


def _letters(place: int) -> str:
    """A, B … Z, AA, AB …: `place` counts from 0."""
    head, letter = divmod(place, 26)
    return (_letters(head - 1) if head else "") + ascii_uppercase[letter]
