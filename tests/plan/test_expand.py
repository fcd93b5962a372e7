"""What `open`, `close`, `follow`, and steps without words become."""

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.library.condition import ALWAYS, Condition, Is, show
from procgen.library.items import Component, Line
from procgen.library.library import Library
from procgen.library.load import load
from procgen.library.machine import Option
from procgen.library.origin import ItemId, Origin
from procgen.library.procedure import Action, Step
from procgen.library.state import Verb
from procgen.plan.access import in_front
from procgen.plan.expand import DEEPEST, LONGEST, expand
from procgen.plan.snapshots import snapshots
from procgen.plan.steps import Maker, Plan
from procgen.plan.structure import Structure
from tests.plan.machines import PLACE
from tests.plan.test_proof_against_oracle import throw
from tests.written import examined, write

in_any_time = settings(deadline=None)
"""The machine that runs the tests may be busy."""

WINCH = """\
machine: winch
components:
  hatch: {title: Hatch}
  guard: {behind: [hatch], held-by: [guard-bolts], lines: [cable]}
  drum: {behind: [guard]}
fasteners:
  guard-bolts: {thread: M8x1.25, count: 4, head: hex, torque: 22 N·m}
lines:
  cable: {kind: cable}
"""


def library(steps: str, machine: str = WINCH, **files: str) -> Library:
    return examined(
        {"winch.yaml": machine, "p.yaml": f"procedure: p\nmachine: winch\n{steps}", **files}
    ).subject.library


def plan_of(steps: str, machine: str = WINCH, **files: str) -> Plan:
    found = library(steps, machine, **files)
    return expand(found.procedures["p"], found)[0]


def lines(plan: Plan) -> list[str]:
    """Number, actions, and when, of each step."""
    return [
        f"{step.number} {', '.join(f'{action.verb} {action.item}' for action in step.actions)}"
        + (f" when {show(step.when)}" if show(step.when) != "always" else "")
        for step in plan.steps
    ]


def test_open_takes_off_what_is_in_front_outermost_first_and_close_puts_it_back_in_reverse() -> None:
    plan = plan_of("steps:\n  - open: drum\n  - inspect: drum\n  - close: drum\n")
    assert lines(plan) == [
        "1 remove hatch",
        "2 disconnect cable",
        "3 loosen guard-bolts, remove guard",
        "4 inspect drum",
        "5 fit guard",
        "6 tighten guard-bolts",
        "7 connect cable",
        "8 fit hatch",
    ]


def test_words_are_made_from_count_thread_spanner_and_torque() -> None:
    plan = plan_of("steps:\n  - open: drum\n  - close: drum\n")
    assert [str(step.step.do) for step in plan.steps if "guard" in step.key] == [
        "Undo the {guard-bolts} (4 × M8x1.25, 13 mm spanner). Take off the {guard}.",
        "Put the {guard} in place.",
        "Tighten the {guard-bolts}: {guard-bolts.torque}. 4 × M8x1.25, 13 mm spanner.",
    ]
    assert {step.maker for step in plan.steps} == {Maker.DATA}


def test_what_is_off_in_some_cases_is_taken_off_in_the_others_and_put_back_there() -> None:
    plan = plan_of(
        "options: {wide: {ask: Wide?}}\n"
        "steps:\n  - {remove: hatch, when: wide}\n  - open: guard\n  - close: guard\n  - {fit: hatch, when: wide}\n"
    )
    assert lines(plan) == [
        "1 remove hatch when wide",
        "2 remove hatch when not wide",
        "3 fit hatch when not wide",
        "4 fit hatch when wide",
    ]


def test_what_an_outcome_took_off_is_not_taken_off_again() -> None:
    plan = plan_of(
        "steps:\n  - inspect: hatch\n    accept: Dry.\n    reject: [{remove: hatch}]\n"
        "  - open: guard\n  - close: guard\n"
    )
    assert lines(plan) == [
        "1 inspect hatch",
        "1.1 remove hatch when not hatch accepted",
        "2 remove hatch when hatch accepted",
        "3 fit hatch when hatch accepted",
    ]


def test_several_aims_of_one_close_are_one_closing() -> None:
    machine = WINCH + "  brake-line: {behind: [drum]}\n"
    plan = plan_of("steps:\n  - open: [drum, brake-line]\n  - close: [drum, brake-line]\n", machine)
    assert [line.split(" ", 1)[1] for line in lines(plan)][-5:] == [
        "fit drum",
        "fit guard",
        "tighten guard-bolts",
        "connect cable",
        "fit hatch",
    ]


