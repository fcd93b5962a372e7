"""What became of a record."""

from dataclasses import dataclass

from procgen.finding import Finding, Place
from procgen.sheet.judge import Complaint, Open


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """The logbook has one entry more."""

    place: Place
    """Where the entry begins."""
    text: str
    warnings: tuple[Finding, ...]
    """What `procgen check` will say about the entry; never an error."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlreadyThere:
    """The logbook has this record; nothing was written."""

    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The work pauses: the record is kept beside the job."""

    file: str
    """Relative to the library."""
    open: tuple[Open, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The record cannot stand; nothing was written."""

    complaints: tuple[Complaint, ...]
    open: tuple[Open, ...] = ()
    """Steps that are not finished, where the record says that the work is."""


Outcome = Entered | AlreadyThere | Kept | Refused
