"""When scheduled work was last done on a machine, as its logbook tells it, and from what its intervals count."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from procgen.library.condition import holds, names
from procgen.library.fleet import Entry, Logbook
from procgen.library.library import Library
from procgen.library.machine import Machine, ScheduleItem
from procgen.library.origin import PartId, ProcedureId
from procgen.upkeep.meter import Track, figure
from procgen.upkeep.renewal import lists, part_of


class Basis(StrEnum):
    """Why work counts as done."""

    DID = "did"
    """An entry names one of its procedures."""
    RESET = "reset"
    """An entry names work that resets it."""
    PARTS = "parts"
    """An entry lists the parts of everything that it renews."""
    IN_SERVICE = "in service"
    """It was never done; its intervals count from the day on which the machine came into service."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """What intervals count from."""

    on: date
    meter: Fraction | None
    """What the meter said, or must have said; None where nothing tells."""
    basis: Basis
    by: str = ""
    """Id of the work that reset it; empty for any other basis."""
    entry: Entry | None = None
    """None where it was never done."""


@dataclass(frozen=True, slots=True)
class History:
    """One machine's past, up to a day."""

    library: Library
    machine: Machine
    logbook: Logbook
    track: Track
    on: date
    """Entries after this day are not looked at."""

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What was done, the earliest first; entries of one day in the order of what they did."""
        known = (entry for entry in self.logbook.entries if entry.on <= self.on)
        return tuple(sorted(known, key=lambda entry: (entry.on, entry.did, entry.parts, entry.meter or 0, entry.by)))

    def times_done(self, item: ScheduleItem) -> tuple[Since, ...]:
        """Every day on which work was done, the earliest first."""
        resets = self._reset_by(item)
        found: dict[date, Since] = {}
        for entry in self.entries:
            basis = self._basis(entry, item, resets)
            if basis is None:
                continue
            meter = figure(entry, self.track)
            earlier = found.get(entry.on)
            if earlier is None or (meter or 0) > (earlier.meter or 0):
                found[entry.on] = Since(on=entry.on, meter=meter, basis=basis[0], by=basis[1], entry=entry)
        return tuple(found.values())

    def since(self, item: ScheduleItem) -> Since | None:
        """What an item's intervals count from; None where it was never done and nothing tells the machine's age."""
        done = self.times_done(item)
        if done:
            return done[-1]
        start = self.logbook.in_service
        if start is None or start > self.on:
            return None
        return Since(on=start, meter=self.track.at(start), basis=Basis.IN_SERVICE)

    def applies(self, item: ScheduleItem) -> bool:
        """Whether work is for a machine of these variants: one of its procedures is, or it names none."""
        procedures = [self.library.procedures[name] for name in item.do if name in self.library.procedures]
        variants = self.logbook.variants
        return not procedures or any(
            not names(each.only_for) <= variants.keys() or holds(each.only_for, variants) for each in procedures
        )

    def counts(self, procedure: ProcedureId, item: ScheduleItem) -> bool:
        """Whether doing that procedure counts as doing the item, by itself or because it resets it."""
        return any(procedure in other.do for other in (item, *self._reset_by(item).values()))

    def _basis(self, entry: Entry, item: ScheduleItem, resets: Mapping[str, ScheduleItem]) -> tuple[Basis, str] | None:
        if set(entry.did) & set(item.do):
            return Basis.DID, ""
        for name, other in resets.items():
            if set(entry.did) & set(other.do) or self._renewed_by_parts(entry, other):
                return Basis.RESET, name
        return (Basis.PARTS, "") if self._renewed_by_parts(entry, item) else None

    def _reset_by(self, item: ScheduleItem) -> Mapping[str, ScheduleItem]:
        """Everything that counts as doing `item`, in however many steps, in the order of the schedule."""
        counts: set[str] = {item.address.id}
        schedule = self.machine.schedule
        while more := {name for name, other in schedule.items() if counts & set(other.resets)} - counts:
            counts |= more
        return {name: other for name, other in schedule.items() if name in counts - {item.address.id}}

    def _renewed_by_parts(self, entry: Entry, item: ScheduleItem) -> bool:
        """Whether the entry lists the part of everything that a renewal is of, whatever procedure it names."""
        if item.kind != "renew" or not entry.parts:
            return False
        parts = list(self._parts(item))
        return bool(parts) and all(part is not None and lists(entry, part, self.library) for part in parts)

    def _parts(self, item: ScheduleItem) -> Iterator[PartId | None]:
        return (part_of(each, self.machine) for each in item.of)
