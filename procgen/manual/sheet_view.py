"""A sheet to work by, as its template shows it: steps with their boxes, lists, pause sheets, the close."""

from dataclasses import dataclass

from markupsafe import Markup

from procgen.manual.book import Link
from procgen.manual.facts import Fact
from procgen.manual.in_there import InThere
from procgen.manual.job_lists import Need
from procgen.manual.measures import Measured
from procgen.manual.notice_view import NoticeView
from procgen.manual.step_view import StepView
from procgen.manual.switch import Switch


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView:
    """A box for something measured."""

    id: str
    title: str
    limits: Measured | None
    scale: str
    """For the script: "mm 5 7|in 25/127 35/127"; a dash for an open end; empty without limits or a known unit."""
    unit: str
    """Printed behind the box; empty where nobody gave a unit."""
    times: tuple[str, ...]
    """A label for each time: "Reading", or "1", "2" …"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDownView:
    """A table for self-locking nuts: what each takes, and what that makes of each figure."""

    fastener: str
    title: str
    unit: str
    scale: str
    """Units only, for the script."""
    figures: tuple[str, ...]
    """Heads of the columns: "+ 25 N·m"."""
    adds: str
    """For the script: the least and the most of each figure in the first unit, "24:26 60:60"."""
    times: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLine:
    """Before a step after which nothing goes back without certain parts: what must be on the bench."""

    parts: tuple["BenchLine", ...]
    undoes: str
    """What that step does that only they can undo."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchLine:
    """A part, and whether it is there."""

    title: str
    about: str
    on_hand: bool | None
    """None where nobody has said."""
    lead: str
    """How long it takes to come."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRow:
    """One part on the bench, with what it is for."""

    line: BenchLine
    amount: str
    steps: str
    """Numbers of the steps that use it."""
    only_if: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseGroup:
    """What is in one state: "Off", and what."""

    label: str
    lines: tuple["PauseLine", ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseLine:
    """One thing that is not in service, and the step that left it so; its bag has that number."""

    title: str
    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleLine:
    """What must not be done now."""

    words: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseView:
    """The state in which the work can rest."""

    number: str
    """Of the step that comes next; empty at the end."""
    why: str
    """Why it rests well here."""
    groups: tuple[PauseGroup, ...]
    rules: tuple[RuleLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """A safety message at its step."""

    notice: NoticeView
    again: bool
    """It stood in full before on this sheet: word, title and what to do are enough."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStep:
    """A step with its boxes."""

    is_group: bool = False
    view: StepView
    messages: tuple[Message, ...]
    key: str
    mark: str
    """The fingerprint of its own words."""
    when: str
    """Its path condition, for the script; empty where it is always done."""
    outcome: str
    """Code of the choice that it decides; empty for none."""
    by_reading: bool
    go_back: str
    """Key of the step to go back to; empty for none."""
    times: tuple[str, ...]
    """A label for each tick."""
    readings: tuple[ReadingView, ...]
    comes_again: bool
    """The work may come back to it: on paper there is room for a second reading."""
    run_downs: tuple[RunDownView, ...]
    written: tuple[Markup, ...]
    """What else is written down."""
    signs: tuple[str, ...]
    stop: StopLine | None
    pause: PauseView | None
    """A natural stop before this step."""
    anyway: str
    """That what is looked at is renewed later whatever is found; no part of the fingerprint. Empty where it is not."""
    branch: tuple["SheetStep | SheetGroup", ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """Steps that one `open`, `close` or `follow` brought, under a heading."""

    is_group: bool = True
    title: str
    span: str
    when_words: str
    pause: PauseView | None
    """A natural stop before its first step: it stands before the heading."""
    steps: tuple["SheetStep | SheetGroup", ...]


SheetRun = SheetStep | SheetGroup


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseLine:
    """Something that was disturbed, and the step that puts it back."""

    title: str
    step: str
    """Number of the step; empty where it is handed on as it is."""
    torque: str
    proof: str
    """Number of the step that proves it; empty where none does."""
    signs: tuple[str, ...]
    only_if: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """An individual machine that a procedure's sheet may be for."""

    id: str
    name: str
    serial: str
    choices: str
    """Its variants for the script: "c1=heat-exchanger"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """All that the template shows."""

    title: str
    number: str
    kicker: str
    facts: tuple[Fact, ...]
    procedures: tuple[Link, ...]
    """What a job does; empty for a procedure's own sheet."""
    note: Markup
    switches: tuple[Switch, ...]
    machines: tuple[Machine, ...]
    """To choose from; empty where the sheet is for one."""
    is_for_one: bool
    """It is for one machine, whose serial number and meter are printed; else they are written in by hand."""
    hazards: tuple[NoticeView, ...]
    starts_with: tuple[str, ...]
    parts: tuple[BenchRow, ...]
    missing: tuple[str, ...]
    """Parts that are not on hand and needed for certain."""
    perhaps_missing: tuple[str, ...]
    """Those that only may be needed."""
    tools: tuple[Need, ...]
    runs: tuple[SheetRun, ...]
    close: tuple[CloseLine, ...]
    leaves: tuple[str, ...]
    meter: str
    """What the meter counts; empty where there is none."""
    roles: tuple[str, ...]
    readings: tuple[str, ...]
    """What is measured, for the logbook."""
    data: Markup
    """JSON for the script."""
    kept: Markup
    """The records of paused work that the library keeps, as a JSON list; empty where there are none."""
    in_there: InThere | None = None
    """What else could be done in the same opening; it is no part of the work, nor of its fingerprint."""
