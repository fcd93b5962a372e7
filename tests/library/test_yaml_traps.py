"""Text that is not YAML: what is said about it, where, how it should be, and what is read in its place."""

import json
import re
from dataclasses import dataclass
from pathlib import Path
from textwrap import dedent

import pytest

from procgen.finding import in_order
from procgen.library.yaml_reading import read
from tests.written import one_line


@dataclass(frozen=True, slots=True)
class Trap:
    """A case of `yaml_traps.md`."""

    name: str
    text: str
    said: str
    tree: object


BLOCK = re.compile(r"^```(yaml|text|json)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def traps() -> list[Trap]:
    cases = Path(__file__).with_name("yaml_traps.md").read_text(encoding="utf-8").split("\n## ")[1:]
    found = []
    for case in cases:
        blocks = dict(BLOCK.findall(case))
        name = case.partition("\n")[0]
        found.append(Trap(name, blocks["yaml"].removesuffix("\n"), blocks.get("text", ""), json.loads(blocks["json"])))
    return found


def said(text: str) -> str:
    return "".join(
        f"{each.place.line}:{each.place.column} {each.message}\n  try {each.remedy}\n"
        for each in read(text, "x.yaml").findings
    )


@pytest.mark.parametrize("trap", traps(), ids=lambda trap: trap.name)
def test_a_trap_is_named_at_its_place_and_read_as_it_was_meant(trap: Trap) -> None:
    assert said(trap.text) == trap.said
    assert read(trap.text, "x.yaml").tree == trap.tree


QUOTED_LINE = re.compile(
    r"  try (?:put it in quotes|put the text in quotes|close it|take it out|put it in brackets): (.*)"
)


@pytest.mark.parametrize("trap", [trap for trap in traps() if "\n" not in trap.text], ids=lambda trap: trap.name)
def test_the_last_line_that_a_remedy_shows_is_as_it_should_be(trap: Trap) -> None:
    for line in QUOTED_LINE.findall(trap.said)[-1:]:
        assert read(line, "x.yaml").findings == ()


def test_keys_given_twice_are_reported_at_the_second_with_the_first() -> None:
    reading = read("title: a\nnote: x\ntitle: b\nparts: {p: 1, p: 2}\n", "x.yaml")
    assert [(one_line(finding), str(finding.because[0].place)) for finding in reading.findings] == [
        (
            'x.yaml:3:1 error duplicate-key: "title" is already given at line 1, and only one of the two can be meant.',
            "x.yaml:1:1",
        ),
        (
            'x.yaml:4:15 error duplicate-key: "p" is already given at line 4, and only one of the two can be meant.',
            "x.yaml:4:9",
        ),
    ]
    assert reading.tree == {"title": "a", "note": "x", "parts": {"p": 1}}


def test_ten_traps_in_one_file_are_ten_findings() -> None:
    text = dedent("""\
        procedure: renew-belt
        title: Belt: renew it
        options: {flush: {ask: Flush, and rinse?, default: false}}
        steps:
          - do: "Take the cover off
            why: Look: it is behind it
          - inspect: belt
            limits: >= 3 mm
          - do: {belt} comes off
            tools: [rule, tray
        \t- do: Clean it
          - do: **Do not** bend it
             note: It breaks
    """)
    reading = read(text, "x.yaml")
    assert [str(finding.place) for finding in in_order(reading.findings)] == [
        "x.yaml:2:12",
        "x.yaml:3:31",
        "x.yaml:5:9",
        "x.yaml:6:14",
        "x.yaml:8:14",
        "x.yaml:9:16",
        "x.yaml:10:12",
        "x.yaml:11:1",
        "x.yaml:12:10",
        "x.yaml:13:6",
    ]
    assert not reading.damaged
    assert reading.tree == {
        "procedure": "renew-belt",
        "title": "Belt: renew it",
        "options": {"flush": {"ask": "Flush, and rinse?", "default": False}},
        "steps": [
            {"do": "Take the cover off", "why": "Look: it is behind it"},
            {"inspect": "belt", "limits": ">= 3 mm"},
            {"do": "{belt} comes off", "tools": ["rule", "tray"]},
            {"do": "Clean it"},
            {"do": "**Do not** bend it", "note": "It breaks"},
        ],
    }


def test_what_cannot_be_understood_is_left_out_and_the_rest_is_read() -> None:
    reading = read("title: Winch\n: : : -\nnote: x\nwhere: a: b\n", "x.yaml")
    assert [str(finding.place) for finding in reading.findings] == ["x.yaml:2:1", "x.yaml:4:9"]
    assert reading.damaged
    assert reading.tree == {"title": "Winch", "note": "x", "where": "a: b"}
