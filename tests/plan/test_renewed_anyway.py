"""A part that one procedure of a job looks at and another renews: it is looked at, and the plan says so beside it."""

import json
from datetime import date

import pytest

from procgen.plan.job import plan_job
from procgen.plan.readiness import readiness
from procgen.plan.renewed_anyway import renewed_anyway
from procgen.report.job_json import job_json
from procgen.report.job_text import job_text
from tests.plan.jobs import doing, library_of

MACHINE = """\
machine: m
components:
  cover: {}
  belt: {behind: [cover], part: belt-part}
  wheel: {behind: [cover]}
specs:
  slack: {of: belt, limits: 5–7 mm}
  line: {of: [belt, wheel], limits: 0–1 mm}
---
parts:
  belt-part: {title: Belt}
---
logbook: l
machine: m
name: L
---
"""

RENEW = """\
procedure: renew-belt
machine: m
steps:
  - open: belt
  - {remove: belt, do: Slip it off.}
  - {fit: belt, new: [belt-part], do: Lay it on.}
  - close: belt
---
"""

LOOK = """\
procedure: look-at-belt
machine: m
steps:
  - open: belt
  - inspect: belt
    accept: No crack.
    reject: [{do: Show it to somebody.}]
  - close: belt
---
"""


def told(*procedures: str, do: str = "[look-at-belt, renew-belt]") -> dict[str, str]:
    """What the plan does at steps at which something is said, and what is said there."""
    library = library_of(MACHINE + "".join(procedures) + f"job: j\nlogbook: l\ndo: {do}\n")
    plan = plan_job(library.jobs["j"], library)
    words = dict(zip((step.key for step in plan.plan.steps), doing(plan.plan), strict=True))
    items = plan.plan.machine.items
    return {words[key]: renewal.words(items) for key, renewal in renewed_anyway(plan, library).items()}


def test_a_part_that_another_procedure_renews_is_still_looked_at_and_the_step_says_that_it_is_renewed() -> None:
    assert told(LOOK, RENEW) == {"inspect belt": "The belt is renewed in step 4 whatever is found here."}


def test_so_it_is_with_a_measurement_of_it() -> None:
    measure = LOOK.replace("inspect: belt", "measure: slack").replace("accept: No crack.", "do: Press it.")
    measure = measure.replace("reject", "out-of-limits")
    assert told(measure, RENEW) == {"measure slack": "The belt is renewed in step 4 whatever is found here."}


@pytest.mark.parametrize(
    ("look", "renew", "why"),
    [
        (LOOK, RENEW.replace("new: [belt-part], ", ""), "the old one goes back"),
        (LOOK.replace("inspect: belt", "inspect: wheel"), RENEW, "it is another part"),
        (
            LOOK.replace("inspect: belt\n    accept: No crack.\n    reject", "measure: line\n    out-of-limits"),
            RENEW,
            "a reading of two parts, of which one stays",
        ),
        (
            LOOK.replace("inspect: belt", "clean: belt").split("    accept")[0] + "  - close: belt\n---\n",
            RENEW,
            "cleaning is work, not looking",
        ),
        (
            LOOK,
            RENEW.replace("  - {remove", "  - inspect: wheel\n    accept: Good.\n    reject:\n    - {remove").replace(
                "  - {fit", "    - {fit"
            ),
            "it is renewed only where the wheel is bad",
        ),
    ],
)
def test_nothing_is_said_where_something_may_hang_on_it(look: str, renew: str, why: str) -> None:
    assert told(look, renew) == {}, why


def test_nothing_is_said_of_what_a_procedure_looks_at_and_renews_itself() -> None:
    look = "  - {inspect: belt, accept: No crack., reject: [{do: Show it.}]}\n"
    both = RENEW.replace("  - {remove", f"{look}  - {{remove")
    assert told(both, do="[renew-belt]") == {}
    assert told(both, LOOK.replace("inspect: belt", "inspect: wheel")) == {}


def test_nothing_is_said_of_a_look_at_the_new_part() -> None:
    after = LOOK.replace("look-at-belt", "adjust-belt").replace("  - inspect", "  - {follow: renew-belt}\n  - inspect")
    assert told(after, RENEW, do="[adjust-belt]") == {}


def test_the_plan_says_it_as_text_and_as_json() -> None:
    library = library_of(MACHINE + LOOK + RENEW + "job: j\nlogbook: l\ndo: [look-at-belt, renew-belt]\n")
    plan = plan_job(library.jobs["j"], library)
    ready = readiness(plan, library, date(2026, 11, 1))
    text = job_text(plan, ready, (), library, colour=False)
    assert (
        "  1    2     Inspect the belt.\n             The belt is renewed in step 4 whatever is found here.\n" in text
    )
    steps = json.loads(job_json(plan, ready, (), library))["steps"]
    by_number = {each["number"]: each for each in steps}
    assert by_number["2"]["renewed-anyway-in"] == by_number["4"]["key"]
    assert by_number["1"]["renewed-anyway-in"] is None
