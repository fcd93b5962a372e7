"""A safety message as ANSI Z535.6 has it: signal word, symbol, hazard, consequence, how to avoid it."""

from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.catalogue import Level, Notice
from procgen.manual.book import Leaf, Link
from procgen.manual.paths import safe_name


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeView:
    """One safety message."""

    level: str
    word: str
    """The signal word, in capitals."""
    has_symbol: bool
    """The safety alert symbol goes with injury only, never with NOTICE (ANSI Z535.6)."""
    title: Link
    hazard: Markup
    consequence: Markup
    avoid: Markup
    note: Markup
    anchor: str
    """Where it stands in full, up front on a procedure's page."""
    again: bool = False
    """It stood in full at a step that is surely done before: word, title and what to do are enough there."""


def notice_view(notice: Notice, leaf: Leaf, *, again: bool = False) -> NoticeView:
    """The message on that page."""
    return NoticeView(
        level=notice.level.value,
        word=notice.level.value.upper(),
        has_symbol=notice.level is not Level.NOTICE,
        title=leaf.record(notice),
        hazard=leaf.block(notice.hazard),
        consequence=leaf.block(notice.consequence),
        avoid=leaf.block(notice.avoid),
        note=leaf.block(notice.note),
        anchor=f"notice-{safe_name(notice.address.id)}",
        again=again,
    )


def worst_first(notices: tuple[Notice, ...]) -> tuple[Notice, ...]:
    """The order in which messages are grouped: worst first, then as they come; each once."""
    rank = {level: place for place, level in enumerate(Level)}
    once = {notice.address: notice for notice in notices}
    return tuple(sorted(once.values(), key=lambda notice: rank[notice.level]))
