"""What is said about a file that does not follow the format: every mistake once, at its place, with what to do."""

from textwrap import dedent

import pytest

from procgen.finding import Finding
from procgen.library.files import read_file
from procgen.library.origin import Kind
from tests.written import one_line


def findings(text: str) -> tuple[Finding, ...]:
    return read_file(dedent(text), "x.yaml").findings


def told(text: str) -> list[str]:
    return [one_line(finding) for finding in findings(text)]


def remedies(text: str) -> list[str]:
    return [finding.remedy for finding in findings(text)]


def test_eleven_independent_mistakes_are_eleven_findings_each_at_its_place() -> None:
    assert told("""\
        procedure: renew-pump
        title: 12
        colour: red
        fasteners:
          Pump Bolts: {thread: M8, count: six}
          plug: {torqe: 30 N·m, reusable: no}
        steps:
          - remove: pump
            drain: coolant
          - why: It leaks.
          - do: Check: the seal
            repeat: 0
          - do: Wipe it.
            do: Dry it.
    """) == [
        'x.yaml:2:8 error wrong-type: "title" is the number 12, and it must be text.',
        'x.yaml:3:1 error unknown-key: "colour" is no key of a procedure: whoever does the work would never see it.',
        'x.yaml:5:3 error wrong-type: "Pump Bolts" is no id: an id is lower-case words joined by hyphens.',
        'x.yaml:5:35 error wrong-type: "count" of "Pump Bolts" is the text "six", and it must be a whole number.',
        'x.yaml:6:10 error unknown-key: "torqe" is no key of a fastener: whoever does the work would never see it.',
        'x.yaml:6:35 error wrong-type: "reusable" of "plug" is the text "no", and it must be true or false.',
        ('x.yaml:9:5 error wrong-type: Step 1 has two actions, "remove" and "drain": which of them comes first?'),
        'x.yaml:10:5 error missing-key: Step 2 has no "do" and no action: the sheet would show an empty line.',
        (
            "x.yaml:11:14 error yaml-syntax: Unquoted text must not have a colon followed by a space: "
            '"Check" is read as a key.'
        ),
        'x.yaml:12:13 error wrong-type: "repeat" of step 3 is the number 0, and it must be at least 1.',
        'x.yaml:14:5 error duplicate-key: "do" is already given at line 13, and only one of the two can be meant.',
    ]


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("procedure: x\ntitel: y\nsteps: [{do: z}]", 'did you mean "title"?'),
        ("procedure: x\nsteps: [{remov: z}]", 'did you mean "remove"?'),
        ("procedure: x\nsteps: [{Remove: z}]", 'did you mean "remove"?'),
        ("procedure: x\nsteps: [{go_back_to: z}]", 'did you mean "go-back-to"?'),
        ("procedure: x\nsteps: [{do: z, torque: 3 N·m}]", "move it there, or look at how far it is indented"),
        ("procedure: x\ntitle: 12\nsteps: [{do: z}]", 'put it in quotes: title: "12"'),
        ("procedure: x\nsteps: [{do: z, repeat: six}]", 'write "repeat: 6"'),
        ("procedure: x\nonce-per-job: yes\nsteps: [{do: z}]", 'write "once-per-job: true"'),
        ("procedure: Renew Pump\nsteps: [{do: z}]", 'write "renew-pump"'),
        (
            "procedure: x\nsteps: [{do: z, tools: 'rule, drain tray'}]",
            'put it in brackets: "tools: [rule, drain-tray]"',
        ),
        ("procedure: x\nsteps: {do: z}", 'put "- " before the first key of each: "- do:"'),
        ("procedure: x\nsteps:\n  -do: z", 'put a space after the dash: "- do"'),
        ("procedure: x\nsteps: [{do: z, sign: }]", 'write "sign: [fitter]", or take it out'),
        (
            "procedure: x\nsteps: []",
            (
                'write it like this: "steps: [{drain: coolant, do: Open the drain tap and catch the '
                'coolant.}]", or take it out'
            ),
        ),
        ("machine: x\nmeter: hour", 'did you mean "hours"?'),
        (
            "machine: x\nenergies: {a: {kind: mains}}",
            "choose one of electrical, fuel, air, hydraulic, heat, pressure, spring, raised-load, motion, chemical",
        ),
        ("assembly: x", 'add "machine: m40"'),
        ("sources: {a: {date: 1 April 2026}}", 'write it like this: "date: 2009-05"'),
        ("logbook: x\nmachine: y\nmeter: [{on: 2026-02-31x}]", 'write it like this: "on: 2026-04-01"'),
        ("procedure: x\nsteps: [{do: z, for: each}]", 'add "repeat:", or take "for" out'),
        ("proceedure: x\nsteps: [{do: z}]", 'did you mean "procedure"?'),
        ("title: x\nprocedure: y\nsteps: [{do: z}]", 'move "procedure:" to the first line'),
    ],
)
def test_a_mistake_comes_with_what_to_do(text: str, remedy: str) -> None:
    assert remedies(text) == [remedy]


