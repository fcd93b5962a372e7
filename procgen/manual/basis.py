"""What each page is made from, as a name: as long as the name is the same, so is the page.

    ground ──┬─► of a record      who names it, which steps touch it, what is accepted in its file
             ├─► of a procedure   its steps, those that it follows, who names it, what is found and accepted in it,
             │                    records of its own paused work
             ├─► of a list        which procedures touch what is on it
             ├─► of names         what everything is called
             ├─► of upkeep        logbooks, jobs, the day, and all procedures that have to do with one machine
             └─► of everything    every file, and the day

The ground of the pages is that of the survey (the program; all but procedures, jobs and logbooks; the heads of the
procedures), the theme, and what every page shows: which machines are in the fleet, which jobs are
planned, whether it is a draft. A page may use what its name covers and no more: of a procedure that is not its own,
that is the head, never the steps.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from procgen.checks.accepted import Deviation
from procgen.finding import Finding
from procgen.library.fleet import Logbook
from procgen.library.library import Library
from procgen.library.origin import Address, Kind
from procgen.manual.theme import Theme
from procgen.manual.work import Work
from procgen.memo import Memo, name_of
from procgen.sheet.progress import procedure_progress


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What is known of a surveyed library, as names."""

    ground: str
    procedures: Mapping[str, str]
    """For each procedure by its id all on which its plan and its findings depend."""
    paused: Mapping[str, str]
    """For each record of paused work, by its path, what it holds."""
    upkeep: str
    """Every logbook and every job, the records of paused work, and the day."""
    everything: str


@dataclass(frozen=True, kw_only=True)
class Account:
    """Names what the pages of one manual are made from. Without a basis every name is empty: nobody keeps account."""

    basis: Basis | None
    library: Library
    work: Work
    theme: Theme
    findings: tuple[Finding, ...]
    deviations: tuple[Deviation, ...]
    looks: tuple[object, ...]
    """What else changes every page."""
    shows_findings: bool
    """On the page of the procedure that they are about."""
    memo: Memo

    def of_everything(self) -> str:
        """The name of all that there is."""
        return name_of(self._ground, self.basis.everything) if self.basis else ""

    def of_ground(self) -> str:
        """The name of what every page is made from."""
        return self._ground if self.basis else ""

    def of_list(self, addresses: Iterable[Address]) -> str:
        """The name of what a list of records is made from, which says which procedures touch each."""
        if self.basis is None:
            return ""
        touched = ((each.id, [touch.procedure.id for touch in self.work.get(each, ())]) for each in addresses)
        return name_of(self._ground, *map(repr, touched))

    def of_names(self, *more: str) -> str:
        """The name of what everything is called. more: procedures of which all that they say counts."""
        if self.basis is None:
            return ""
        library = self.library
        # What such procedures declare, or only name, is called what their own files say.
        own = (name for name, head in library.heads.items() if head.declares or head.machine not in library.machines)
        return name_of(self._ground, *(self.basis.procedures[name] for name in (*own, *more)))

    def of_upkeep(self, logbook: Logbook | None) -> str:
        """The name of what the due work of an individual machine, and jobs on it, are made from; None: of any."""
        if self.basis is None:
            return ""
        library = self.library
        machine = library.machines.get(logbook.machine) if logbook else None
        if logbook is None or machine is None:
            return self.of_everything()
        named = {name for due in machine.schedule.values() for name in due.do}
        named.update(name for entry in logbook.entries for name in entry.did)
        named.update(task.procedure for job in library.jobs.values() for task in job.do)
        its_own = (
            name
            for name, head in library.heads.items()
            if name in named or head.machine == logbook.machine or head.machine not in library.machines
        )
        procedures = self.basis.procedures
        about = self._about(logbook.address)
        return name_of(self._ground, self.basis.upkeep, *(procedures[name] for name in its_own), *about)

    def of_procedure(self, name: str, file: str) -> str:
        """The name of what a procedure's own pages are made from, paused work on its sheet included."""
        if self.basis is None:
            return ""
        found = self._found.get(file, ()) if self.shows_findings else ()
        address = Address(Kind.PROCEDURE, name)
        own = (self.basis.procedures[name], *self._about(address), *self._accepted(file), *found)
        return name_of(self._ground, *own, "", *self._paused(name, self.basis.paused))

    def of_record(self, address: Address, *files: str, more: Iterable[object] = ()) -> str:
        """The name of what the page of a record is made from, be it one that a procedure declares.

        files: those in which something can be accepted that its page tells. more: what else is on it.
        """
        if self.basis is None:
            return ""
        own = self.basis.procedures.get(address.scope, "")
        accepted = tuple(each for file in files for each in self._accepted(file))
        told = tuple(more)
        touches, uses = self.work.get(address), self.library.used_by(address)
        procedures = self.basis.procedures
        # What a procedure declares has its title in that procedure's file.
        declared = tuple(procedures[use.by.scope] for use in uses if use.by.scope in procedures)
        # Most is as it was at the last build, and a comparison takes less than a name.
        return self.memo.again(
            f"name {address.kind} {address.id} {address.scope}",
            (self._ground, own, told, touches, uses, declared, accepted),
            lambda: name_of(self._ground, own, repr(told), *self._about(address), *accepted),
        )

    @cached_property
    def _ground(self) -> str:
        assert self.basis is not None  # noqa: S101 - asked for by those that have looked
        fleet = [
            (each.address.id, each.name, each.serial, each.machine, sorted(each.variants.items()))
            for each in self.library.logbooks.values()
        ]
        jobs = [(each.address.id, each.title) for each in self.library.jobs.values()]
        return name_of(self.basis.ground, repr((fleet, jobs, self.looks)), self.theme.content_name)

    def _about(self, address: Address) -> Iterator[str]:
        """Who names a thing, and which steps touch it."""
        procedures = self.basis.procedures if self.basis else {}
        yield from (touch.name for touch in self.work.get(address, ()))
        for use in self.library.used_by(address):
            by = use.by
            # What a procedure declares has its title in that procedure's file.
            yield f"{by.kind} {by.id} {by.scope} {use.how} {procedures.get(by.scope, '')}"

    def _paused(self, name: str, known: Mapping[str, str]) -> Iterator[str]:
        """What the records of a procedure's paused work hold. known: all records there are."""
        machine = self.library.heads[name].machine
        for logbook in self.library.logbooks.values() if known else ():
            if logbook.machine == machine and (held := known.get(procedure_progress(name, logbook))):
                yield f"{logbook.address.id} {held}"

    def _accepted(self, file: str) -> tuple[str, ...]:
        return self._deviations.get(file, ())

    @cached_property
    def _deviations(self) -> Mapping[str, tuple[str, ...]]:
        """For each file what is accepted in it."""
        return _grouped(
            (each.accepted.place.file, f"{each.accepted.place} {each.accepted.check} {each.finding.message}")
            for each in self.deviations
        )

    @cached_property
    def _found(self) -> Mapping[str, tuple[str, ...]]:
        """For each file what was found in it."""
        return _grouped((each.place.file, repr(each)) for each in self.findings)


def _grouped(pairs: Iterable[tuple[str, str]]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return {key: tuple(values) for key, values in found.items()}
