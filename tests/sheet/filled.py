"""Records as a person would fill them in: every box that a sheet asks for, unless the test says otherwise."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from procgen.library.condition import holds
from procgen.library.library import Library
from procgen.manual.sheet_fingerprint import fingerprints
from procgen.measure.numeral import decimal_of
from procgen.plan.expand import expand
from procgen.plan.job import plan_job
from procgen.plan.steps import Plan
from procgen.sheet.boxes import Form, ReadingBox, StepBoxes, form_of
from procgen.sheet.reading import scale_of


def plan_of(library: Library, *, job: str = "", procedure: str = "") -> Plan:
    """The plan of one sheet."""
    return plan_job(library.jobs[job], library).plan if job else expand(library.procedures[procedure], library)[0]


def filled(library: Library, *, job: str = "", procedure: str = "", logbook: str = "", **more: Any) -> dict[str, Any]:
    """A finished record as JSON has it, everything good; `more` are keys that differ."""
    plan = plan_of(library, job=job, procedure=procedure)
    form = form_of(plan, library)
    mark, marks = fingerprints(plan, library)
    usual = {name: values[0] for name, values in form.choices.items()}
    usual.update({id_: option.default for id_, option in form.asked.items()})
    where = library.jobs[job].logbook if job else logbook
    usual.update({name: value for name, value in library.logbooks[where].variants.items() if name in usual})
    steps = {
        step.key: {**filled_step(step, library), "mark": marks[step.key]}
        for step in form.steps
        if holds(step.when, usual)
    }
    return {
        "record": "7KQ3-9FWM",
        **({"job": job} if job else {"procedure": procedure}),
        "logbook": where,
        "fingerprint": mark,
        "state": "finished",
        "saved": "2026-11-01T10:00:00Z",
        "choices": {name: usual[name] for name in (*form.asked, *form.variants)},
        "steps": steps,
        "on": "2026-11-01",
        "by": "A. Fitter",
        "checked-by": "B. Checker",
        **({} if form.meter == "none" else {"meter": "99999"}),
        **more,
    }


def filled_step(step: StepBoxes, library: Library) -> dict[str, Any]:
    """Every box of one step, all good."""
    return {
        "done": [True] * step.ticks,
        **({"accepted": True} if step.outcome and not step.by_reading else {}),
        "readings": {box.id: [good_reading(box, library)] * box.count for box in step.readings},
        "run-down": {box.fastener: ["4"] * box.count for box in step.run_downs},
        "written": ["All as it should be" for _ in step.words_to_write],
        "signed": {role: f"{letter}. {role.capitalize()}" for role, letter in zip(step.signs, "ABCDEF", strict=False)},
    }


def good_reading(box: ReadingBox, library: Library) -> str:
    """A reading inside the limits of a box, in the unit that is printed behind it."""
    if box.limits is None:
        return "1 mm"
    scale = scale_of(box.limits, library.manual.units)
    low, high = scale.limits_in(scale.units[0])
    value = low if low is not None else high
    assert value is not None
    return decimal_of((low + high) / 2 if low is not None and high is not None else value, 4)


def form_for(library: Library, *, job: str = "", procedure: str = "") -> Form:
    """The boxes of one sheet."""
    return form_of(plan_of(library, job=job, procedure=procedure), library)


def save(record: Mapping[str, Any], file: Path) -> Path:
    """Write a record as the page does. Gives the file."""
    file.write_text(json.dumps(record, ensure_ascii=False), encoding="utf-8")
    return file
