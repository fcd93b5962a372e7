"""Planning jobs: what is shared, what is not, in which order, and what it is told to cost."""

from collections import Counter
from pathlib import Path

from procgen.library.load import load
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.proof import prove
from tests.plan.jobs import doing, library_of, planned
from tests.written import lines

MACHINE = """\
machine: m
variants: {cooling: [water, air]}
components:
  cover:
    held-by: [cover-bolts]
    remove: {time: 10 min, steps: [{loosen: cover-bolts, remove: cover, do: Lift it off.}]}
    fit: {time: 10 min, steps: [{fit: cover, do: Set it on.}, {tighten: cover-bolts}]}
  belt:
    behind: [cover]
    part: belt-part
  pump:
    behind: [belt]
  fan:
    note: Beside the cover.
fasteners:
  cover-bolts: {torque: 9 N·m}
---
parts:
  belt-part: {title: Belt, price: 20}
---
logbook: l
machine: m
name: L
variants: {cooling: water}
---
"""

BELT = """\
procedure: renew-belt
machine: m
steps:
  - open: belt
  - {remove: belt, time: 5 min}
  - {fit: belt, new: [belt-part], time: 5 min}
  - close: belt
---
"""

PUMP = """\
procedure: clean-pump
machine: m
steps:
  - open: pump
  - {clean: pump, do: Brush the pump., time: 3 min}
  - close: pump
---
"""


def job(*procedures: str, do: str = "[renew-belt, clean-pump]") -> JobPlan:
    return planned(MACHINE + "".join(procedures) + f"job: j\nlogbook: l\ndo: {do}\n")


def test_covers_come_off_once_and_the_pump_is_cleaned_while_they_are_off() -> None:
    assert doing(job(BELT, PUMP).plan) == [
        "loosen cover-bolts, remove cover",
        "remove belt",
        "clean pump",
        "fit belt",
        "fit cover",
        "tighten cover-bolts",
    ]


def test_a_step_tells_whose_steps_it_does() -> None:
    found = job(BELT, PUMP)
    shared = [[task.number for task in found.shared_by(step.key)] for step in found.plan.steps]
    assert shared == [["1", "2"], ["1", "2"], ["2"], ["1", "2"], ["1", "2"], ["1", "2"]]
    (cleaning,) = (step for step in found.plan.steps if step.step.do and str(step.step.do) == "Brush the pump.")
    (own,) = found.does[cleaning.key]
    assert (own.task, own.key) == (1, "2")


def test_what_one_procedure_renews_is_renewed_in_the_job_though_another_only_moves_it() -> None:
    found = job(PUMP, BELT, do="[clean-pump, renew-belt]")
    fitting = found.plan.steps[doing(found.plan).index("fit belt")]
    assert fitting.step.new == ("belt-part",)
    assert found.tasks[0].alone.steps[doing(found.tasks[0].alone).index("fit belt")].step.new == ()


def test_the_times_tell_what_is_saved_and_what_each_procedure_costs_on_top() -> None:
    found = job(BELT, PUMP)
    assert [task.minutes_alone for task in found.tasks] == [30, 23]
    assert found.minutes_together == 33
    assert found.minutes_saved == 20
    assert [task.extra_minutes for task in found.tasks] == [10, 3]


def test_a_job_of_one_procedure_is_that_procedure() -> None:
    found = job(BELT, do="renew-belt")
    assert doing(found.plan) == doing(found.tasks[0].alone)
    assert found.minutes_saved == 0
    assert found.tasks[0].extra_minutes == found.minutes_together


def test_the_steps_are_numbered_as_they_are_done_and_branches_under_their_step() -> None:
    inspecting = PUMP.replace(
        "{clean: pump, do: Brush the pump., time: 3 min}",
        "{inspect: pump, accept: It is dry., reject: [{clean: pump, do: Brush it.}]}",
    )
    numbers = [step.number for step in job(BELT, inspecting).plan.steps]
    assert numbers == ["1", "2", "3", "3.1", "4", "5", "6"]


