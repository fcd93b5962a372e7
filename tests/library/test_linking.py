"""Names become things, who names what is remembered, and what names nothing is reported at its place."""

from pathlib import Path

import pytest

from procgen.finding import Place
from procgen.library.condition import Is, Not
from procgen.library.items import Component, Fastener
from procgen.library.library import Library
from procgen.library.load import Loaded, load
from procgen.library.origin import Address, Kind
from procgen.library.state import Verb
from tests.written import one_line, write

WINCH = """\
machine: winch
variants: {drum: [plain, grooved]}
energies:
  battery: {kind: electrical}
components:
  guard: {title: Guard, held-by: guard-bolts}
  drum: {title: Drum, behind: [guard], exposed-to: [battery]}
fasteners:
  guard-bolts: {thread: M6, class: "8.8", count: 4, torque: 9 N·m}
conditions:
  unloaded: {title: No load on the rope}
"""


def loaded(folder: Path, **files: str) -> Loaded:
    return load(write(folder, {f"{name}.yaml": text for name, text in files.items()}))


def told(result: Loaded) -> list[str]:
    return [one_line(finding) for finding in result.findings]


def test_a_procedure_knows_its_machine_and_its_items(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        inspect="""\
            procedure: inspect-drum
            machine: winch
            steps:
              - loosen: guard-bolts
                remove: guard
              - inspect: drum
                accept: No crack.
        """,
    )
    assert told(result) == []
    procedure = result.library.procedures["inspect-drum"]
    assert procedure.machine is result.library.machines["winch"]
    assert [(action.verb, action.item) for action in procedure.steps[0].actions] == [
        (Verb.LOOSEN, "guard-bolts"),
        (Verb.REMOVE, "guard"),
    ]
    assert procedure.steps[1].actions[0].place == Place("inspect.yaml", 6, 14)
    assert isinstance(procedure.machine.items["drum"], Component)


def test_every_item_knows_what_names_it(tmp_path: Path) -> None:
    library: Library = loaded(
        tmp_path,
        winch=WINCH,
        p="""\
            procedure: tighten-guard
            machine: winch
            steps:
              - loosen: guard-bolts
              - tighten: guard-bolts
                do: Tighten the {guard-bolts} to {guard-bolts.torque}.
        """,
    ).library
    uses = library.used_by(Address(Kind.FASTENER, "guard-bolts", "winch"))
    assert [(use.by.id, use.how) for use in uses] == [
        ("guard", "held-by"),
        ("tighten-guard", "loosen"),
        ("tighten-guard", "tighten"),
        ("tighten-guard", "text"),
    ]


def test_a_name_that_leads_nowhere_is_reported_with_the_nearest(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p="procedure: p\nmachine: winch\nsteps:\n  - remove: gaurd\n",
    )
    assert told(result) == [
        'p.yaml:4:13 error unknown-name: "gaurd" is named here as an item of winch, and nothing has that name.'
    ]
    assert result.findings[0].remedy == 'did you mean "guard"?'
    assert result.library.procedures["p"].damaged


def test_a_verb_on_the_wrong_kind_of_item_says_what_it_takes(tmp_path: Path) -> None:
    result = loaded(tmp_path, winch=WINCH, p="procedure: p\nmachine: winch\nsteps:\n  - tighten: guard\n")
    assert told(result) == [
        'p.yaml:4:14 error wrong-type: "tighten" takes a fastener, and "guard" is a component.',
    ]
    assert result.findings[0].remedy == 'did you mean "guard-bolts"?'


def test_names_in_text_are_checked(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p="procedure: p\nmachine: winch\nsteps:\n  - do: Look at {drumm}, then {{ }} and {drum.colour}.\n",
    )
    assert [(str(f.place), f.check, f.remedy) for f in result.findings] == [
        ("p.yaml:4:9", "unknown-name", "use one of torque, limits, capacity, title, number, thread, count"),
        ("p.yaml:4:9", "unknown-name", 'did you mean "drum"?'),
    ]


def test_a_procedure_without_a_machine_may_name_what_nothing_declares(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        p="""\
            procedure: change-oil
            steps:
              - drain: oil
                tools: [drain-tray]
              - loosen: filter
              - remove: filter-housing
              - measure: play
                limits: 0.1–0.2 mm
        """,
    )
    assert told(result) == []
    procedure = result.library.procedures["change-oil"]
    assert {name: item.address.kind for name, item in procedure.machine.items.items()} == {
        "oil": Kind.FLUID,
        "filter": Kind.FASTENER,
        "filter-housing": Kind.COMPONENT,
        "play": Kind.SPEC,
    }
    assert procedure.implied_items == {"oil", "filter", "filter-housing", "play"}
    assert list(result.library.tools) == ["drain-tray"]


def test_a_tool_must_be_declared_once_the_library_has_a_catalogue(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        tools="tools:\n  hammer: {title: Hammer}\n",
        p="procedure: p\nsteps:\n  - do: Hit it.\n    tools: [hamer]\n",
    )
    assert [(str(f.place), f.check, f.remedy) for f in result.findings] == [
        ("p.yaml:4:13", "unknown-name", 'did you mean "hammer"?')
    ]


def test_local_items_join_those_of_the_machine(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p="""\
            procedure: p
            machine: winch
            fasteners:
              plug: {torque: 12 N·m}
            steps:
              - loosen: plug
              - tighten: plug
        """,
    )
    assert told(result) == []
    procedure = result.library.procedures["p"]
    assert isinstance(procedure.machine.items["plug"], Fastener)
    assert procedure.local_items == ("plug",)
    assert "plug" not in result.library.machines["winch"].items
    assert result.library.find(Address(Kind.FASTENER, "plug", "p")) is procedure.machine.items["plug"]


