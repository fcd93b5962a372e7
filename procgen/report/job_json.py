"""A planned job as one JSON object, for scripts."""

import json
from collections.abc import Sequence
from typing import Any

from procgen.library.condition import show as condition
from procgen.library.library import Library
from procgen.measure.typeset import show
from procgen.plan.job_plan import JobPlan, JobTask, NotShared
from procgen.plan.readiness import PartLine, Readiness
from procgen.plan.renewed_anyway import Renewal, renewed_anyway
from procgen.plan.steps import PlannedStep
from procgen.report.job_words import in_words
from procgen.upkeep.grouping import Companion


def job_json(job: JobPlan, ready: Readiness, also: Sequence[Companion], library: Library) -> str:
    """The whole plan as JSON text with a newline at its end; days as ISO 8601, times in minutes.

    also: what else could be done with it.
    """
    anyway = renewed_anyway(job, library)
    whole = {
        "job": job.job.address.id,
        "title": job.job.title,
        "logbook": job.job.logbook,
        "planned": job.job.planned.isoformat() if job.job.planned else None,
        "minutes": {"together": job.minutes_together, "alone": job.minutes_alone, "saved": job.minutes_saved},
        "procedures": [_task(task) for task in job.tasks],
        "not-shared": [_not_shared(each, job) for each in job.not_shared],
        "while-there": [_companion(each) for each in also],
        "steps": [_step(step, job, library, anyway.get(step.key)) for step in job.plan.steps],
        "ready": _ready(ready),
    }
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"


def _task(task: JobTask) -> dict[str, Any]:
    return {
        "number": task.number,
        "procedure": task.procedure.address.id,
        "title": task.procedure.title,
        "minutes-alone": task.minutes_alone,
        "minutes-on-top": task.extra_minutes,
        "steps-alone": len(task.alone.steps),
        "steps-on-top": task.extra_steps,
    }


def _not_shared(each: NotShared, job: JobPlan) -> dict[str, Any]:
    return {
        "items": list(each.items),
        "procedures": [job.tasks[task].number for task in each.tasks],
        "reason": each.reason,
    }


def _companion(each: Companion) -> dict[str, Any]:
    return {
        "item": each.due.item.address.id,
        "title": each.due.item.title,
        "do": list(each.due.item.do),
        "shares": list(each.shares),
        "minutes-on-top": each.extra_minutes,
        "minutes-alone": each.alone_minutes,
        "life-left": None if each.life_left is None else float(each.life_left),
        "due": each.due.due_on.isoformat() if each.due.due_on else None,
    }


def _step(planned: PlannedStep, job: JobPlan, library: Library, renewal: Renewal | None) -> dict[str, Any]:
    step = planned.step
    return {
        "key": planned.key,
        "number": planned.number,
        "for": [task.number for task in job.shared_by(planned.key)],
        "heading": [group.title for group in planned.groups],
        "actions": [f"{action.verb} {action.item}" for action in planned.actions],
        "do": in_words(step.do, job.plan.machine.items, library) if step.do else "",
        "minutes": step.minutes,
        "tools": list(step.tools),
        "new": list(step.new),
        "sign": list(step.sign),
        "branch-of": planned.branch_of,
        "when": condition(planned.when),
        "renewed-anyway-in": renewal.step.key if renewal else None,
    }


def _ready(ready: Readiness) -> dict[str, Any]:
    return {
        "today": ready.today.isoformat(),
        "earliest": None if ready.unknown else ready.earliest.isoformat(),
        "late": ready.is_late,
        "parts": [_part(line) for line in ready.parts],
        "tools": [
            {"tool": tool.tool, "title": tool.title, "special": tool.is_special, "where": tool.where}
            for tool in ready.tools
        ],
        "fluids": [
            {
                "fluid": fluid.fluid,
                "title": fluid.title,
                "capacity": show(fluid.capacity) if fluid.capacity else None,
                "drained": fluid.is_drained,
                "filled": fluid.is_filled,
            }
            for fluid in ready.fluids
        ],
    }


def _part(line: PartLine) -> dict[str, Any]:
    need = line.need
    return {
        "part": need.part,
        "title": line.title,
        "number": line.number,
        "pieces": need.count,
        "pieces-at-most": need.count_at_most,
        "amount": show(need.amount) if need.amount else None,
        "amount-at-most": show(need.amount_at_most) if need.amount_at_most else None,
        "certain": need.is_certain,
        "on-hand": line.on_hand,
        "lead-days": line.lead_days,
        "order-by": line.order_by.isoformat() if line.order_by else None,
        "price": line.price,
        "for": list(need.items),
    }
