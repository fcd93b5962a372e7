"""A library's folder examined, as far as it is not known already.

    folder ─► list ─► link ─┬─► shop ──────► judge ─┐
                            ├─► procedure ─► judge ─┼─► conclude
                            └─► job ───────► judge ─┘
                                 each recalled where it was judged before, and nothing that it depends on has changed

A portion depends on its own files, on everything that is neither a procedure nor a job nor a logbook (the ground), and
on the procedures whose steps were asked for while it was judged: these are noted. Beyond that it sees of the other
procedures their heads alone, which belong to the ground. So its name is made from all these, and what is remembered
under that name holds as long as there is such a name.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Generic, TypeVar, cast

from procgen import program
from procgen.checks.check import Portion, Subject, portions
from procgen.checks.examine import Examined, Judged, conclude, judge
from procgen.finding import Finding
from procgen.hands import shared_out
from procgen.library.build_machine import picture_fault
from procgen.library.library import Library
from procgen.library.link import Ground, Linker
from procgen.library.listing import Listed, Listing, list_library
from procgen.library.on_demand import Noted, OnDemand
from procgen.library.origin import Kind
from procgen.library.resolver import Uses
from procgen.memo import NOTHING_KNOWN, Memo, name_of
from procgen.plan.steps import Plan

_ASIDE = frozenset({Kind.PROCEDURE, Kind.JOB, Kind.LOGBOOK})
"""What does not belong to the ground."""

T = TypeVar("T")
Extract = Callable[[Plan, Library], T]
"""What somebody wants to know of each procedure while its plan is at hand."""


@dataclass(frozen=True, kw_only=True)
class Survey(Generic[T]):
    """An examined library, with names for what it depends on."""

    examined: Examined
    extracts: Mapping[str, T]
    """Of each procedure, by its id, in the order of the files."""
    ground: str
    """The name of what everything depends on."""
    procedures: Mapping[str, str]
    """For each procedure the name of all on which its plan and its findings depend."""
    paused: Mapping[str, str]
    """For each record of paused work, by its path, the name of what it holds."""
    upkeep: str
    """The name of all logbooks and jobs, of the records of paused work, and of the day."""
    everything: str
    """The name of every file, of the day, and of the ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """All that comes of a portion."""

    judged: Judged
    uses: Uses
    """What it names; of the shop and of jobs nothing, since they are always linked."""
    findings: tuple[Finding, ...]
    """Of its linking."""
    asked: tuple[str, ...]
    """The procedures whose steps were asked for."""
    extract: object
    """None of what is no procedure."""


def nothing(_plan: Plan, _library: Library) -> None:
    """For who wants to know no more of a procedure."""


def survey(
    root: Path, on: date, extract: Extract[T], *, leave_out: Collection[Path] = (), memo: Memo = NOTHING_KNOWN
) -> Survey[T]:
    """Read, link, plan and check the library in `root` as it stands on the day `on`.

    leave_out: folders that are not read. extract: a function of a module, whose name and place decide what is
    remembered.
    """
    listing = list_library(root, leave_out, memo)
    return _Surveyor(listing, on, extract, memo).survey()


