"""What the state of a plan is good for: points of no return, pauses, the close-out list, readiness."""

from datetime import date

from procgen.library.condition import show
from procgen.plan.close_out import CloseOut, close_out
from procgen.plan.expand import expand
from procgen.plan.job import plan_job
from procgen.plan.no_return import points_of_no_return
from procgen.plan.pause import natural_stops, pauses
from procgen.plan.readiness import Readiness, readiness, shopping_list
from procgen.plan.steps import Plan
from tests.plan.jobs import library_of

LIBRARY = """\
machine: m
title: Engine
energies: {battery: {kind: electrical}}
fluids: {oil: {capacity: 4.5 L, part: engine-oil}}
aids: {pin: {tool: locking-pin}}
checks: {dry: {of: [pump], sign: [checker]}}
rules:
  - {id: no-oil, never: run pump, while: oil drained, because: It seizes.}
components:
  cover: {held-by: [cover-bolts]}
  pump:
    behind: [cover]
    part: pump
    wet-with: [oil]
    lines: [hose]
    held-by: [pump-bolts]
    renew: [gasket]
    remove:
      steps:
        - {disconnect: hose, do: Pull it off.}
        - {loosen: pump-bolts, remove: pump, do: Lift it out.}
  seal-face: {behind: [pump]}
lines: {hose: {held-by: [clip]}}
fasteners:
  cover-bolts: {count: 4, torque: 9 N·m}
  pump-bolts: {count: 6, torque: [10 N·m, 22 N·m], reusable: false, part: pump-bolt}
  clip: {torque: {by-hand: Snug}}
---
tools:
  locking-pin: {title: Locking pin, special: true, where: Drawer 2}
  spanner: {title: Spanner}
---
parts:
  pump: {title: Pump, number: P-1, lead-time: 8 days, price: 100}
  gasket: {title: Gasket, number: P-2, single-use: true, lead-time: 10 days, price: 5}
  pump-bolt: {title: Pump bolt, number: P-3, price: 2}
  engine-oil: {title: Engine oil, kind: consumable, unit: L, price: 6}
  cleaner: {title: Cleaner, kind: consumable, unit: mL}
  face-kit: {title: Face repair kit, number: P-4, lead-time: 20 days}
---
procedure: renew-pump
machine: m
steps:
  - {place: pin, do: Push the pin in.}
  - {drain: oil, do: Open the tap., tools: [spanner]}
  - open: pump
  - remove: pump
  - {clean: seal-face, do: Wipe it., uses: {cleaner: 50 mL}}
  - inspect: seal-face
    accept: It is flat.
    reject:
      - {do: Mend the face., new: [face-kit], uses: {cleaner: 0.1 L}}
  - {fit: pump, new: [pump]}
  - {check: dry, do: Look at the joint.}
  - close: pump
  - {fill: oil, do: Pour it in.}
  - {withdraw: pin, do: Take the pin out.}
---
logbook: l
machine: m
name: One
---
job: j
logbook: l
date: 2026-06-20
do: renew-pump
on-hand: [pump-bolt]
"""


def procedure_plan() -> Plan:
    library = library_of(LIBRARY)
    return expand(library.procedures["renew-pump"], library)[0]


def numbers(plan: Plan) -> dict[str, str]:
    return {step.key: step.number for step in plan.steps}


def ready(today: date, text: str = LIBRARY) -> Readiness:
    library = library_of(text)
    return readiness(plan_job(library.jobs["j"], library), library, today)


def test_before_a_seal_is_broken_the_seal_must_be_on_the_bench() -> None:
    plan, library = procedure_plan(), library_of(LIBRARY)
    told = [
        (numbers(plan)[point.step], [str(part.need.part) for part in point.parts])
        for point in points_of_no_return(plan, library)
    ]
    assert told == [("2", ["engine-oil"]), ("5", ["gasket", "face-kit", "pump", "pump-bolt"])]


def test_an_old_pump_may_go_back_and_an_old_gasket_may_not() -> None:
    plan, library = procedure_plan(), library_of(LIBRARY)
    parts = {str(part.need.part): part for point in points_of_no_return(plan, library) for part in point.parts}
    assert {name: part.old_may_go_back for name, part in parts.items()} == {
        "engine-oil": False,
        "gasket": False,
        "pump-bolt": False,
        "pump": True,
        "face-kit": True,
    }
    assert [name for name, part in parts.items() if not part.need.is_certain] == ["face-kit"]


def test_work_rests_before_the_gasket_is_needed_and_when_all_is_open() -> None:
    plan, library = procedure_plan(), library_of(LIBRARY)
    stops = [(numbers(plan)[stop.step], stop.rest.value) for stop in natural_stops(plan, library, pauses(plan))]
    # Not at 5, in the middle of taking the pump off, but before its hose is touched.
    assert stops == [("4", "parts"), ("8", "open")]


