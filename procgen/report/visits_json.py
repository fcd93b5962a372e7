"""The cheapest visits to a machine over some years as one JSON object, for scripts."""

import json
from typing import Any

from procgen.library.catalogue import Manual
from procgen.upkeep.due import Due
from procgen.upkeep.visit_plan import Opening, Visit, VisitPlan, Visits, WorkDone
from procgen.upkeep.visit_words import assumptions


def visits_json(plan: VisitPlan, manual: Manual) -> str:
    """The whole plan as JSON text with a newline at its end; days as ISO 8601, times in minutes.

    Costs are in the manual's currency, or in minutes where it gives no labour rate.
    """
    whole = {
        "logbook": plan.machine.logbook.address.id,
        "name": plan.machine.logbook.name,
        "on": plan.machine.on.isoformat(),
        "last": plan.last.isoformat(),
        "years": plan.years,
        "labour-rate": manual.labour_rate,
        "currency": manual.currency,
        "openings": [_opening(each) for each in plan.openings],
        "left-out": [{**_work(each.due), "reason": each.reason} for each in plan.left_out],
        "assumes": list(assumptions(plan, manual)),
    }
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"


def _opening(opening: Opening) -> dict[str, Any]:
    return {
        "work": [_work(due) for due in opening.work],
        "shares": list(opening.shares),
        "together": _visits(opening.cheapest) if opening.cheapest else None,
        "when-due": _visits(opening.when_due),
        "gave-up": opening.gave_up or None,
    }


def _visits(visits: Visits) -> dict[str, Any]:
    return {
        "visits": [_visit(each) for each in visits.visits],
        "minutes": round(visits.minutes, 2),
        "parts": round(visits.parts, 2),
        "cost": round(visits.cost, 2),
        "left": round(visits.left, 2),
        "total": round(visits.total, 2),
    }


def _visit(visit: Visit) -> dict[str, Any]:
    return {
        "on": visit.on.isoformat(),
        "work": [_done(each) for each in visit.work],
        "counts-as-done": [_done(each) for each in visit.counts],
        "minutes": round(visit.minutes, 2),
        "parts": round(visit.parts, 2),
        "cost": round(visit.cost, 2),
    }


def _done(done: WorkDone) -> dict[str, Any]:
    return {**_work(done.due), "days-early": done.early}


def _work(due: Due) -> dict[str, Any]:
    return {"item": due.item.address.id, "title": due.item.title}
