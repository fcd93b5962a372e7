"""The whole manual while it is being made: what every page module is given, and one leaf of it for each page.

    SiteInput(library, plans, findings, deviations, draft, on, theme)  ->  Book  ->  Leaf(path)  ->  Page

A leaf knows its own path, so every link made through it is relative to it.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache
from typing import TypeVar

from markupsafe import Markup

from procgen.checks.accepted import Deviation
from procgen.finding import Finding, Severity
from procgen.library.fleet import Logbook
from procgen.library.items import Fastener, Fluid, Record, Spec
from procgen.library.library import Library
from procgen.library.machine import Machine
from procgen.library.origin import ITEM_KINDS, Accepted, Address, Kind, Prose
from procgen.library.references import Reference
from procgen.manual import numbering, paths, prose, safety
from procgen.manual.basis import Account, Basis
from procgen.manual.chrome import Chrome, Tab
from procgen.manual.extract import Extract, extract
from procgen.manual.measures import Measures
from procgen.manual.page import Page
from procgen.manual.press import Press
from procgen.manual.prose import Referent
from procgen.manual.theme import Theme
from procgen.manual.work import Work, work
from procgen.memo import NOTHING_KNOWN, Memo
from procgen.plan.naming import in_sentence
from procgen.plan.steps import Plan
from procgen.upkeep.due import MachineDue, due
from procgen.upkeep.together import Together
from procgen.upkeep.visit_plan import VisitPlan, visit_plan

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteInput:
    """All that a manual is made from."""

    library: Library
    plans: Mapping[str, Plan]
    """Every procedure as it will be done, by its id."""
    extracts: Mapping[str, Extract] | None = None
    """What other pages say of each; None: to be made from the plans."""
    theme: Theme
    findings: tuple[Finding, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    """Findings that the author accepts, with the reasons."""
    accepted: tuple[Accepted, ...] = ()
    """Every reason for which something is accepted."""
    basis: Basis | None = None
    """What is known of the library as names; None: nobody keeps account of what pages are made from."""
    draft: bool = False
    """Built although there are errors: every page says so."""
    memo: Memo = NOTHING_KNOWN
    """What is known from earlier."""
    with_book: bool = False
    """The manual brings itself along as a PDF, and its front page leads there."""
    on: date | None = None
    """The day for which due work is shown; None: no due dates, since the manual does not know the day."""


@dataclass(frozen=True, slots=True)
class Link:
    """A name that leads somewhere."""

    title: str
    href: str
    number: str = ""
    """Section number of where it leads; empty where that has none."""


@dataclass(frozen=True)
class Book:
    """A manual in the making."""

    site: SiteInput
    _press: Press = field(repr=False)
    blocks: dict[tuple[str, int, int], Markup] = field(default_factory=dict, repr=False)
    """Texts that are set already: by their words, their machine, and how deep the page lies."""
    visit_plans: dict[str, VisitPlan] = field(default_factory=dict, repr=False)
    """Those that are known already, by logbook."""
    tabs: dict[tuple[str, int], tuple[Tab, ...]] = field(default_factory=dict, repr=False)
    """Thumb indexes that are made already: by section, and how deep the page lies."""

    @property
    def library(self) -> Library:
        """The linked library."""
        return self.site.library

    @cached_property
    def styles(self) -> tuple[str, ...]:
        """The style sheets that every page links, in order."""
        return self.site.theme.styles()

    @cached_property
    def numbers(self) -> numbering.Numbers:
        """Section numbers."""
        return numbering.number(self.library)

    @cached_property
    def measures(self) -> Measures:
        """Quantities in the units that the manual asks for."""
        return Measures(self.library.manual.units)

    @cached_property
    def work(self) -> Work:
        """Which steps touch what."""
        heads = self.library.heads
        touches = [(heads[name].address, each.touches) for name, each in self.extracts.items()]
        return self.site.memo.again("work", touches, lambda: work(touches))

    @cached_property
    def extracts(self) -> Mapping[str, Extract]:
        """What other pages say of each procedure, in the order of the library."""
        if self.site.extracts is not None:
            return self.site.extracts
        return {name: extract(plan, self.library) for name, plan in self.site.plans.items()}

    @cached_property
    def account(self) -> Account:
        """Names what each page is made from."""
        site = self.site
        return Account(
            basis=site.basis,
            library=site.library,
            work=self.work if site.basis else {},
            theme=site.theme,
            findings=site.findings,
            deviations=site.deviations,
            looks=(site.draft, site.with_book),
            shows_findings=site.draft,
            memo=site.memo,
        )

    @cached_property
    def due(self) -> tuple[MachineDue, ...]:
        """What is due on each individual machine; nothing where the manual does not know its day."""
        return due(self.library, self.site.on) if self.site.on else ()

    @cached_property
    def together(self) -> Together:
        """What procedures come to when they are done together."""
        return Together(self.library)

    def visits_to(self, logbook: Logbook) -> VisitPlan | None:
        """The cheapest visits to an individual machine over the next years; None where the manual knows no day."""
        name = logbook.address.id
        if name not in self.visit_plans:
            for machine in self.due:
                if machine.logbook is logbook:
                    self.visit_plans[name] = visit_plan(machine, self.together)
        return self.visit_plans.get(name)

    @cached_property
    def errors(self) -> int:
        """How many findings forbid the use of the manual."""
        return sum(finding.severity is Severity.ERROR for finding in self.site.findings)

    def recalled(self, what: str, made_from: str, make: Callable[[], T]) -> T:
        """Something that is made from what has that name: recalled, or made. An empty name: made every time."""
        name = f"{what} {made_from}"
        known: T | None = self.site.memo.recall(name) if made_from else None
        if known is None:
            known = make()
            if made_from:
                self.site.memo.keep(name, known)
        return known

    def leaf(self, path: str, section: str = "") -> "Leaf":
        """A page to be made at `path`. section: the mark of the thumb index that it lies under."""
        return Leaf(self, path, section)

    def set(self, template: str, chrome: Chrome, view: object) -> str:
        """The finished page."""
        return self._press.set(template, chrome=chrome, view=view)

    def section_of(self, machine: Machine) -> str:
        """The mark of a machine's section."""
        return self.numbers[machine.address] or numbering.GENERAL