def test_a_name_declared_twice_is_reported_at_the_second_place(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        a=WINCH,
        b="assembly: extra\nmachine: winch\nlines:\n  drum: {kind: hose}\n",
    )
    assert [(str(f.place), f.check, str(f.because[0].place)) for f in result.findings] == [
        ("b.yaml:4:3", "duplicate-name", "a.yaml:7:3")
    ]


@pytest.mark.parametrize(
    ("condition", "message"),
    [
        ("flush and", "the name of an option or a variant is expected"),
        ("flus", '"flus" is neither an option of the procedure nor a variant of the machine'),
        ("drum = smooth", '"drum" is one of plain, grooved'),
        ("drum", '"drum" is one of plain, grooved'),
        ("flush = wet", '"flush" is a yes-or-no option'),
        ("(flush", "a bracket is not closed"),
        ("(" * 90 + "flush" + ")" * 90, "nested more than 50 deep"),
    ],
)
def test_a_condition_that_cannot_be_understood(tmp_path: Path, condition: str, message: str) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p=f"""\
            procedure: p
            machine: winch
            options:
              flush: {{ask: Flush?, default: false}}
            steps:
              - do: Rinse.
                when: "{condition}"
        """.replace("{ask: Flush?,", '{ask: "Flush?",'),
    )
    assert [(str(f.place), f.check) for f in result.findings] == [("p.yaml:7:11", "bad-condition")]
    assert message in result.findings[0].message


def test_a_condition_is_a_value(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p="procedure: p\nmachine: winch\nsteps:\n  - {do: Rinse., when: not drum = plain}\n",
    )
    assert result.library.procedures["p"].steps[0].when == Not(Is("drum", "plain"))


@pytest.mark.parametrize(
    ("rule", "place", "check"),
    [
        ("{never: turn drum, while: guard off}", None, None),
        ("{never: turn drum, while: guard loose}", "winch.yaml:13:31", "bad-condition"),
        ("{never: turn drum, while: guard}", "winch.yaml:13:31", "bad-condition"),
        ("{never: twirl drum, while: guard off}", "winch.yaml:13:13", "bad-condition"),
        ("{never: turn, while: guard off}", "winch.yaml:13:13", "bad-condition"),
        ("{before: remove guard, need: [unloaded, battery isolated]}", None, None),
        ("{after: fit guard, must: turn drum, before: the end}", None, None),
        ("{before: remove guard, need: [unloded]}", "winch.yaml:13:35", "unknown-name"),
    ],
)
def test_states_and_acts_of_rules(tmp_path: Path, rule: str, place: str | None, check: str | None) -> None:
    result = loaded(tmp_path, winch=f"{WINCH}rules:\n  - {rule}\n")
    assert [(str(f.place), f.check) for f in result.findings] == ([(place, check)] if place else [])
    assert len(result.library.machines["winch"].rules) == (0 if place else 1)


def test_ten_independent_mistakes_are_ten_findings_each_at_its_place(tmp_path: Path) -> None:
    result = loaded(
        tmp_path,
        winch=WINCH,
        p="""\
            procedure: p
            machine: winch
            revison: 2
            once-per-job: maybe
            notices: [nothing]
            figures:
              one: {file: one.svg, alt: One}
            steps:
              - do: Look.
                time: 5
              - do: Look at {drumm}.
              - tighten: guard
              - remove: gaurd
              - do: Look.
                when: sunny
              - do: Look.
                colour: red
        """,
    )
    assert [(str(f.place), f.check) for f in result.findings] == [
        ("p.yaml:3:1", "unknown-key"),
        ("p.yaml:4:15", "wrong-type"),
        ("p.yaml:5:11", "unknown-name"),
        ("p.yaml:7:15", "figure-missing"),
        ("p.yaml:10:11", "bad-quantity"),
        ("p.yaml:11:9", "unknown-name"),
        ("p.yaml:12:14", "wrong-type"),
        ("p.yaml:13:13", "unknown-name"),
        ("p.yaml:15:11", "bad-condition"),
        ("p.yaml:17:5", "unknown-key"),
    ]


def test_the_order_of_files_does_not_matter(tmp_path: Path) -> None:
    procedure = "procedure: p\nmachine: winch\nsteps:\n  - inspect: drum\n"
    first = loaded(tmp_path / "one", a=WINCH, b=procedure)
    second = loaded(tmp_path / "two", a=procedure, b=WINCH)
    assert told(first) == told(second) == []
    assert first.library.procedures["p"].machine.items.keys() == second.library.procedures["p"].machine.items.keys()


@pytest.mark.parametrize(
    "path", ["../outside.svg", "/etc/hostname.svg", "figures/../../x.svg", "C:\\x.svg", "javascript:alert(1).svg"]
)
def test_a_picture_must_lie_in_the_library(tmp_path: Path, path: str) -> None:
    (tmp_path / "outside.svg").write_text("<svg/>", encoding="utf-8")
    written = path.replace("\\", "\\\\")
    result = loaded(
        tmp_path / "library",
        p=f'procedure: p\nfigures:\n  f: {{file: "{written}", alt: A thing}}\nsteps:\n  - {{do: Look., figure: f}}\n',
    )
    assert [finding.check for finding in result.findings] == ["figure-missing"]
    assert result.library.procedures["p"].figures["f"].missing


def test_a_machine_that_is_not_there_is_reported_once_and_not_its_every_item(tmp_path: Path) -> None:
    result = loaded(tmp_path, p="procedure: p\nmachine: wnch\nsteps:\n  - remove: guard\n  - fit: guard\n")
    assert [(str(f.place), f.check) for f in result.findings] == [("p.yaml:2:10", "unknown-name")]
