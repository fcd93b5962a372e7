"""A fastener as physics sees it: its thread, the band that its torque must lie in, and what keeps us from knowing it.

Here a record of the library meets the tables and formulas of `fasteners`. Nothing is reported; checks do that.
"""

from dataclasses import dataclass, replace

from procgen.fasteners.friction import ThreadCondition
from procgen.fasteners.head_sizes import Head as StandardHead
from procgen.fasteners.head_sizes import head_named
from procgen.fasteners.spanners import Grip, Spanner, spanner_for
from procgen.fasteners.strength import StrengthError
from procgen.fasteners.stripping import StrippingLimit, material_named, stripping_limit
from procgen.fasteners.threads import Thread, ThreadError, parse_thread
from procgen.fasteners.tightening import Band, band_without_class, tightening_band
from procgen.library.items import Fastener, Head
from procgen.measure.typeset import show


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """What physics knows of one fastener."""

    fastener: Fastener
    thread: Thread | None
    """None where the author gives none, or none that can be read."""
    thread_fault: str = ""
    """Why the thread as written cannot be read; empty where it can, or none is given."""
    class_fault: str = ""
    """Why the class as written cannot be used; empty where it can, or none is given."""
    bolt: Band | None = None
    """What the bolt wants. None without a thread, and for a hollow bolt or a clip, which no table covers.

    Where no class is known it reaches from the softest bolt in common use to the hardest.
    """
    hole: StrippingLimit | None = None
    """What the tapped thread bears; None where material or engagement is not given."""

    @property
    def has_class(self) -> bool:
        """Whether the band is that of a known class."""
        return bool(self.bolt and self.fastener.strength_class and not self.class_fault)

    @property
    def hole_governs(self) -> bool:
        """Whether the tapped thread strips before the bolt yields."""
        return bool(self.bolt and self.hole and self.hole.torque_high_nm < self.bolt.high_nm)

    @property
    def band(self) -> Band | None:
        """The band that a torque must lie in: the bolt's, cut where the tapped thread strips first."""
        if self.bolt is None or self.hole is None or not self.hole_governs:
            return self.bolt
        low_nm = min(self.bolt.low_nm, self.hole.torque_low_nm)
        return replace(self.bolt, low_nm=low_nm, high_nm=self.hole.torque_high_nm)

    @property
    def words(self) -> str:
        """The thread with its class, as one says it: "M8x1.25 of class 8.8"."""
        grade = self.fastener.strength_class
        if grade[:1].isdigit():
            grade = f"class {grade}"
        return " of ".join(part for part in (self.fastener.thread, grade) if part)


def joint_of(fastener: Fastener) -> Joint:
    """What physics knows of `fastener`."""
    if not fastener.thread:
        return Joint(fastener=fastener, thread=None)
    try:
        thread = parse_thread(fastener.thread)
    except ThreadError as error:
        return Joint(fastener=fastener, thread=None, thread_fault=str(error))
    head = standard_head(fastener)
    if head is None:
        return Joint(fastener=fastener, thread=thread)
    condition = ThreadCondition(fastener.threads or ThreadCondition.UNKNOWN)
    fault = ""
    bolt = None
    if fastener.strength_class:
        try:
            bolt = tightening_band(thread, fastener.strength_class, condition, head)
        except StrengthError as error:
            fault = str(error)
    return Joint(
        fastener=fastener,
        thread=thread,
        class_fault=fault,
        bolt=bolt or band_without_class(thread, condition, head),
        hole=_hole(fastener, thread, condition, head),
    )


def _hole(fastener: Fastener, thread: Thread, condition: ThreadCondition, head: StandardHead) -> StrippingLimit | None:
    material = material_named(fastener.into) if fastener.into else None
    if material is None or fastener.engagement is None:
        return None
    return stripping_limit(thread, material, fastener.engagement.middle_in("mm"), condition, head)


def standard_head(fastener: Fastener) -> StandardHead | None:
    """The head in the standards' terms, a hexagon where none is given; None for a hollow bolt and a clip."""
    return head_named(fastener.head or Head.HEX)


def spanner_of(fastener: Fastener) -> Spanner | None:
    """What goes on the head: as the author says, else by the standard; None where neither tells."""
    if fastener.across_flats:
        grip = Grip.HEXAGON_KEY if fastener.head is Head.SOCKET else Grip.ACROSS_FLATS
        size_mm = fastener.across_flats.middle_in("mm")
        return Spanner(grip=grip, size=show(fastener.across_flats), size_mm=size_mm)
    head = head_named(fastener.head) if fastener.head else None
    if head is None or not fastener.thread:
        return None
    try:
        return spanner_for(parse_thread(fastener.thread), head)
    except ThreadError:
        return None