def test_a_fastener_that_the_author_tightens_later_is_left_to_the_author() -> None:
    plan = plan_of(
        "steps:\n  - remove: hatch\n  - remove: guard\n  - fit: guard\n  - clean: drum\n"
        "  - tighten: guard-bolts\n  - fit: hatch\n"
    )
    assert lines(plan)[3:] == ["4 fit guard", "5 connect cable", "6 clean drum", "7 tighten guard-bolts", "8 fit hatch"]


def test_a_fastener_of_two_components_is_tightened_with_the_last() -> None:
    machine = """\
machine: winch
components:
  guard: {held-by: [bolts]}
  bracket: {behind: [guard], held-by: [bolts]}
fasteners:
  bolts: {torque: 22 N·m}
"""
    plan = plan_of("steps:\n  - remove: guard\n  - remove: bracket\n  - fit: bracket\n  - fit: guard\n", machine)
    assert lines(plan) == [
        "1 loosen bolts, remove guard",
        "2 remove bracket",
        "3 fit bracket",
        "4 fit guard",
        "5 tighten bolts",
    ]


def test_a_component_that_says_how_it_comes_off_comes_off_so_and_what_is_done_already_is_skipped() -> None:
    machine = """\
machine: winch
components:
  guard:
    held-by: [bolts]
    remove:
      tools: [pry-bar]
      steps:
        - loosen: bolts
          do: Slacken them crosswise.
        - do: Pry the guard off.
fasteners:
  bolts: {torque: 22 N·m}
"""
    tools = "tools:\n  pry-bar: {title: Pry bar}\n"
    plan = plan_of("steps:\n  - remove: guard\n", machine, **{"tools.yaml": tools})
    assert lines(plan) == ["1 loosen bolts", "2 remove guard"]
    assert plan.steps[0].step.tools == ("pry-bar",)
    assert plan.steps[0].maker is Maker.COMPONENT
    assert [group.title for group in plan.steps[0].groups] == ["Take off the guard"]
    plan = plan_of("steps:\n  - {loosen: bolts}\n  - remove: guard\n", machine, **{"tools.yaml": tools})
    assert lines(plan) == ["1 loosen bolts", "2 remove guard"]


def test_a_component_without_steps_of_its_own_gets_new_single_use_parts_unasked() -> None:
    machine = "machine: winch\ncomponents:\n  cover: {renew: [gasket]}\n"
    parts = "parts:\n  gasket: {title: Gasket, single-use: true}\n"
    plan = plan_of("steps:\n  - remove: cover\n  - fit: cover\n", machine, **{"parts.yaml": parts})
    assert [step.step.new for step in plan.steps] == [(), ("gasket",)]


def test_a_followed_procedure_has_the_options_that_are_chosen_for_it() -> None:
    other = """\
procedure: q
machine: winch
options: {flush: {ask: Flush?}}
steps:
  - {clean: drum, when: flush}
  - {mark: drum, when: not flush}
"""
    plan = plan_of("steps:\n  - {follow: q, options: {flush: true}}\n  - follow: q\n", **{"q.yaml": other})
    assert lines(plan) == ["1 clean drum", "2 mark drum"]
    assert plan.choices == {}
    assert [group.title for group in plan.steps[0].groups] == ["Q"]


def test_a_followed_procedure_that_is_done_once_is_followed_once() -> None:
    other = "procedure: q\nmachine: winch\nonce-per-job: true\nsteps:\n  - clean: drum\n"
    plan = plan_of(
        "options: {twice: {ask: Twice?}}\nsteps:\n  - {follow: q, when: twice}\n  - follow: q\n  - follow: q\n",
        **{"q.yaml": other},
    )
    assert lines(plan) == ["1 clean drum when twice", "2 clean drum when not twice"]


def test_what_an_author_adds_to_an_expanded_step_goes_to_its_beginning_or_its_end() -> None:
    plan = plan_of(
        "steps:\n  - id: off\n    remove: guard\n    note: Mind the edge.\n    record: Hours\n  - fit: guard\n"
    )
    assert [(str(step.step.note or ""), step.step.record) for step in plan.steps[:2]] == [
        ("Mind the edge.", ()),
        ("", ("Hours",)),
    ]


def test_going_back_to_an_expanded_step_leads_to_its_first() -> None:
    plan = plan_of(
        "steps:\n  - id: again\n    open: guard\n  - clean: guard\n  - close: guard\n"
        "  - inspect: guard\n    accept: Clean.\n    reject: [{do: Once more., go-back-to: again}]\n"
    )
    assert plan.steps[-1].go_back_to == plan.steps[0].key


def test_procedures_that_follow_each_other_in_a_circle_are_a_finding_and_no_hang() -> None:
    found = library("steps:\n  - follow: q\n", **{"q.yaml": "procedure: q\nmachine: winch\nsteps:\n  - follow: p\n"})
    _, findings = expand(found.procedures["p"], found)
    assert [finding.check for finding in findings] == ["circular-follow"]


