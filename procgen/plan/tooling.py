"""Which tools a tightening needs, and which of those on the list will do.

A torque wrench for every figure inside its range, what to set on it behind a crowfoot, an angle gauge for every further
angle, a spanner or a key for every head. Values only: checks report what is lacking, pages show what is needed.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from procgen.fasteners.spanners import Grip, Spanner
from procgen.fasteners.wrench import RangeFit, range_fit, usable_range_nm, wrench_setting_nm
from procgen.library.catalogue import Tool
from procgen.library.items import Aid, Fastener
from procgen.library.library import Library
from procgen.library.origin import ItemId, ToolId
from procgen.library.state import Verb
from procgen.measure.quantity import Quantity
from procgen.measure.stages import To, Turn
from procgen.measure.unit_table import Dimension
from procgen.plan.joint import spanner_of
from procgen.plan.steps import Plan, PlannedStep


class ToolKind(StrEnum):
    """The kinds of tools that tighten."""

    TORQUE_WRENCH = "torque-wrench"
    CROWFOOT = "crowfoot"
    ANGLE_GAUGE = "angle-gauge"
    SPANNER = "spanner"
    SOCKET = "socket"
    HEX_KEY = "hex-key"


_SAME_SIZE_MM = 0.05
"""Sizes nearer than this are one: 1/2 in and 12.7 mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrenchSetting:
    """One torque wrench for one figure, and what to set on it."""

    wrench: ToolId
    setting: Quantity
    """In the author's unit; the figure itself where there is no crowfoot."""
    crowfoot: ToolId | None = None
    """In line with the wrench. At a right angle to it the figure itself is set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTools:
    """What one figure is reached with."""

    stage: int
    """Index in the torque's stages."""
    figure: Quantity
    settings: tuple[WrenchSetting, ...]
    """Wrenches on the list that cover it inside their range, the finest first; empty: none does."""
    wrenches: tuple[tuple[ToolId, RangeFit], ...]
    """Every torque wrench on the list, and how the figure lies on its scale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TighteningTools:
    """What the tightening of one fastener needs, and what of it is on the list."""

    fastener: ItemId
    stages: tuple[StageTools, ...]
    """One for each figure of its torque."""
    needs_angle_gauge: bool
    angle_gauges: tuple[ToolId, ...]
    head: Spanner | None
    """What goes on the head; None where neither the author nor a standard tells."""
    head_tools: tuple[ToolId, ...]
    """What on the list goes on the head: tools of that size, and sets that may hold it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadNeed:
    """One size of spanner, socket or key, with what it is needed for."""

    spanner: Spanner
    fasteners: tuple[ItemId, ...]
    """In the order in which they are met."""
    steps: tuple[str, ...]
    """Keys of the steps that loosen or tighten them, in order."""


def tools_of(plan: Plan, library: Library) -> tuple[Tool, ...]:
    """The procedure's tool list: what any of its steps names or puts in place, in the order of first use."""
    names = dict.fromkeys(name for planned in plan.steps for name in _named(planned, plan))
    return tuple(library.tools[name] for name in names if name in library.tools)


def tools_at(planned: PlannedStep, plan: Plan, library: Library) -> tuple[Tool, ...]:
    """The tools to tighten with at a step: its own where it names a torque wrench, else the whole procedure's."""
    own = tuple(library.tools[name] for name in planned.step.tools if name in library.tools)
    return own if any(is_torque_wrench(tool) for tool in own) else tools_of(plan, library)


def _named(planned: PlannedStep, plan: Plan) -> Iterator[ToolId]:
    yield from planned.step.tools
    for action in planned.actions:
        item = plan.machine.items.get(action.item)
        if action.verb is Verb.PLACE and isinstance(item, Aid) and item.tool:
            yield item.tool


def is_torque_wrench(tool: Tool) -> bool:
    """Whether a torque can be set or read on it."""
    return tool.kind == ToolKind.TORQUE_WRENCH


def scale_nm(wrench: Tool) -> tuple[float, float] | None:
    """The first and the last mark of a torque wrench's scale in N·m; None where no range is given."""
    if wrench.range is None or wrench.range.dimension is not Dimension.TORQUE:
        return None
    low, high = wrench.range.limits_in("N·m")
    return None if high is None else (low or 0.0, high)


def trusted_nm(wrench: Tool) -> tuple[float, float] | None:
    """The part of its scale on which a torque wrench is trusted, in N·m; None where no range is given."""
    scale = scale_nm(wrench)
    return usable_range_nm(*scale) if scale else None


def tightening_tools(fastener: Fastener, tools: Iterable[Tool]) -> TighteningTools:
    """What tightening `fastener` needs, and what of `tools` serves."""
    tools = tuple(tools)
    head = spanner_of(fastener)
    torque = fastener.torque
    figures = enumerate(torque.stages) if torque else ()
    return TighteningTools(
        fastener=fastener.id,
        stages=tuple(
            _stage_tools(index, stage.quantity, tools, _crowfoot(tools, head))
            for index, stage in figures
            if isinstance(stage, To)
        ),
        needs_angle_gauge=needs_angle_gauge(fastener),
        angle_gauges=tuple(_id(tool) for tool in tools if tool.kind == ToolKind.ANGLE_GAUGE),
        head=head,
        head_tools=tuple(_id(tool) for tool in tools if head and _may_fit(tool, head)),
    )


