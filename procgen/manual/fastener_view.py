"""A fastener as pages show it: what it is, what goes on its head, how it is tightened."""

from collections.abc import Iterable
from dataclasses import dataclass

from procgen.fasteners.spanners import Grip
from procgen.library.catalogue import Tool
from procgen.library.items import Fastener
from procgen.library.machine import Machine
from procgen.library.origin import Kind
from procgen.library.procedure import Step
from procgen.manual.book import Leaf, Link
from procgen.manual.drawings.tightening_order import OrderDrawing, order_drawing
from procgen.manual.measures import TorqueView
from procgen.plan.joint import joint_of, spanner_of
from procgen.plan.naming import in_sentence
from procgen.plan.positions import loosened_in_reverse
from procgen.plan.tooling import tightening_tools


@dataclass(frozen=True, slots=True, kw_only=True)
class TorquePlate:
    """What stands beside a step that tightens: the figure, and what one needs to know to reach it."""

    fastener: Link
    what: str
    """"6 × M8 × 1.25, class 8.8"; empty where nothing is known."""
    spanner: str
    """"13 mm across flats"; empty where nothing tells."""
    spanner_note: str
    """What else may be found on the machine."""
    threads: str
    """"threads dry"; empty where the author says nothing."""
    torque: TorqueView | None
    """None where no figure is given: only in drafts, or where that was accepted."""
    prevailing: bool
    order: OrderDrawing | None
    """In which order they are tightened; None for a single one, or where no pattern is given."""


@dataclass(frozen=True, slots=True)
class LoosenPlate:
    """What stands beside a step that lets go in reverse: the order."""

    fastener: Link
    order: OrderDrawing


def loosen_plate(fastener: Fastener, step: Step, machine: Machine, leaf: Leaf) -> LoosenPlate | None:
    """The plate for a fastener that a step loosens; None where no order is asked for, or no pattern is given."""
    if not loosened_in_reverse(fastener, step, machine):
        return None
    order = order_drawing(fastener, loosening=True)
    return LoosenPlate(leaf.record(fastener), order) if order else None


def torque_plate(
    fastener: Fastener, leaf: Leaf, tools: Iterable[Tool] = (), *, with_order: bool = False
) -> TorquePlate:
    """The plate for a fastener on that page. tools: those at hand, for what to set behind an adapter."""
    spanner = spanner_of(fastener)
    grip = {Grip.ACROSS_FLATS: "across flats", Grip.HEXAGON_KEY: "hexagon key"}
    settings = _settings(fastener, tuple(tools), leaf)
    return TorquePlate(
        fastener=leaf.record(fastener),
        what=what_it_is(fastener),
        spanner=f"{spanner.size} {grip[spanner.grip]}" if spanner else "",
        spanner_note=(spanner.note or "") if spanner else "",
        threads=f"threads {fastener.threads}" if fastener.threads else "",
        torque=leaf.book.measures.torque(fastener.torque, settings) if fastener.torque else None,
        prevailing=fastener.prevailing,
        order=order_drawing(fastener) if with_order else None,
    )


def what_it_is(fastener: Fastener) -> str:
    """How many, which thread, which class: "6 × M8 × 1.25, class 8.8"."""
    words = joint_of(fastener).words.replace("x", " × ", 1)
    count = f"{fastener.count} ×" if fastener.count > 1 else ""
    return " ".join(part for part in (count, words) if part)


def _settings(fastener: Fastener, tools: tuple[Tool, ...], leaf: Leaf) -> dict[int, str]:
    """For each stage that needs a crowfoot, what to set on which wrench."""
    settings: dict[int, str] = {}
    for stage in tightening_tools(fastener, tools).stages if tools else ():
        setting = next(iter(stage.settings), None)
        if setting and setting.crowfoot:
            wrench, crowfoot = leaf.shelf(Kind.TOOL, (setting.wrench, setting.crowfoot))
            figure = leaf.book.measures.text(setting.setting)
            settings[stage.stage] = (
                f"Set the {in_sentence(wrench.title)} to {figure}, with the {in_sentence(crowfoot.title)} in line."
            )
    return settings