class _Surveyor(Generic[T]):
    def __init__(self, listing: Listing, on: date, extract: Extract[T], memo: Memo) -> None:
        self.listing = listing
        self.on = on
        self.extract = extract
        self.memo = memo
        self.aside = self._of(Kind.JOB, Kind.LOGBOOK)
        wanted = f"{extract.__module__}.{extract.__qualname__}"
        base = name_of(program.name(), wanted, self._of(*(set(Kind) - _ASIDE)), self._heads())
        linked = f"linked {name_of(base, self.aside)}"
        known: Ground | None = memo.recall(linked)
        self.linker = Linker(listing, known, memo)
        self.procedures = OnDemand(self.linker.heads, self.linker.procedure)
        # What steps name of which there is no catalogue is only known once all of them were read.
        short = self.linker.is_short_of_catalogues
        implied = [self.procedures.linked(name).implied for name in self.procedures] if short else []
        library = self.linker.library(implied)
        if known is None and not short:
            memo.keep(linked, self.linker.ground(library))
        self.library = replace(library, procedures=self.procedures)
        self.own: dict[str, Listed] = {}
        """The file of each procedure; of several with one id the first."""
        for file in listing.files:
            if file.outline.kind is Kind.PROCEDURE:
                self.own.setdefault(file.outline.id, file)
        self.ground = name_of(base, repr(implied))
        self.ground_unread = any(file.findings for file in listing.files if file.outline.kind is not Kind.PROCEDURE)

    def survey(self) -> Survey[T]:
        known = self._all_known()
        link_findings = (finding for _, each in known.values() for finding in each.findings)
        found = (*self.listing.findings, *self.linker.findings, *link_findings)
        library = replace(self.library, uses=self.linker.uses(each.uses for _, each in known.values()))
        subject = Subject(library, self.on, whole=not found)
        every = [file.digest for file in self.listing.files]
        paused = dict(self._paused())
        upkeep = name_of(self.aside, self.on.isoformat(), repr(paused))
        procedures = {portion.procedures[0]: each for portion, each in known.items() if portion.procedures}
        return Survey(
            examined=conclude(subject, found, (each.judged for _, each in known.values())),
            extracts={name: cast("T", each.extract) for name, (_, each) in procedures.items()},
            ground=self.ground,
            procedures={name: full for name, (full, _) in procedures.items()},
            paused=paused,
            upkeep=upkeep,
            everything=name_of(self.ground, upkeep, repr(self.listing.findings), *every),
        )

    def _all_known(self) -> dict[Portion, tuple[str, _Known]]:
        """What comes of each portion, with the name of all that it depends on: recalled, or worked out."""
        found = {portion: self._recalled(portion) for portion in portions(self.library)}
        missing = [portion for portion, known in found.items() if known is None]
        for portion, known in zip(missing, shared_out(self._worked_out, missing), strict=True):
            first = self._first_name(portion)
            full = self._full_name(first, known.asked)
            self.memo.keep(f"asked {first}", known.asked)
            self.memo.keep(f"known {full}", known)
            found[portion] = full, known
        return {portion: known for portion, known in found.items() if known is not None}

    def _recalled(self, portion: Portion) -> tuple[str, _Known] | None:
        first = self._first_name(portion)
        asked: tuple[str, ...] | None = self.memo.recall(f"asked {first}")
        if asked is None:
            return None
        full = self._full_name(first, asked)
        known: _Known | None = self.memo.recall(f"known {full}")
        return None if known is None else (full, known)

    def _first_name(self, portion: Portion) -> str:
        """The name of what a portion depends on in any case."""
        own = [self.own[name].digest for name in portion.procedures]
        if portion.is_shop:
            own += [self.aside, self.on.isoformat(), str(self.ground_unread)]
        if portion.jobs:
            own += [self.aside, *portion.jobs]
        return name_of(self.ground, *own)

    def _full_name(self, first: str, asked: Iterable[str]) -> str:
        return name_of(first, *(f"{name} {self.own[name].digest}" for name in asked))

    def _worked_out(self, portion: Portion) -> _Known:
        noted = Noted(self.procedures)
        linked = [self.procedures.linked(name) for name in portion.procedures]
        findings = tuple(finding for each in linked for finding in each.findings)
        library = replace(self.library, procedures=noted)
        unread = self.ground_unread if portion.is_shop else any(self.own[name].findings for name in portion.procedures)
        whole = not (findings or unread)
        subject = Subject(library, self.on, whole=whole, portion=portion)
        judged = judge(subject)
        extracts = [self.extract(subject.plan(each.procedure), library) for each in linked]
        return _Known(
            judged=judged,
            uses={address: uses for each in linked for address, uses in each.uses.items()},
            findings=findings,
            asked=tuple(noted.asked),
            extract=extracts[0] if extracts else None,
        )

    def _of(self, *kinds: Kind) -> str:
        """The name of all files of some kinds, in their order."""
        return name_of(*(file.digest for file in self.listing.files if file.outline.kind in kinds))

    def _heads(self) -> str:
        """The name of all that others can see of a procedure, and of which pictures there are."""
        every = [file.outline for file in self.listing.files]
        outlines = (outline for outline in every if outline.kind is Kind.PROCEDURE)
        pictures = (picture for outline in every for picture in outline.pictures)
        seen = (
            repr((each.path, each.id, each.own, each.title, each.machine, each.machine_spot, each.options, each.once))
            for each in outlines
        )
        return name_of(*seen, *(f"{each} {picture_fault(self.listing.root, each)}" for each in pictures))

    def _paused(self) -> Iterator[tuple[str, str]]:
        """Records of paused work, which lie beside the files that are read."""
        for path in self.listing.paused:
            with suppress(OSError):
                yield path, name_of((self.listing.root / path).read_bytes())