def needs_angle_gauge(fastener: Fastener) -> bool:
    """Whether a stage turns further by degrees; flats of a nut and whole turns can be counted by eye."""
    stages = fastener.torque.stages if fastener.torque else ()
    return any(isinstance(stage, Turn) and stage.angle.unit.symbol == "°" for stage in stages)


def head_needs(plan: Plan) -> tuple[HeadNeed, ...]:
    """The spanners, sockets and keys that the heads ask for, in the order of first use, with where they are used."""
    found: dict[tuple[Grip, str], tuple[Spanner, dict[ItemId, None], dict[str, None]]] = {}
    for planned in plan.steps:
        for action in planned.actions:
            item = plan.machine.items.get(action.item)
            if action.verb not in (Verb.LOOSEN, Verb.TIGHTEN) or not isinstance(item, Fastener):
                continue
            spanner = spanner_of(item)
            if spanner:
                _, fasteners, steps = found.setdefault((spanner.grip, spanner.size), (spanner, {}, {}))
                fasteners[item.id] = None
                steps[planned.key] = None
    return tuple(
        HeadNeed(spanner=spanner, fasteners=tuple(fasteners), steps=tuple(steps))
        for spanner, fasteners, steps in found.values()
    )


def _stage_tools(stage: int, figure: Quantity, tools: tuple[Tool, ...], crowfoot: Tool | None) -> StageTools:
    wrenches = sorted(
        ((tool, scale) for tool in tools if is_torque_wrench(tool) and (scale := scale_nm(tool))),
        key=lambda pair: pair[1][1],
    )
    settings: list[WrenchSetting] = []
    fits: list[tuple[ToolId, RangeFit]] = []
    for wrench, scale in wrenches:
        setting = _setting(figure, wrench, crowfoot)
        fit = range_fit(setting.setting.middle_in("N·m"), *scale)
        fits.append((_id(wrench), fit))
        if fit is RangeFit.FITS:
            settings.append(setting)
    return StageTools(stage=stage, figure=figure, settings=tuple(settings), wrenches=tuple(fits))


def _setting(figure: Quantity, wrench: Tool, crowfoot: Tool | None) -> WrenchSetting:
    if crowfoot is None or crowfoot.offset is None or wrench.length is None:
        return WrenchSetting(wrench=_id(wrench), setting=figure)
    share = wrench_setting_nm(1.0, wrench.length.middle_in("mm"), crowfoot.offset.middle_in("mm"), 0)
    return WrenchSetting(wrench=_id(wrench), setting=_scaled(figure, share), crowfoot=_id(crowfoot))


def _scaled(figure: Quantity, share: float) -> Quantity:
    """The figure times `share`, shown to a digit more than the author wrote: a setting is read off a fine scale."""
    exact = Fraction(share).limit_denominator(10**6)
    return replace(
        figure,
        nominal=None if figure.nominal is None else figure.nominal * exact,
        low=None if figure.low is None else figure.low * exact,
        high=None if figure.high is None else figure.high * exact,
        resolution=figure.resolution / 10,
        numerals=(),
    )


def _crowfoot(tools: tuple[Tool, ...], head: Spanner | None) -> Tool | None:
    """The crowfoot on the list that is for this head: of its size where it gives one."""
    fitting = (
        tool
        for tool in tools
        if tool.kind == ToolKind.CROWFOOT
        and tool.offset
        and head
        and head.grip is Grip.ACROSS_FLATS
        and (tool.hex is None or _is_size(tool.hex, head))
    )
    return next(fitting, None)


_GRIPS: Mapping[Grip, frozenset[str]] = {
    Grip.ACROSS_FLATS: frozenset({ToolKind.SPANNER, ToolKind.SOCKET, ToolKind.CROWFOOT}),
    Grip.HEXAGON_KEY: frozenset({ToolKind.HEX_KEY}),
}


def _may_fit(tool: Tool, head: Spanner) -> bool:
    """Whether a tool goes on the head, as the catalogue tells it; a special tool of no size is for something else."""
    if tool.kind not in _GRIPS[head.grip] or (tool.special and tool.hex is None):
        return False
    if tool.hex is not None:
        return _is_size(tool.hex, head)
    if tool.range is not None and tool.range.dimension is Dimension.LENGTH:
        low, high = tool.range.limits_in("mm")
        return (low or 0.0) - _SAME_SIZE_MM <= head.size_mm <= (high or head.size_mm) + _SAME_SIZE_MM
    return True


def _is_size(size: Quantity, head: Spanner) -> bool:
    return abs(size.middle_in("mm") - head.size_mm) < _SAME_SIZE_MM


def _id(tool: Tool) -> ToolId:
    return ToolId(tool.address.id)