def test_what_belongs_elsewhere_is_sent_there() -> None:
    assert told("procedure: x\nsteps:\n  - tighten: bolts\n    torque: 3 N·m\n") == [
        'x.yaml:4:5 error unknown-key: "torque" belongs to a fastener, not to a step.'
    ]
    assert told("fasteners: {bolts: {}}\n") == [
        'x.yaml:1:1 error unknown-key: The first key of a file says what kind it is, and "fasteners" is no kind.'
    ]


def test_steps_are_counted_as_their_author_counts_them() -> None:
    assert told("""\
        procedure: x
        steps:
          - do: y
          - inspect: face
            reject:
              - do: z
              - {}
              - measure: gap
                out-of-limits:
                  - note: w
    """) == [
        (
            'x.yaml:7:9 error missing-key: Step 2, branch step 2 has no "do" and no action: the '
            "sheet would show an empty line."
        ),
        (
            'x.yaml:10:13 error missing-key: Step 2, branch step 3, branch step 1 has no "do" and '
            "no action: the sheet would show an empty line."
        ),
    ]


def test_only_the_pairs_that_have_an_order_share_a_step() -> None:
    assert (
        told("procedure: x\nsteps:\n  - {loosen: a, remove: b}\n  - {fit: a, tighten: b}\n  - {remove: a, loosen: b}\n")
        == []
    )
    [finding] = findings("procedure: x\nsteps:\n  - fit: a\n    tighten: b\n    loosen: c\n    wait: 5 min\n")
    assert one_line(finding) == (
        'x.yaml:5:5 error wrong-type: Step 1 has two actions, "fit" and "loosen": which of them comes first?'
    )
    assert [(each.message, str(each.place)) for each in finding.because] == [
        ('"fit" is the first action', "x.yaml:3:5")
    ]


def test_an_injury_notice_says_all_three_and_another_only_what_to_do() -> None:
    assert told("""\
        notices:
          scald: {level: danger, hazard: Hot water.}
          paint: {level: notice}
          sharp: {level: perilous}
          loud: {hazard: Noise.}
    """) == [
        (
            'x.yaml:2:3 error missing-key: "scald" has no "avoid": '
            "a danger notice names the hazard, its consequence and how to avoid it."
        ),
        (
            'x.yaml:2:3 error missing-key: "scald" has no "consequence": '
            "a danger notice names the hazard, its consequence and how to avoid it."
        ),
        'x.yaml:3:3 error missing-key: "paint" has no "avoid": a notice says what to do.',
        'x.yaml:4:18 error wrong-type: "level" of "sharp" is the text "perilous", which means nothing here.',
        'x.yaml:5:3 error missing-key: "loud" has no "level".',
    ]


def test_a_rule_must_forbid_or_ask_for_something() -> None:
    assert told("""\
        machine: x
        rules:
          - {because: It bends.}
          - {while: belt off}
          - {after: fit belt}
    """) == [
        "x.yaml:3:5 error missing-key: Rule 1 forbids nothing and asks for nothing.",
        'x.yaml:4:6 error missing-key: Rule 2 has "while" without "never", and it means nothing alone.',
        "x.yaml:5:5 error missing-key: Rule 3 forbids nothing and asks for nothing.",
    ]