def test_a_pause_tells_what_is_apart_what_is_forbidden_and_what_hangs_in_which_bag() -> None:
    plan = procedure_plan()
    pause = next(each for each in pauses(plan) if each.next and each.next.number == "6")
    state = pause.state
    assert (state.off, state.parted, state.drained, state.placed) == (("cover", "pump"), ("hose",), ("oil",), ("pin",))
    assert state.loose == ("cover-bolts", "pump-bolts", "clip")
    assert [rule.id for rule in state.armed] == ["no-oil"]
    bags = [(bag.component, bag.fasteners, numbers(plan)[bag.step]) for bag in pause.bags]
    assert bags == [("cover", ("cover-bolts",), "3"), ("pump", ("pump-bolts",), "5")]


def test_at_the_end_nothing_is_left_and_nothing_comes_next() -> None:
    last = pauses(procedure_plan())[-1]
    assert last.next is None
    assert last.state.is_quiet
    assert last.bags == ()


def by_item(plan: Plan) -> dict[str, CloseOut]:
    return {str(line.item): line for line in close_out(plan)}


def test_everything_that_was_disturbed_stands_on_the_close_out_list_in_that_order() -> None:
    assert list(by_item(procedure_plan())) == [
        "pin",
        "oil",
        "cover-bolts",
        "cover",
        "hose",
        "clip",
        "pump-bolts",
        "pump",
    ]


def test_a_line_of_the_list_names_the_step_that_puts_back_the_torque_and_who_signs() -> None:
    plan = procedure_plan()
    lines, number = by_item(plan), numbers(plan)
    pump, bolts = lines["pump"], lines["pump-bolts"]
    assert (number[pump.disturbed_by], number[pump.restored_by or ""]) == ("5", "8")
    assert plan.step(pump.proved_by or "").actions[0].item == "dry"
    assert pump.sign == ("checker",)
    assert bolts.torque is not None
    assert bolts.torque.text == "[10 N·m, 22 N·m]"
    assert {show(line.when) for line in lines.values()} == {"always"}


def test_readiness_counts_bolts_and_adds_amounts_up() -> None:
    needs = {str(line.need.part): line.need for line in ready(date(2026, 6, 1)).parts}
    assert needs["pump-bolt"].count == 6
    assert (needs["pump"].count, needs["face-kit"].count, needs["face-kit"].count_at_most) == (1, 0, 1)
    cleaner = needs["cleaner"]
    assert cleaner.amount is not None
    assert cleaner.amount_at_most is not None
    assert (float(cleaner.amount.middle), float(cleaner.amount_at_most.middle)) == (50, 150)
    assert cleaner.amount.unit.symbol == "mL"
    assert needs["engine-oil"].amount is not None
    assert needs["engine-oil"].amount.text == "4.5 L"


def test_the_longest_lead_time_of_what_is_missing_for_certain_tells_when_the_job_may_start() -> None:
    found = ready(date(2026, 6, 1))
    assert [str(line.need.part) for line in found.missing] == ["gasket", "pump"]
    assert [line.order_by for line in found.missing] == [date(2026, 6, 10), date(2026, 6, 12)]
    assert found.earliest == date(2026, 6, 11)
    assert not found.is_late


def test_ordered_too_late_the_planned_day_is_lost() -> None:
    found = ready(date(2026, 6, 11))
    assert found.earliest == date(2026, 6, 21)
    assert found.is_late


def test_what_only_a_failed_inspection_needs_delays_nothing() -> None:
    (line,) = ready(date(2026, 6, 1)).may_be_missing
    assert (str(line.need.part), line.order_by) == ("face-kit", date(2026, 5, 31))


def test_a_missing_part_without_a_lead_time_leaves_the_day_open() -> None:
    found = ready(date(2026, 6, 1), LIBRARY.replace("on-hand: [pump-bolt]", "on-hand: [gasket, pump]"))
    assert [str(line.need.part) for line in found.unknown] == ["pump-bolt"]


def test_tools_of_locking_pins_are_listed_and_special_ones_marked() -> None:
    found = ready(date(2026, 6, 1))
    assert [(tool.title, tool.is_special) for tool in found.tools] == [("Locking pin", True), ("Spanner", False)]


def test_the_shopping_list_begins_with_what_must_be_ordered_first() -> None:
    assert shopping_list(ready(date(2026, 6, 1))).splitlines() == [
        'part,number,title,amount,needed,on hand,"lead time, days",order by,price,where',
        "gasket,P-2,Gasket,1,yes,no,10,2026-06-10,5,",
        "pump,P-1,Pump,1,yes,no,8,2026-06-12,100,",
        "face-kit,P-4,Face repair kit,1,perhaps,no,20,2026-05-31,,",
        "cleaner,,Cleaner,50 mL,yes,shelf,,,,",
        "pump-bolt,P-3,Pump bolt,6,yes,yes,,,2,",
        "engine-oil,,Engine oil,4.5 L,yes,shelf,,,6,",
    ]
