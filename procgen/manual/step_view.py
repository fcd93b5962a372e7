"""One step of a procedure as a page shows it, and the runs that a fold holds together."""

from dataclasses import dataclass

from markupsafe import Markup

from procgen.manual.book import Link
from procgen.manual.fastener_view import LoosenPlate, TorquePlate
from procgen.manual.figure_view import FigureView
from procgen.manual.measures import Measured
from procgen.manual.notice_view import NoticeView


@dataclass(frozen=True, slots=True)
class Doing:
    """What a step does to what: "Tighten", and the links."""

    verb: str
    items: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Limits:
    """What must be measured."""

    spec: Link | None
    value: Measured


@dataclass(frozen=True, slots=True)
class Consumed:
    """A part or a consumable that a step needs, with the amount where one is given."""

    part: Link
    amount: str


@dataclass(frozen=True, slots=True)
class CalloutMark:
    """A number on a figure that shows what a step is about."""

    number: int
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One numbered step."""

    is_group: bool = False
    number: str
    anchor: str
    doings: tuple[Doing, ...]
    text: Markup
    """What to do; empty where the doings say it all."""
    why: Markup
    note: Markup
    proof: Markup
    notices: tuple[NoticeView, ...]
    tools: tuple[Link, ...]
    uses: tuple[Consumed, ...]
    new: tuple[Link, ...]
    torques: tuple[TorquePlate, ...]
    loosenings: tuple[LoosenPlate, ...]
    limits: tuple[Limits, ...]
    records: tuple[Markup, ...]
    signs: tuple[str, ...]
    guards: tuple[Link, ...]
    """What a check guards: the things whose failure it catches."""
    because: tuple[Markup, ...]
    """Why the machine's rules ask for a check."""
    accept: Markup
    branch_head: str
    """What the branch below is for: "If it is not so"; empty where there is none."""
    branch: tuple["StepView | GroupView", ...]
    go_back: Link | None
    repeat: Markup
    needs: tuple[str, ...]
    sets: tuple[Link, ...]
    see: tuple[Link, ...]
    time: str
    minutes: str
    """For the switches: a bare number, or empty."""
    wait: str
    figure: FigureView | None
    """A figure that is shown here for the first time."""
    figure_again: Link | None
    """A figure that was shown before."""
    callouts: tuple[CalloutMark, ...]
    when_words: str
    when_data: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupView:
    """A run of steps that one `open`, `close` or `follow` brought, under a heading that folds."""

    is_group: bool = True
    anchor: str
    title: str
    kind: str
    """open, close or follow."""
    item: Link | None
    span: str
    """"steps 2 to 14"."""
    steps: tuple["StepView | GroupView", ...]
    when_words: str
    when_data: str


Run = StepView | GroupView