def test_a_pattern_lies_in_one_way() -> None:
    assert told("""\
        machine: x
        fasteners:
          a: {pattern: {circle: 6, grid: 2x3}}
          b: {pattern: {order: [1, 2]}}
          c: {pattern: {grid: 2 by 3}}
    """) == [
        (
            'x.yaml:3:16 error wrong-type: "pattern" of "a" is given as "circle" and "grid", and '
            "bolts lie in one way only."
        ),
        'x.yaml:4:16 error missing-key: "pattern" of "b" does not say how the fasteners lie.',
        'x.yaml:5:23 error wrong-type: "grid" of "c" is the text "2 by 3", and it must be rows x columns.',
    ]


def test_what_an_alias_repeats_is_reported_once() -> None:
    assert told("""\
        machine: x
        fasteners:
          a: &bolts {torqe: 3 N·m}
          b: *bolts
    """) == [
        'x.yaml:3:14 error unknown-key: "torqe" is no key of a fastener: whoever does the work would never see it.'
    ]


def test_nothing_is_called_missing_in_a_file_that_could_not_be_read_to_its_end() -> None:
    assert [line.split(" ")[2] for line in told("procedure: x\n---\nsteps: [{do: y}]\n")] == ["yaml-syntax:"]


def test_figures_without_a_unit_pass_here_and_are_judged_where_units_are_known() -> None:
    assert told("machine: x\nfasteners: {a: {torque: 22, across-flats: 13}}\nfluids: {b: {capacity: 7.5}}\n") == []


def test_designations_may_look_like_numbers_and_keep_their_spelling() -> None:
    file = read_file("parts: {a: {number: 00123}}\n", "x.yaml")
    assert file.findings == ()
    assert str(file.data["parts"]["a"]["number"]) == "00123"  # type: ignore[index]
    assert told("procedure: x\nrevision: 1.10\nsteps: [{do: y, repeat: 01}]\nfasteners: {a: {class: 8.8}}\n") == []


def test_an_item_about_which_there_is_nothing_to_say_is_an_item() -> None:
    assert told("machine: x\ncomponents:\n  cover:\n  belt: {behind: cover}\n") == []
    assert told("machine: x\nenergies:\n  battery:\n") == ['x.yaml:3:3 error wrong-type: Nothing follows "battery".']


def test_the_paths_of_what_is_wrong_are_told_to_who_builds_on() -> None:
    file = read_file(
        "procedure: x\nnote: 3\nodd: 4\nsteps: [{do: y, sign: 5}, {why: z}, {fit: a, drain: b}]\n", "x.yaml"
    )
    assert file.outline.kind is Kind.PROCEDURE
    assert file.bad == {
        ("note",),
        ("odd",),
        ("steps", 0, "sign"),
        ("steps", 1, "do"),
        ("steps", 2, "drain"),
    }


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "x.yaml:1:1 error missing-key: The file is empty, and the first key of a file says what kind it is."),
        (
            "# later\n",
            "x.yaml:1:1 error missing-key: The file is empty, and the first key of a file says what kind it is.",
        ),
        (
            "- a\n",
            "x.yaml:1:1 error wrong-type: The file is a list, and it must be a map whose first key says its kind.",
        ),
        (
            "Renew\n",
            (
                'x.yaml:1:1 error wrong-type: The file is the text "Renew", '
                "and it must be a map whose first key says its kind."
            ),
        ),
        (
            "recipe: x\n",
            'x.yaml:1:1 error unknown-key: The first key of a file says what kind it is, and "recipe" is no kind.',
        ),
    ],
)
def test_a_file_that_does_not_say_its_kind_is_asked_for_it(text: str, expected: str) -> None:
    assert told(text) == [expected]


def test_a_kind_that_stands_further_down_or_is_mistyped_still_lets_the_file_be_judged() -> None:
    late = read_file("title: 3\nprocedure: y\nsteps: [{do: z}]\n", "x.yaml")
    assert (late.outline.kind, late.outline.id) == (Kind.PROCEDURE, "y")
    assert [finding.check for finding in late.findings] == ["unknown-key", "wrong-type"]
    mistyped = read_file("Procedure: y\ntitle: 3\nsteps: [{do: z}]\n", "x.yaml")
    assert (mistyped.outline.kind, mistyped.outline.id) == (Kind.PROCEDURE, "y")
    assert [finding.check for finding in mistyped.findings] == ["unknown-key", "wrong-type"]