def test_options_are_those_of_the_job_and_variants_those_of_the_logbook() -> None:
    text = """\
procedure: flush
machine: m
options: {well: {ask: Well?, default: false}}
steps:
  - {do: Flush it well., when: well}
  - {do: Open the tap., when: cooling = water}
  - {do: Blow it out., when: cooling = air}
---
"""
    assert doing(job(text, do="flush").plan) == ["Open the tap."]
    assert doing(job(text, do="[{procedure: flush, options: {well: true}}]").plan) == [
        "Flush it well.",
        "Open the tap.",
    ]
    assert job(text, do="flush").plan.choices == {}


ONCE = """\
procedure: make-safe
machine: m
once-per-job: true
steps:
  - do: Hang the sign.
  - do: Lock the door.
---
procedure: clear-up
machine: m
once-per-job: true
steps:
  - do: Count the tools.
---
"""


def test_what_is_done_once_per_job_stands_once_around_all_that_needs_it() -> None:
    one, other = (
        spans(name, "follow: make-safe", f"do: Oil the {name}.", "follow: clear-up") for name in ("hinge", "lock")
    )
    assert doing(job(ONCE, one, other, do="[hinge, lock]").plan) == [
        "Hang the sign.",
        "Lock the door.",
        "Oil the hinge.",
        "Oil the lock.",
        "Count the tools.",
    ]


def test_a_component_comes_off_as_it_says_itself_whatever_words_a_procedure_has() -> None:
    machine = MACHINE.replace(
        "  fan:\n", "  fan:\n    remove: {steps: [{mark: fan, do: Mark its blade.}, {remove: fan, do: Pull it off.}]}\n"
    )
    one, other = (
        spans(name, "{remove: fan, do: Wrench it off.}", f"do: Oil the {name}.", "fit: fan") for name in ("a", "b")
    )
    found = planned(f"{machine}{one}{other}job: j\nlogbook: l\ndo: [a, b]\n")
    assert [str(step.step.do) for step in found.plan.steps] == [
        "Mark its blade.",
        "Pull it off.",
        "Oil the a.",
        "Oil the b.",
        "Put the {fan} in place.",
    ]


def spans(name: str, *changes: str) -> str:
    return "\n".join([f"procedure: {name}", "machine: m", "steps:", *(f"  - {change}" for change in changes), "---\n"])


def test_where_two_procedures_contradict_each_other_one_thing_is_done_twice_and_the_plan_says_why() -> None:
    one = spans("a", "remove: cover", "fit: cover", "remove: fan", "fit: fan")
    other = spans("b", "remove: fan", "fit: fan", "remove: cover", "fit: cover")
    found = job(one, other, do="[a, b]")
    times = Counter(action for line in doing(found.plan) for action in line.split(", "))
    assert (times["remove fan"], times["remove cover"]) == (2, 1)
    (told,) = found.not_shared
    assert told.items == ("fan",)
    assert told.reason == (
        'The fan is seen to separately by "A" and "B": '
        '"B" removes the fan before it removes the cover, and "A" does it the other way round.'
    )


def test_procedures_that_contradict_each_other_in_everything_run_one_after_the_other() -> None:
    one = spans("a", "remove: cover", "remove: fan", "fit: fan", "fit: cover")
    other = spans("b", "remove: fan", "remove: cover", "fit: cover", "fit: fan")
    found = job(one, other, do="[a, b]")
    assert doing(found.plan) == [line for task in found.tasks for line in doing(task.alone)]
    assert {item for each in found.not_shared for item in each.items} == {"cover", "cover-bolts", "fan"}


def test_where_no_order_is_safe_the_reason_names_what_stands_against_it() -> None:
    ruled = MACHINE.replace("behind: [belt]", "behind: []").replace(
        "fasteners:",
        "rules:\n  - {never: remove fan, while: pump off}\n  - {never: fit fan, while: pump off}\nfasteners:",
    )
    one = spans("a", "remove: pump", "do: Dry it.", "fit: pump", "remove: fan", "fit: fan")
    other = spans("b", "remove: fan", "do: Oil it.", "remove: pump", "fit: pump", "fit: fan")
    library = library_of(f"{ruled}{one}{other}job: j\nlogbook: l\ndo: [a, b]\n")
    found = plan_job(library.jobs["j"], library)
    assert prove(found.plan, library).breaches == ()
    assert found.not_shared


