"""What is due as one JSON object, for scripts."""

import json
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import Any

from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.gauge import Standing
from procgen.upkeep.history import Since
from procgen.upkeep.limits import LimitUse
from procgen.upkeep.trend import Projection, Trend


def due_json(library: str, on: date, machines: Sequence[MachineDue]) -> str:
    """The whole board as JSON text with a newline at its end; days as ISO 8601, shares as numbers (1 is all used)."""
    counts = {str(standing): sum(machine.count(standing) for machine in machines) for standing in Standing}
    whole = {
        "library": library,
        "on": on.isoformat(),
        "machines": [_machine(each) for each in machines],
        "counts": counts,
    }
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"


def _machine(machine: MachineDue) -> dict[str, Any]:
    latest = machine.track.latest
    return {
        "logbook": machine.logbook.address.id,
        "name": machine.logbook.name,
        "machine": machine.machine.address.id,
        "serial": machine.logbook.serial,
        "meter": {
            "counts": machine.machine.meter,
            "latest": _number(latest.value if latest else None),
            "latest-on": _day(latest.on if latest else None),
            "now": _number(machine.meter_now),
            "a-year": _number(machine.track.yearly),
        },
        "work": [_due(each) for each in machine.work],
        "readings": [_trend(each) for each in machine.trends],
    }


def _due(due: Due) -> dict[str, Any]:
    return {
        "item": due.item.address.id,
        "title": due.item.title,
        "kind": due.item.kind,
        "do": list(due.item.do),
        "state": str(due.standing),
        "due": _day(due.due_on),
        "days-left": due.days_left,
        "bites": due.bites.text if due.bites else None,
        "used": _number(due.used),
        "limits": [_limit(use, due.on) for use in due.limits],
        "since": _since(due.since),
        "planned": [job.address.id for job in due.planned],
    }


def _limit(use: LimitUse, on: date) -> dict[str, Any]:
    return {
        "limit": use.text,
        "used": _number(use.used_on(on)),
        "due": _day(use.due_on),
        "soon": _day(use.soon_on),
        "why-not": use.trouble,
    }


def _since(since: Since | None) -> dict[str, Any] | None:
    if since is None:
        return None
    return {"on": _day(since.on), "meter": _number(since.meter), "because": str(since.basis), "by": since.by}


def _trend(trend: Trend) -> dict[str, Any]:
    current = trend.current
    return {
        "spec": trend.spec.id,
        "title": trend.spec.title,
        "unit": trend.unit.symbol,
        "low": _number(trend.low),
        "high": _number(trend.high),
        "against": str(trend.axis),
        "renewed": _day(current.renewed_on),
        "readings": [{"on": _day(each.on), "value": _number(each.y)} for each in current.readings],
        "reaches": _projection(current.projection),
    }


def _projection(projection: Projection | None) -> dict[str, Any] | None:
    if projection is None:
        return None
    return {
        "limit": _number(projection.limit),
        "on": _day(projection.due_on),
        "earliest": _day(projection.earliest),
        "latest": _day(projection.latest),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _number(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), 4)
