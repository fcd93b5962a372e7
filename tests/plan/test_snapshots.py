"""The state before every step of one way through."""

from procgen.plan.expand import expand
from procgen.plan.snapshots import Snapshot, snapshots
from tests.written import examined

LIBRARY = """\
procedure: service-winch
machine: winch
options: {wash: {ask: Wash it?}}
steps:
  - isolate: mains
    proof: Press the button.
  - drain: oil
  - place: pawl
  - remove: guard
  - do: Wash the drum.
    when: wash
    sets: [clean]
  - inspect: drum
    accept: No crack.
    reject:
      - remove: drum
      - fit: drum
  - check: looked-at
  - fit: guard
  - withdraw: pawl
  - fill: oil
  - restore: mains
"""
MACHINE = """\
machine: winch
energies: {mains: {kind: electrical}}
fluids: {oil: {capacity: 2 L}}
components:
  guard: {held-by: [guard-bolts], lines: [cable]}
  drum: {behind: [guard]}
fasteners: {guard-bolts: {torque: 22 N·m}}
lines: {cable: {kind: cable}}
aids: {pawl: {title: Pawl}}
conditions: {clean: {title: Clean}}
checks: {looked-at: {of: drum}}
rules:
  - {id: pawl-breaks, never: turn drum, while: pawl in, unless: drum off}
"""


def at(number: str, **choices: bool | str) -> Snapshot:
    library = examined({"p.yaml": LIBRARY, "winch.yaml": MACHINE}).subject.library
    plan, _ = expand(library.procedures["service-winch"], library)
    index = [step.number for step in plan.steps].index(number) if number != "end" else -1
    return snapshots(plan, {name.replace("_", " "): value for name, value in choices.items()})[index]


def test_everything_that_is_not_in_service_is_told_by_kind() -> None:
    state = at("7", wash=True)
    assert (state.off, state.loose, state.parted) == (("guard",), ("guard-bolts",), ("cable",))
    assert (state.drained, state.isolated, state.placed) == (("oil",), ("mains",), ("pawl",))
    assert state.true == ("clean",)
    assert not state.is_quiet


def test_a_branch_is_gone_through_where_its_outcome_is_bad() -> None:
    assert at("7.2", drum_accepted=False).off == ("guard", "drum")
    assert at("7.2", drum_accepted=False).reached
    assert at("7.2").off == ("guard",)
    assert not at("7.2").reached


def test_a_check_counts_until_what_it_looked_at_is_changed() -> None:
    assert at("end").checked == ("looked-at",)


def test_the_rules_that_are_armed_are_told() -> None:
    assert [rule.id for rule in at("5").armed] == ["pawl-breaks"]
    assert [rule.id for rule in at("7.2", drum_accepted=False).armed] == []
    assert [rule.id for rule in at("end").armed] == []


def test_at_the_end_everything_is_in_service() -> None:
    assert at("end", wash=False, drum_accepted=False).is_quiet
