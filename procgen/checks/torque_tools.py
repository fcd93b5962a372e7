"""Whether what is on the tool list can do the tightening: a torque wrench inside its range, a gauge for the angle."""

from collections.abc import Iterator

from procgen.checks.check import Subject
from procgen.checks.tightenings import Tightening, each_once, in_unit, tightenings
from procgen.fasteners.wrench import RangeFit, range_fit
from procgen.finding import Finding, Severity
from procgen.library.catalogue import Tool
from procgen.measure.typeset import show
from procgen.plan.tooling import (
    StageTools,
    ToolKind,
    is_torque_wrench,
    needs_angle_gauge,
    scale_nm,
    tightening_tools,
    tools_at,
    tools_of,
    trusted_nm,
)


def wrench_range(subject: Subject) -> Iterator[Finding]:
    """No torque wrench on the tool list can be trusted with the figure; nothing is said where no tools are declared."""
    shelf = subject.library.tools
    if not any(is_torque_wrench(tool) and scale_nm(tool) for tool in shelf.values()):
        return
    for each in each_once(tightenings(subject)):
        if "tools" in each.planned.step.faulty:
            continue
        listed = tools_at(each.planned, each.plan, subject.library)
        if any(is_torque_wrench(tool) and scale_nm(tool) is None for tool in listed):
            continue  # nothing is known of its range, so nothing against it
        for stage in tightening_tools(each.fastener, listed).stages:
            if not stage.settings:
                yield _not_covered(each, stage, tuple(shelf.values()))
                break


def _not_covered(each: Tightening, stage: StageTools, shelf: tuple[Tool, ...]) -> Finding:
    figure = show(stage.figure)
    fit = {tool.address.id: tool for tool in shelf}
    told = "; ".join(_against(fit[name], how, stage) for name, how in stage.wrenches)
    message = f"{each.fastener.id} is tightened to {figure}, and no torque wrench on the tool list covers it"
    setting_nm = stage.figure.middle_in("N·m")
    better = [
        tool.address.id
        for tool in shelf
        if is_torque_wrench(tool) and (scale := scale_nm(tool)) and range_fit(setting_nm, *scale) is RangeFit.FITS
    ]
    return Finding(
        check="wrench-range",
        severity=Severity.WARNING,
        place=each.place,
        message=f"{message}: {told}." if told else f"{message}: there is none on it.",
        because=(each.declared,),
        remedy=f"put {' or '.join(better)} on the list: `tools: [{better[0]}]`"
        if better
        else f"no torque wrench in the catalogue covers {figure}; add one that does to `tools:`",
    )


def _against(wrench: Tool, fit: RangeFit, stage: StageTools) -> str:
    unit = stage.figure.unit
    low_nm, high_nm = trusted_nm(wrench) or (0.0, 0.0)
    if fit is RangeFit.TOO_HIGH:
        return f"{wrench.address.id} ends at {in_unit(high_nm, unit)}"
    return f"{wrench.address.id} is trusted from {in_unit(low_nm, unit)}, a fifth of its scale or its first mark"


def angle_gauge_missing(subject: Subject) -> Iterator[Finding]:
    """A further angle is asked for, and there is nothing on the tool list to read it on."""
    if not subject.library.tools:
        return
    for each in each_once(tightenings(subject)):
        if not needs_angle_gauge(each.fastener) or "tools" in each.planned.step.faulty:
            continue
        listed = (*tools_of(each.plan, subject.library), *tools_at(each.planned, each.plan, subject.library))
        if not any(tool.kind == ToolKind.ANGLE_GAUGE for tool in listed):
            gauges = [tool.address.id for tool in subject.library.tools.values() if tool.kind == ToolKind.ANGLE_GAUGE]
            torque = each.fastener.torque.text if each.fastener.torque else ""
            yield Finding(
                check="angle-gauge-missing",
                severity=Severity.WARNING,
                place=each.place,
                message=f"{each.fastener.id} is tightened by an angle ({torque}), and no angle gauge is on the "
                "tool list: guessed by eye, 90° may be 75° or 105°.",
                because=(each.declared,),
                remedy=f"put {gauges[0]} on the list: `tools: [{gauges[0]}]`"
                if gauges
                else "add a tool with `kind: angle-gauge` to `tools:`, and put it on the list",
            )