def test_a_procedure_that_follows_itself_is_a_circle_too() -> None:
    found = library("steps:\n  - clean: drum\n  - follow: p\n")
    plan, findings = expand(found.procedures["p"], found)
    assert lines(plan) == ["1 clean drum"]
    assert [finding.check for finding in findings] == ["circular-follow"]


def test_procedures_that_follow_each_other_twice_thirty_deep_are_a_finding_and_no_hang() -> None:
    files = {
        f"q{n}.yaml": f"procedure: q{n}\nmachine: winch\nsteps:\n  - follow: q{n + 1}\n  - follow: q{n + 1}\n"
        for n in range(30)
    }
    files["q30.yaml"] = "procedure: q30\nmachine: winch\nsteps:\n  - clean: drum\n"
    with TemporaryDirectory() as folder:
        found = load(write(Path(folder), {"winch.yaml": WINCH, **files})).library
    plan, findings = expand(found.procedures["q0"], found)
    assert len(plan.steps) == LONGEST + 1
    assert plan.damaged
    assert [finding.check for finding in findings] == ["order-undecided"]


def test_procedures_that_follow_each_other_very_deep_are_told_of_and_planned_no_further() -> None:
    files = {f"p{each}.yaml": f"procedure: p{each}\nsteps: [{{follow: p{each + 1}}}]\n" for each in range(300)}
    last = {"p300.yaml": "procedure: p300\nsteps: [{do: Put the lamp down.}]\n"}
    told = [each.message for each in examined({**files, **last}).findings if each.check == "order-undecided"]
    assert len(told) == 300 - DEEPEST
    assert told[0].endswith("deep, and is planned no further.")


@in_any_time
@given(st.integers(0, 2**32))
def test_the_closure_is_the_least_set_that_clears_the_way_in_an_order_in_which_it_can_come_off(seed: int) -> None:
    machine = throw(seed).machine()
    structure = Structure(machine)
    graph = nx.DiGraph()
    for name, item in machine.items.items():
        graph.add_node(name)
        graph.add_edges_from((name, front) for front in structure.front_of(name))
        if isinstance(item, (Component, Line)):
            attached = (*structure.lines_of(name), *item.held_by)
            graph.add_edges_from((name, front) for each in attached for front in structure.front_of(each))
    for name in machine.items:
        inner = graph.copy()
        # The item itself is not taken off: what is attached to it does not matter.
        inner.remove_edges_from(list(graph.out_edges(name)))
        inner.add_edges_from((name, front) for front in structure.front_of(name))
        found = list(in_front(structure, name))
        assert set(found) == nx.descendants(inner, name) - {name}
        if nx.is_directed_acyclic_graph(inner.subgraph([*found, name])):
            place = {each: index for index, each in enumerate(found)}
            assert all(place[b] < place[a] for a, b in inner.subgraph(found).edges)


@in_any_time
@given(st.integers(0, 2**32))
def test_keys_and_numbers_are_unique_and_the_same_every_time(seed: int) -> None:
    procedure, of = throw(seed).procedure()
    once, again = expand(procedure, of)[0], expand(procedure, of)[0]
    assert once.steps == again.steps
    assert len({step.key for step in once.steps}) == len(once.steps)
    assert len({step.number for step in once.steps}) == len(once.steps)


@in_any_time
@given(st.integers(0, 2**32))
def test_what_is_opened_is_closed_again_in_every_way_through(seed: int) -> None:
    procedure, of = throw(seed).procedure()
    machine = procedure.machine
    described = {n: replace(i, remove=None, fit=None) for n, i in machine.items.items() if isinstance(i, Component)}
    aim, first = (Action(verb, ItemId("c0"), PLACE) for verb in (Verb.OPEN, Verb.CLOSE))
    wide = Is("o0")
    script: list[tuple[Action, Condition]] = [(aim, wide), (aim, ALWAYS), (first, ALWAYS), (first, wide)]
    steps = tuple(
        Step(number=str(n), actions=(action,), when=when, origin=Origin("p.yaml", (n, 1), {}))
        for n, (action, when) in enumerate(script, 1)
    )
    opened = replace(
        procedure,
        machine=replace(machine, items={**machine.items, **described}),
        options={"o0": Option(id="o0", ask="", default=False, choices=(), origin=steps[0].origin)},
        steps=steps,
        only_for=ALWAYS,
        starts_with=(),
    )
    plan, findings = expand(opened, of)
    assert not findings
    for choice in (True, False):
        states = snapshots(plan, {"o0": choice})
        assert states[-1].is_quiet
        fronts = {front for front in in_front(Structure(opened.machine), "c0") if front in described}
        assert any(fronts <= set(state.off) for state in states)