def book(site: SiteInput) -> Book:
    """Open a manual."""
    return Book(site, Press(site.theme, site.memo))


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page in the making."""

    book: Book
    path: str
    section: str

    @property
    def library(self) -> Library:
        """The linked library."""
        return self.book.library

    def href(self, path: str, anchor: str = "") -> str:
        """The link from here to another page."""
        return paths.relative(self.path, path, anchor)

    def to(self, address: Address, anchor: str = "") -> Link:
        """The link from here to what has that address, under its title."""
        title = self._title(address)
        path, own_anchor = paths.path_of(address, self.library)
        return Link(title, self.href(path, anchor or own_anchor), self.book.numbers[address])

    def _title(self, address: Address) -> str:
        # A procedure need not be opened for its title.
        if address.kind is Kind.PROCEDURE:
            head = self.library.heads.get(address.id)
            return head.title if head else address.id
        record = self.library.find(address)
        return title_of(record) if record else address.id

    def record(self, record: Record) -> Link:
        """The link from here to a record."""
        path, anchor = paths.path_of(record.address, self.library)
        return Link(title_of(record), self.href(path, anchor), self.book.numbers[record.address])

    def items(self, ids: tuple[str, ...], machine: Machine) -> tuple[Link, ...]:
        """Links to items of a machine."""
        return tuple(self.record(machine.items[item]) for item in ids if item in machine.items)

    def shelf(self, kind: Kind, ids: tuple[str, ...]) -> tuple[Link, ...]:
        """Links to shop-wide records of a kind; a name that nothing declares (only in drafts) is left as text."""
        return tuple(
            self.record(record) if (record := self.library.find(Address(kind, id_))) else Link(id_, "") for id_ in ids
        )

    def block(self, text: Prose | None, machine: Machine | None = None) -> Markup:
        """An author's text as paragraphs; empty for None."""
        if not text:
            return Markup()
        # A component's steps stand in every procedure that takes it off: what was set once is kept.
        key = (text.text, id(machine), paths.depth(self.path))
        blocks = self.book.blocks
        if key not in blocks:
            blocks[key] = prose.block(text.text, self._resolver(machine))
        return blocks[key]

    def line(self, text: Prose | str | None, machine: Machine | None = None) -> Markup:
        """An author's text in one line; empty for None."""
        return prose.line(str(text), self._resolver(machine)) if text else Markup()

    def plain(self, text: Prose | None, machine: Machine | None = None) -> str:
        """An author's text as words without marks; empty for None."""
        return prose.plain(text.text, self._resolver(machine)) if text else ""

    def _resolver(self, machine: Machine | None) -> prose.Resolve:
        def resolve(reference: Reference) -> Referent | None:
            record = self.library.resolve(reference.name, machine)
            if record is None:
                return None
            text = value_in_text(record, reference.value, self.book.measures)
            if text is None:
                return None
            within = record.address.kind in _COMMON_NOUNS and not reference.value
            return Referent(text, self.record(record).href, within)

        return resolve

    def page(
        self,
        template: str,
        view: Callable[[], object],
        *,
        title: str,
        number: str = "",
        running: str = "",
        stamp: str = "",
        scripts: tuple[str, ...] = (),
        made_from: str | None = None,
    ) -> Page:
        """The page, which is set with its template when somebody asks for it.

        made_from: a name for all that `view` looks at (see basis.py); None: it may look at everything.
        """

        def set_() -> str:
            chrome = self._chrome(title, number, running, stamp, scripts)
            return self.book.set(template, chrome, view())

        name = self.book.account.of_everything() if made_from is None else made_from
        return Page(self.path, set_, name)

    def _chrome(self, title: str, number: str, running: str, stamp: str, scripts: tuple[str, ...]) -> Chrome:
        manual = self.library.manual
        numbered = f"{number}  {title}" if number else title
        return Chrome(
            language=manual.language,
            paper=manual.paper,
            title=title,
            number=number,
            manual=manual.title,
            publisher=manual.publisher,
            edition=manual.edition,
            front=self.href(paths.FRONT),
            find=self.href(paths.FIND),
            running=running or numbered,
            stamp=stamp or (f"Edition {manual.edition}" if manual.edition else ""),
            tabs=self._tabs(),
            styles=tuple(self.href(style) for style in self.book.styles),
            head_scripts=(self.href("theme/scripts/light.js"),),
            scripts=tuple(self.href(script) for script in ("theme/scripts/keys.js", "theme/scripts/page.js", *scripts)),
            draft=self._draft(),
            safety=safety.WORDING,
            house_safety=self.block(manual.safety),
        )

    def _draft(self) -> str:
        # How many there are would change every page with every mistake that is mended; the report tells it.
        return "Errors were found. Not for use on a machine." if self.book.site.draft else ""

    def _tabs(self) -> tuple[Tab, ...]:
        # They are the same on every page of a section that lies as deep.
        known, key = self.book.tabs, (self.section, paths.depth(self.path))
        if key not in known:
            known[key] = tuple(self._each_tab())
        return known[key]

    def _each_tab(self) -> Iterator[Tab]:
        library = self.library
        for machine in library.machines.values():
            path, _ = paths.path_of(machine.address, library)
            yield self._tab(self.book.numbers[machine.address], short_name(machine), path)
        for mark, name, path, there in (
            (numbering.FLEET, "Fleet", paths.FLEET, library.logbooks),
            (numbering.TOOLS, "Tools", paths.TOOLS, library.tools),
            (numbering.PARTS, "Parts", paths.PARTS, library.parts),
            (numbering.NOTICES, "Notices", paths.NOTICES, library.notices),
            (numbering.SOURCES, "Sources", paths.SOURCES, library.sources),
            (numbering.WORDS, "Words", paths.WORDS, True),
            (numbering.REPORT, "Report", paths.REPORT, True),
        ):
            if there:
                yield self._tab(mark, name, path)

    def _tab(self, mark: str, name: str, path: str) -> Tab:
        return Tab(mark=mark, name=name, href=self.href(path), here=mark == self.section)


