"""Whatever the text, reading it ends soon, with a tree, findings, or both, and never with an exception."""

import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.library.files import read_file
from procgen.library.yaml_reading import read, read_tree
from tests.written import one_line

PROCEDURE = """\
procedure: renew-pump
title: "Renew the pump"
machine: m40
options:
  flush: {ask: "Flush it as well?", default: false}
fasteners:
  pump-bolts: {thread: M8x1.25, class: "8.8", count: 6, torque: [10 N·m, 22 N·m]}
steps:
  - drain: coolant
    do: >-
      Open the drain tap
      and catch the coolant.
    uses: {coolant: 7.5 L}
  # The pump comes off with its gasket.
  - remove: pump
    tools: [spanner-13, drain-tray]
  - inspect: pump-face
    accept: 'No light under the straightedge.'
    reject:
      - clean: pump-face
        do: Dress it flat.
  - tighten: pump-bolts
    when: not flush
"""


def seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def told(text: str) -> list[str]:
    return [one_line(finding) for finding in read_tree(text, "x.yaml")[1]]


@settings(deadline=2000, max_examples=300)
@given(st.text())
def test_any_text_is_answered(text: str) -> None:
    read_file(text, "any.yaml")


yaml_like = st.lists(
    st.sampled_from(
        [
            *"{}[]:,-?&*!|>'\"%@`#~<\t\n ",
            ": ",
            "- ",
            "\n  ",
            "\n- ",
            "a",
            "b: ",
            "steps:",
            "{a",
            "---\n",
            "...\n",
            "<<: ",
            "\r",
            "\x00",
            "\\",
        ]
    ),
    max_size=60,
).map("".join)


@settings(deadline=4000, max_examples=500)
@given(yaml_like)
def test_text_made_of_the_marks_of_yaml_is_answered(text: str) -> None:
    read_file(text, "marks.yaml")


@settings(deadline=4000, max_examples=300)
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(PROCEDURE)),
            st.integers(0, 6),
            st.text(st.sampled_from("{}[]:,-\n\t \"'#&*ax:"), max_size=4),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_a_damaged_procedure_is_answered_and_every_place_is_in_the_text(damage: list[tuple[int, int, str]]) -> None:
    text = PROCEDURE
    for start, length, new in damage:
        text = text[:start] + new + text[start + length :]
    lines = text.split("\n")
    for finding in read_file(text, "damaged.yaml").findings:
        assert 1 <= finding.place.line <= len(lines)
        assert 1 <= finding.place.column <= len(lines[finding.place.line - 1]) + 1


def test_an_undamaged_procedure_has_no_findings() -> None:
    assert read_file(PROCEDURE, "sound.yaml").findings == ()


def test_a_thousand_levels_of_nesting_are_refused_at_the_hundred_and_first() -> None:
    assert told("[" * 100 + "]" * 100) == []
    assert told("[" * 101 + "]" * 101) == [
        "x.yaml:1:101 error yaml-syntax: This is nested more than 100 levels deep: the file is not read from here on."
    ]
    assert [line.split(": ", 1)[0] for line in told("a: " + "{b: " * 1000)] == ["x.yaml:1:400 error yaml-syntax"]
    assert [line.split(": ", 1)[0] for line in told("- " * 1000 + "x")] == ["x.yaml:1:201 error yaml-syntax"]


@pytest.mark.parametrize(
    "mark", ["[", "{", "{a: ", "- ", "? ", "'", '"', "&a ", "*a ", "!a ", "\t", "{a,", "a: b: ", "- a: {b: c: d}\n"]
)
def test_a_megabyte_of_any_mark_is_answered_soon(mark: str) -> None:
    assert seconds(lambda: read_file(mark * (1_000_000 // len(mark)), "big.yaml")) < 10


def test_aliases_that_multiply_are_stopped() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]\n" for n in range(1, 10)
    )
    reading = read(bomb, "bomb.yaml")
    assert reading.damaged
    assert size(reading.tree) < 10_000
    assert [one_line(finding) for finding in reading.findings] == [
        'bomb.yaml:4:10 error yaml-syntax: "*a2" repeats so much that the file would grow beyond all measure.'
    ]


def size(tree: object) -> int:
    if isinstance(tree, dict):
        return 1 + sum(size(each) for each in tree.values())
    return 1 + sum(size(each) for each in tree) if isinstance(tree, list) else 1


def test_an_alias_inside_its_own_anchor_is_reported() -> None:
    assert told("a: &a\n  b: *a\n") == [
        'x.yaml:2:6 error yaml-syntax: "*a" stands inside what it refers to, and would never end.'
    ]


def test_control_characters_are_reported_at_the_first_and_taken_out() -> None:
    tree, findings = read_tree("title: Win\x00ch\nnote: \x07\x7f\n", "x.yaml")
    where, _, message = one_line(findings[0]).partition(" error yaml-syntax: ")
    assert where == "x.yaml:1:11"
    assert message == "An invisible control character (U+0000) stands here, and there are 2 more: it is no text."
    assert tree == {"title": "Win ch", "note": None}


def test_half_a_character_pair_is_reported() -> None:
    assert told("title: \ud800\n")[0].startswith(
        "x.yaml:1:8 error yaml-syntax: An invisible control character (U+D800)"
    )


def test_hundreds_of_unknown_keys_are_answered_soon_and_not_all_listed() -> None:
    text = "procedure: x\nsteps: [{do: y}]\n" + "".join(f"key-{n}: x\n" for n in range(20_000))
    assert seconds(lambda: read_file(text, "keys.yaml")) < 10
    assert len(read_file(text, "keys.yaml").findings) == 500
