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

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from procgen import program
from procgen.checks.check import Portion, Subject, portions
from procgen.checks.examine import Examined, Judged, conclude, judge
from procgen.finding import Finding
from procgen.library.library import Library
from procgen.library.link import Linker
from procgen.library.listing import Listing, list_library
from procgen.library.on_demand import Noted, OnDemand
from procgen.library.origin import Kind
from procgen.library.resolver import Uses
from procgen.memo import NOTHING_KNOWN, Memo, name_of

_ASIDE = frozenset({Kind.PROCEDURE, Kind.JOB, Kind.LOGBOOK})
"""What does not belong to the ground."""


@dataclass(frozen=True, kw_only=True)
class Survey:
    """An examined library, with a name for all that each of its portions depends on."""

    examined: Examined
    ground: str
    """The name of what everything depends on."""
    names: Mapping[Portion, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """All that comes of a portion."""

    judged: Judged
    uses: Uses
    """What it names; of the shop and of jobs nothing, since they are always linked."""
    findings: tuple[Finding, ...]
    """Of its linking."""


def survey(root: Path, on: date, leave_out: Collection[Path] = (), memo: Memo = NOTHING_KNOWN) -> Survey:
    """Read, link, plan and check the library in `root` as it stands on the day `on`.

    leave_out: folders that are not read.
    """
    listing = list_library(root, leave_out, memo)
    return _Surveyor(listing, on, memo).survey()


class _Surveyor:
    def __init__(self, listing: Listing, on: date, memo: Memo) -> None:
        self.listing = listing
        self.on = on
        self.memo = memo
        self.linker = Linker(listing)
        self.procedures = OnDemand(self.linker.heads, self.linker.procedure)
        # What steps name of which there is no catalogue is only known once all of them were read.
        short = self.linker.is_short_of_catalogues
        implied = [self.procedures.linked(name).implied for name in self.procedures] if short else []
        self.library = replace(self.linker.library(implied), procedures=self.procedures)
        self.digests: dict[str, str] = {}
        for file in listing.files:
            if file.outline.kind is Kind.PROCEDURE:
                self.digests.setdefault(file.outline.id, file.digest)
        self.ground = name_of(program.name(), self._of(*(set(Kind) - _ASIDE)), self._heads(), repr(implied))
        self.aside = self._of(Kind.JOB, Kind.LOGBOOK)
        self.names: dict[Portion, str] = {}

    def survey(self) -> Survey:
        known = {portion: self._known(portion) for portion in portions(self.library)}
        link_findings = (finding for each in known.values() for finding in each.findings)
        found = (*self.listing.findings, *self.linker.findings, *link_findings)
        library = replace(self.library, uses=self.linker.uses(each.uses for each in known.values()))
        examined = conclude(Subject(library, self.on, whole=not found), found, (each.judged for each in known.values()))
        return Survey(examined=examined, ground=self.ground, names=self.names)

    def _of(self, *kinds: Kind) -> str:
        """The name of all files of some kinds, in their order."""
        return name_of(*(file.digest for file in self.listing.files if file.outline.kind in kinds))

    def _heads(self) -> str:
        """The name of all that others can see of a procedure, and of which pictures there are."""
        outlines = (file.outline for file in self.listing.files if file.outline.kind is Kind.PROCEDURE)
        seen = (
            repr((each.path, each.id, each.title, each.machine, each.machine_spot, each.options)) for each in outlines
        )
        return name_of(*seen, "", *self.listing.others)

    def _known(self, portion: Portion) -> _Known:
        first = self._first_name(portion)
        asked: Iterable[str] | None = self.memo.recall(f"asked {first}")
        if asked is not None:
            name = self._full_name(first, asked)
            known: _Known | None = self.memo.recall(f"judged {name}")
            if known is not None:
                self.names[portion] = name
                return known
        noted = Noted(self.procedures)
        known = self._judged(portion, replace(self.library, procedures=noted))
        self.names[portion] = name = self._full_name(first, noted.asked)
        self.memo.keep(f"asked {first}", tuple(noted.asked))
        self.memo.keep(f"judged {name}", known)
        return known

    def _first_name(self, portion: Portion) -> str:
        """The name of what a portion depends on in any case."""
        own = [self.digests[name] for name in portion.procedures]
        if portion.is_shop:
            own += [self.aside, self.on.isoformat()]
        if portion.jobs:
            own += [self.aside, *portion.jobs]
        return name_of(self.ground, *own)

    def _full_name(self, first: str, asked: Iterable[str]) -> str:
        return name_of(first, *(f"{name} {self.digests.get(name, '')}" for name in asked))

    def _judged(self, portion: Portion, library: Library) -> _Known:
        linked = [self.procedures.linked(name) for name in portion.procedures]
        findings = tuple(finding for each in linked for finding in each.findings)
        whole = not (findings or self._unread(portion))
        subject = Subject(library, self.on, whole=whole, portion=portion)
        return _Known(
            judged=judge(subject),
            uses={address: uses for each in linked for address, uses in each.uses.items()},
            findings=findings,
        )

    def _unread(self, portion: Portion) -> bool:
        """Whether something could not be read in the files of a portion."""
        wanted = set(portion.procedures)
        return any(
            file.findings
            for file in self.listing.files
            if (file.outline.id in wanted if file.outline.kind is Kind.PROCEDURE else portion.is_shop)
        )
