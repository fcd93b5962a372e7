"""A fastener as pages show it: what it is, what goes on its head, how it is tightened."""

from dataclasses import dataclass

from procgen.fasteners.head_sizes import Head as StandardHead
from procgen.fasteners.spanners import Grip, spanner_for
from procgen.fasteners.threads import ThreadError, parse_thread
from procgen.library.items import Fastener, Head
from procgen.manual.book import Leaf, Link
from procgen.manual.measures import Measures, TorqueView

_STANDARD_HEADS = {
    Head.HEX: StandardHead.HEX,
    Head.NUT: StandardHead.NUT,
    Head.FLANGE: StandardHead.FLANGE,
    Head.SOCKET: StandardHead.SOCKET,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TorquePlate:
    """What stands beside a step that tightens: the figure, and what one needs to know to reach it."""

    fastener: Link
    count: str
    """"6 ×", or empty for one."""
    thread: str
    spanner: str
    """"13 mm across flats"; empty where nothing tells."""
    threads: str
    """"threads dry"; empty where the author says nothing."""
    torque: TorqueView | None
    """None where no figure is given: only in drafts, or where that was accepted."""
    prevailing: bool
    when_data: str = ""


def torque_plate(fastener: Fastener, leaf: Leaf, when_data: str = "") -> TorquePlate:
    """The plate for a fastener on that page."""
    measures = leaf.book.measures
    return TorquePlate(
        fastener=leaf.record(fastener),
        count=f"{fastener.count} ×" if fastener.count > 1 else "",
        thread=thread_text(fastener),
        spanner=spanner_text(fastener, measures),
        threads=f"threads {fastener.threads}" if fastener.threads else "",
        torque=measures.torque(fastener.torque) if fastener.torque else None,
        prevailing=fastener.prevailing,
        when_data=when_data,
    )


def thread_text(fastener: Fastener) -> str:
    """The thread with its class, as it is spoken of: "M8 × 1.25, class 8.8"."""
    thread = fastener.thread.replace("x", " × ")
    grade = fastener.strength_class
    if grade and grade[0].isdigit():
        grade = f"class {grade}"
    return ", ".join(part for part in (thread, grade) if part)


def spanner_text(fastener: Fastener, measures: Measures) -> str:
    """What goes on the head; empty where neither the author nor a standard tells."""
    if fastener.across_flats:
        return f"{measures.view(fastener.across_flats).first} across flats"
    head = _STANDARD_HEADS.get(fastener.head) if fastener.head else None
    if head is None or not fastener.thread:
        return ""
    try:
        spanner = spanner_for(parse_thread(fastener.thread), head)
    except ThreadError:
        # The author hears of it from thread-unknown; the page only has no spanner to name.
        return ""
    if spanner is None:
        return ""
    return f"{spanner.size} {'hexagon key' if spanner.grip is Grip.HEXAGON_KEY else 'across flats'}"