def title_of(record: Record) -> str:
    """What a record is called: an individual machine by its name."""
    return record.name if isinstance(record, Logbook) else record.title


_COMMON_NOUNS = frozenset({*ITEM_KINDS, Kind.TOOL, Kind.PART, Kind.TERM})
"""What stands in a sentence with a small letter."""


def short_name(machine: Machine) -> str:
    """A machine's name for the thumb index: its id, in capitals where it is a type number."""
    return _short_name(machine.address.id)


@lru_cache(maxsize=1024)
def _short_name(id_: str) -> str:
    return id_.upper() if any(character.isdigit() for character in id_) else id_.replace("-", " ").capitalize()


def value_in_text(record: Record, value: str, measures: Measures) -> str | None:
    """What `{name.value}` puts into a text; None where the record has no such value."""
    match record, value:
        case _, "" | "title":
            return title_of(record)
        case Fastener(torque=torque), "torque" if torque:
            line = measures.torque_line(torque)
            return in_sentence(line) if torque.is_by_hand else line
        case Spec(limits=limits), "limits" if limits:
            return measures.text(limits)
        case Fluid(capacity=capacity), "capacity" if capacity:
            return measures.text(capacity)
        case Fastener(thread=thread), "thread" if thread:
            return thread
        case Fastener(count=count), "count":
            return str(count)
        case _:
            number = getattr(record, "number", "") if value == "number" else ""
            return number or None
