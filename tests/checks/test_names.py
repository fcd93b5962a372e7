"""Names that lead in a ring, to another machine, or from nowhere."""

from hypothesis import given
from hypothesis import strategies as st
from networkx import DiGraph, simple_cycles

from tests.written import lines


def machine(behind: dict[str, list[str]]) -> str:
    return "machine: m\ncomponents:\n" + "".join(
        f"  {item}: {{behind: [{', '.join(fronts)}]}}\n" for item, fronts in behind.items()
    )


def test_a_ring_is_drawn_place_by_place() -> None:
    text = machine({"a": ["b"], "b": ["c"], "c": ["a"]})
    assert lines(text, "circular-access") == [
        "library.yaml:3:15 error circular-access: a is behind b is behind c is behind a: there is no way in."
    ]


def test_what_is_behind_itself_is_a_ring_of_one() -> None:
    assert lines(machine({"a": ["a"]}), "circular-access") == [
        "library.yaml:3:15 error circular-access: a is behind a: there is no way in."
    ]


GRAPHS = st.dictionaries(
    st.sampled_from("abcde"), st.lists(st.sampled_from("abcde"), unique=True, max_size=3), min_size=5, max_size=5
)


@given(GRAPHS)
def test_a_ring_is_reported_exactly_where_networkx_finds_one(behind: dict[str, list[str]]) -> None:
    graph = DiGraph([(item, front) for item, fronts in behind.items() for front in fronts])
    has_ring = next(simple_cycles(graph), None) is not None
    assert bool(lines(machine(behind), "circular-access")) is has_ring


FLEET = {
    "winch.yaml": "machine: winch\nmeter: hours\nschedule:\n  oil: {every: 50 h, do: oil-crane}\n",
    "crane.yaml": "machine: crane\n",
    "oil-crane.yaml": "procedure: oil-crane\nmachine: crane\nsteps:\n  - do: Oil it.\n",
    "oil-winch.yaml": "procedure: oil-winch\nmachine: winch\nsteps:\n  - follow: oil-crane\n  - follow: wash\n",
    "wash.yaml": "procedure: wash\nsteps:\n  - do: Wash it.\n",
    "one.yaml": "logbook: one\nmachine: winch\nname: One\nentries:\n  - {on: 2024-05-01, did: oil-crane}\n",
    "job.yaml": "job: spring\nlogbook: one\ndo:\n  - procedure: oil-crane\n",
}


def test_a_procedure_of_another_machine_is_reported_wherever_it_is_named() -> None:
    assert [line.split(" ")[0] for line in lines(FLEET, "wrong-machine")] == [
        "job.yaml:4:16",
        "oil-winch.yaml:4:13",
        "one.yaml:5:27",
        "winch.yaml:4:26",
    ]


def test_a_procedure_without_a_machine_may_be_followed_on_any() -> None:
    assert [line for line in lines(FLEET, "wrong-machine") if "wash" in line] == []


def test_nothing_is_called_unused_while_a_name_is_mistyped() -> None:
    parts = "parts:\n  gasket: {title: Gasket}\n"
    assert len(lines({"parts.yaml": parts}, "unused-item")) == 1
    procedure = "procedure: p\nsteps:\n  - {do: Lay it on., new: [gaskt]}\n"
    assert lines({"parts.yaml": parts, "p.yaml": procedure}, "unused-item") == []


def test_a_name_in_a_text_is_a_use() -> None:
    parts = "parts:\n  gasket: {title: Gasket}\n"
    procedure = 'procedure: p\nsteps:\n  - {do: "Lay the {gasket} on."}\n'
    assert lines({"parts.yaml": parts, "p.yaml": procedure}, "unused-item") == []


def test_accepting_nothing_is_reported_and_so_is_what_cannot_be_accepted() -> None:
    text = """\
        procedure: p
        accepting: {long-sentence: We like them long.}
        steps:
          - do: Oil it.
            accepting: {yaml-syntax: It works for us.}
          - do: Oil it.
            accepting: {long-sentense: We like them long.}
    """
    assert [line.partition(": ")[0] for line in lines(text)] == [
        "library.yaml:2:13 advice unused-item",
        "library.yaml:5:17 error unknown-name",
        "library.yaml:7:17 error unknown-name",
    ]


def test_an_accepted_finding_is_silent_in_its_own_record_only() -> None:
    text = """\
        procedure: p
        steps:
          - do: Oil it securely.
            accepting: {vague-word: Our word for two turns of the key.}
          - do: Oil it securely.
    """
    assert [line.split(" ")[0] for line in lines(text)] == ["library.yaml:5:9"]
