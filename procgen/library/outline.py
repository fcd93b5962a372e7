"""What the rest of a library has to know of a file: its name, its machine, and all that it declares."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import NamedTuple

from procgen.library.origin import Kind, Spot
from procgen.library.yaml_tree import Map, Seq

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
"""Shop-wide names and the key of the file that declares them. Such files have no id of their own."""

_DECLARING: dict[Kind, dict[str, Kind]] = {
    Kind.MACHINE: {**GROUPS, "figures": Kind.FIGURE, "schedule": Kind.SCHEDULE},
    Kind.ASSEMBLY: {**GROUPS, "figures": Kind.FIGURE},
    Kind.PROCEDURE: GROUPS,
    **{kind: {key: kind} for kind, key in CATALOGUES.items()},
}

Choices = Mapping[str, tuple[bool | str, ...]]
"""Values of each option or variant by its name."""


class Entry(NamedTuple):
    """A name that a file declares."""

    kind: Kind
    id: str
    spot: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A file as others see it."""

    path: str
    """Relative to the library, with forward slashes."""
    kind: Kind | None
    """None where no key says the kind, or nothing could be read."""
    id: str
    """Empty for catalogues, and where it is missing or no id."""
    own: Spot = (1, 1)
    """Where the id is written."""
    machine: str = ""
    """The machine that it names; empty where it names none."""
    machine_spot: Spot = (1, 1)
    title: str = ""
    """As written; empty where it is not."""
    entries: tuple[Entry, ...] = ()
    options: Choices | None = None
    """What a procedure lets one choose; None for other files."""
    pictures: tuple[PurePosixPath, ...] = ()
    """The files of its figures, relative to the library."""
    once: bool = False
    """A procedure that a job does once, however many of its procedures follow it."""


def outline(path: str, kind: Kind, id_: str, data: Map) -> Outline:
    """The outline of a file whose tree holds sound values only."""
    own = next(iter(data.spots.values()), ((1, 1), (1, 1)))[1]
    machine = data.get("machine")
    return Outline(
        path=path,
        kind=kind,
        id=id_,
        own=own,
        machine=str(machine or ""),
        machine_spot=data.spots["machine"][1] if "machine" in data.spots else own,
        title=str(data.get("title") or ""),
        entries=tuple(_entries(kind, data)),
        options=option_choices(data) if kind is Kind.PROCEDURE else None,
        pictures=tuple(_pictures(path, data)),
        once=data.get("once-per-job") is True,
    )


def _entries(kind: Kind, data: Map) -> Iterator[Entry]:
    for key, declared in _DECLARING.get(kind, {}).items():
        entries = data.get(key)
        if isinstance(entries, Map):
            yield from (Entry(declared, name, entries.spots[name][0]) for name in entries)


def _pictures(path: str, data: Map) -> Iterator[PurePosixPath]:
    figures = data.get("figures")
    for figure in figures.values() if isinstance(figures, Map) else ():
        if isinstance(figure, Map) and figure.get("file"):
            yield PurePosixPath(path).parent / str(figure["file"])


def option_choices(data: Map) -> Choices:
    """The options that a procedure's file offers, with their values."""
    options = data.get("options")
    found: dict[str, tuple[bool | str, ...]] = {}
    for name, entry in options.items() if isinstance(options, Map) else ():
        choices = entry.get("choices") if isinstance(entry, Map) else None
        found[name] = tuple(str(each) for each in choices) if isinstance(choices, Seq) and choices else (True, False)
    return found