def test_a_procedure_that_is_listed_twice_is_done_twice() -> None:
    found = job(PUMP, do="[clean-pump, clean-pump]")
    assert doing(found.plan) == doing(found.tasks[0].alone) * 2
    assert [each.reason for each in found.not_shared] == ['"Clean pump" is listed again, so all of it is done again.']


def test_inspections_of_the_same_name_stay_apart() -> None:
    text = (
        "procedure: {0}\nmachine: m\nsteps:\n"
        "  - {{inspect: fan, accept: Clean., reject: [{{clean: fan, do: Wipe it for {0}.}}]}}\n---\n"
    )
    found = job(text.format("a"), text.format("b"), do="[a, b]")
    assert list(found.plan.choices) == ["fan accepted", "fan accepted (2)"]
    assert len(found.plan.steps) == 4


# In `procgen check`


LONELY = """\
machine: m
components:
  cover:
    note: On top.
---
logbook: l
machine: m
name: L
---
procedure: close-it
machine: m
starts-with: [cover off]
steps:
  - {fit: cover, do: Put the cover on.}
---
procedure: open-it
machine: m
leaves: [cover off]
steps:
  - {remove: cover, do: Take the cover off.}
---
"""


def checked(text: str) -> list[str]:
    return lines({f"{number}.yaml": part for number, part in enumerate(text.split("---\n"))})


def test_a_job_must_establish_what_a_procedure_starts_with() -> None:
    assert checked(LONELY + "job: j\nlogbook: l\ndo:\n  - close-it\n") == [
        (
            '4.yaml:4:5 error already-so: Step 1, "follow close-it", where it fits the cover, has nothing to do: '
            "the cover is on already."
        ),
        '4.yaml:4:5 error needs-unmet: Step 1, "follow close-it", needs the cover off, and the cover is on.',
    ]


def test_a_job_must_finish_what_a_procedure_leaves() -> None:
    assert checked(LONELY + "job: j\nlogbook: l\ndo:\n  - open-it\n") == [
        "4.yaml:4:5 error left-undone: At the end the cover is still off."
    ]


def test_a_job_that_does_both_is_whole_in_whatever_order_they_are_listed() -> None:
    assert checked(LONELY + "job: j\nlogbook: l\ndo: [open-it, close-it]\n") == []
    assert checked(LONELY + "job: j\nlogbook: l\ndo: [close-it, open-it]\n") == []


# The demo


def demo(name: str) -> JobPlan:
    library = load(Path(__file__).parent.parent.parent / "procedures").library
    return plan_job(library.jobs[name], library)


def test_the_belt_service_of_launch_two_takes_the_belt_off_once_and_drains_once() -> None:
    found = demo("launch-two-belt")
    times = Counter(action for line in doing(found.plan) for action in line.split(", "))
    for once in ("remove timing-belt", "fit timing-belt", "remove upper-cover", "drain coolant", "restore battery"):
        assert times[once] == 1, once
    assert found.not_shared == ()
    assert prove(found.plan, load(Path(__file__).parent.parent.parent / "procedures").library).breaches == ()


def test_while_the_timing_belt_is_off_the_accessory_belt_costs_five_minutes_on_top() -> None:
    found = demo("launch-two-belt")
    extra = {task.procedure.address.id: task.extra_minutes for task in found.tasks}
    assert extra["renew-accessory-belt"] == 5
    assert found.minutes_together < found.minutes_alone


def test_a_job_may_have_a_procedure_that_names_no_machine_after_one_that_does() -> None:
    bench = "procedure: bend-hook\nsteps:\n  - {remove: hook, time: 5 min}\n  - {fit: hook, time: 5 min}\n---\n"
    library = MACHINE + BELT + bench + "job: j\nlogbook: l\ndo: [renew-belt, bend-hook]\n"
    assert [finding for finding in checked(library) if " error " in finding] == []
