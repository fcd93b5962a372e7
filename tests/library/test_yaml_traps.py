"""Text that is not YAML: what is said about it, where, how it should be, and what is read in its place."""

from textwrap import dedent

import pytest

from procgen.finding import Finding, in_order
from procgen.library.yaml_reading import read
from tests.written import one_line


def told(text: str) -> list[str]:
    """The findings of a text, each with its remedy."""
    return [with_remedy(finding) for finding in read(text, "x.yaml").findings]


def with_remedy(finding: Finding) -> str:
    return f"{one_line(finding).replace(' error yaml-syntax', '')} | {finding.remedy}"


TRAPS: dict[str, tuple[str, list[str], object]] = {
    "a comma in unquoted text inside braces": (
        "coolant: {title: Coolant, ready mixed, kind: consumable}",
        [
            'x.yaml:1:27: A comma inside braces ends unquoted text: "Coolant" is read as "title", and "ready mixed" as '
            'a key of its own. | put the text in quotes: coolant: {title: "Coolant, ready mixed", kind: consumable}'
        ],
        {"coolant": {"title": "Coolant, ready mixed", "kind": "consumable"}},
    ),
    "two commas in unquoted text inside braces": (
        "flush: {ask: Flush, rinse, and drain?, default: false}",
        [
            'x.yaml:1:21: A comma inside braces ends unquoted text: "Flush" is read as "ask", and "rinse" as a key of '
            'its own. | put the text in quotes: flush: {ask: "Flush, rinse, and drain?", default: false}'
        ],
        {"flush": {"ask": "Flush, rinse, and drain?", "default": False}},
    ),
    "a question mark at the end of unquoted text inside braces": (
        "flush: {ask: Flush it as well?, default: false}",
        [],
        {"flush": {"ask": "Flush it as well?", "default": False}},
    ),
    "a question mark after a comma inside braces": (
        "flush: {ask: Flush it, ?as well, default: false}",
        [
            'x.yaml:1:25: A comma inside braces ends unquoted text: "Flush it" is read as "ask", and "as well" as a key '
            'of its own. | put the text in quotes: flush: {ask: "Flush it, ?as well", default: false}'
        ],
        {"flush": {"ask": "Flush it, ?as well", "default": False}},
    ),
    "a colon in unquoted text": (
        "do: Check: the marks line up",
        [
            'x.yaml:1:10: Unquoted text must not have a colon followed by a space: "Check" is read as a key. | '
            'put it in quotes: do: "Check: the marks line up"'
        ],
        {"do": "Check: the marks line up"},
    ),
    "a colon in unquoted text with both sorts of quotes in it": (
        'do: Note: don\'t use "force"',
        [
            'x.yaml:1:9: Unquoted text must not have a colon followed by a space: "Note" is read as a key. | '
            "put it in quotes: do: 'Note: don''t use \"force\"'"
        ],
        {"do": 'Note: don\'t use "force"'},
    ),
    "colons in unquoted text inside braces": (
        "a: {title: Seal: large, note: Old: no}",
        [
            "x.yaml:1:16: Unquoted text inside braces must not have a colon followed by a space in it: Seal: large | "
            'put it in quotes: a: {title: "Seal: large", note: Old: no}',
            "x.yaml:1:34: Unquoted text inside braces must not have a colon followed by a space in it: Old: no | "
            'put it in quotes: a: {title: "Seal: large", note: "Old: no"}',
        ],
        {"a": {"title": "Seal: large", "note": "Old: no"}},
    ),
    "a colon in the second line of unquoted text": (
        "do: Undo the bolts\n  in this order - top first: then the rest.\nwhy: It warps.",
        [
            "x.yaml:2:28: Unquoted text must not have a colon followed by a space, on its later lines either. | "
            'put "|" after "do:" and begin the text on the line below'
        ],
        {"do": "Undo the bolts in this order - top first: then the rest.", "why": "It warps."},
    ),
    "text that begins with a name in braces": (
        "do: {pump-bolts} come out first.",
        [
            "x.yaml:1:18: Text that begins with a brace must be in quotes: {pump-bolts} come out first. | "
            'put it in quotes: do: "{pump-bolts} come out first."'
        ],
        {"do": "{pump-bolts} come out first."},
    ),
    "text that is nothing but a name in braces": (
        "do: {pump-bolts.torque}",
        [
            "x.yaml:1:5: Text that begins with a brace must be in quotes: {pump-bolts.torque} is read as a map. | "
            'write "{pump-bolts.torque}"'
        ],
        {"do": "{pump-bolts.torque}"},
    ),
    "a limit that begins with a comparison": (
        "limits: >= 3.5 mm",
        [
            "x.yaml:1:10: Unquoted text must not begin with >, which means something to YAML: >= 3.5 mm | "
            'put it in quotes: limits: ">= 3.5 mm"'
        ],
        {"limits": ">= 3.5 mm"},
    ),
    "a limit inside braces that begins with a comparison": (
        "torque: [{expect: >= 122 N·m}]",
        [
            "x.yaml:1:19: Unquoted text inside braces must not have > in it: >= 122 N·m | "
            'put it in quotes: torque: [{expect: ">= 122 N·m"}]'
        ],
        {"torque": [{"expect": ">= 122 N·m"}]},
    ),
    "bold text": (
        "do: **Never** turn it.",
        [
            "x.yaml:1:6: Unquoted text must not begin with *, which means something to YAML: **Never** turn it. | "
            'put it in quotes: do: "**Never** turn it."'
        ],
        {"do": "**Never** turn it."},
    ),
    "one word that begins with a star": (
        "do: *Never",
        [
            'x.yaml:1:5: "*Never" refers to an anchor, and there is none of that name. | '
            'put text that begins with * in quotes: "*Never"'
        ],
        {"do": "*Never"},
    ),
    "text that begins with an exclamation mark": (
        "do: !Stop it",
        [
            "x.yaml:1:5: Text that begins with ! is read as a YAML tag, and a library has none. | "
            'put it in quotes: "!Stop it"'
        ],
        {"do": "!Stop it"},
    ),
    "text that begins with a quoted word": (
        'do: "STOP" is stamped on it.',
        [
            'x.yaml:1:12: Text that begins with a quote ends at the next one, and more follows: "STOP" is stamped on it.'
            " | put it in quotes: do: '\"STOP\" is stamped on it.'"
        ],
        {"do": '"STOP" is stamped on it.'},
    ),
    "an apostrophe in single quotes": (
        "do: 'Don't force it.'",
        [
            "x.yaml:1:10: Text that begins with a quote ends at the next one, and more follows: 'Don't force it.' | "
            'put it in quotes: do: "Don\'t force it."'
        ],
        {"do": "Don't force it."},
    ),
    "a quote that is not closed": (
        'title: "Winch\nnote: "Old"',
        [
            'x.yaml:1:8: The quote that is opened here is not closed on this line. | close it: title: "Winch"',
        ],
        {"title": "Winch", "note": "Old"},
    ),
    "a quote that is never closed, over several lines": (
        "do: 'Undo the bolts\n  one by one.\nwhy: It warps.",
        ["x.yaml:1:5: The quote that is opened here is never closed. | close it: one by one.'"],
        {"do": "Undo the bolts one by one.", "why": "It warps."},
    ),
    "a bracket that is not closed": (
        "tools: [rule, tray\nnote: x",
        ["x.yaml:1:8: The bracket [ that is opened here is not closed. | close it: tools: [rule, tray]"],
        {"tools": ["rule", "tray"], "note": "x"},
    ),
    "a brace that is not closed": (
        "bolts: {thread: M8, pattern: {circle: 6}\nnote: x",
        [
            "x.yaml:1:8: The brace { that is opened here is not closed. | "
            "close it: bolts: {thread: M8, pattern: {circle: 6}}"
        ],
        {"bolts": {"thread": "M8", "pattern": {"circle": 6}}, "note": "x"},
    ),
    "a bracket too many": (
        "tools: [rule]]\nnote: x",
        ["x.yaml:1:14: The bracket ] closes nothing that is open. | take it out: tools: [rule]"],
        {"tools": ["rule"], "note": "x"},
    ),
    "a bracket of the wrong sort": (
        "tools: [rule, tray}\nnote: x",
        ["x.yaml:1:19: The brace } does not match the one that is open. | write: tools: [rule, tray]"],
        {"tools": ["rule", "tray"], "note": "x"},
    ),
    "a backslash in double quotes": (
        'file: "figures\\pump.svg"',
        [
            "x.yaml:1:15: In double quotes a backslash begins an escape, and \\p is none. | "
            'use single quotes, or double the backslash: file: "figures\\\\pump.svg"'
        ],
        {"file": "figures\\pump.svg"},
    ),
    "no space after a colon": (
        "title:Winch\nnote: x",
        [
            'x.yaml:1:1: There is no space after the colon of "title", and so it is read as text and not as a key. | '
            "write: title: Winch"
        ],
        {"title": "Winch", "note": "x"},
    ),
    "no space after a colon inside braces": (
        "units: {first:metric, second: none}",
        [
            'x.yaml:1:9: "first:metric" has no space after its colon, and is read as one word. | write "first: metric"',
        ],
        {"units": {"first": "metric", "second": "none"}},
    ),
    "no colon": (
        "steps\n  - do: x",
        ['x.yaml:1:1: "steps" stands alone, without a colon after it. | write: steps:'],
        {"steps": [{"do": "x"}]},
    ),
    "a tab": (
        "steps:\n\t- do: x\n\t- do: y",
        [
            "x.yaml:2:1: This line is indented with a tab, and so are 1 more: YAML counts spaces, and a tab has no width."
            " | indent with spaces, two for each level, and set the editor to do so"
        ],
        {"steps": [{"do": "x"}, {"do": "y"}]},
    ),
    "a key that is indented too far": (
        "a: b\nc:\n  d: e\n   f: g",
        [
            "x.yaml:4:4: This line is indented by 3 spaces, and the lines that it belongs with by 2 spaces. | "
            "indent it by 2 spaces"
        ],
        {"a": "b", "c": {"d": "e", "f": "g"}},
    ),
    "a key that is not indented far enough": (
        "steps:\n  - do: x\n    why: y\n   note: z\n  - do: v",
        [
            "x.yaml:4:4: This line is indented by 3 spaces, and the lines that it belongs with by 4 spaces. | "
            "indent it by 4 spaces"
        ],
        {"steps": [{"do": "x", "why": "y", "note": "z"}, {"do": "v"}]},
    ),
    "a key under the dash": (
        "steps:\n  - do: x\n  why: y\n  - do: v",
        [
            "x.yaml:3:3: This line is indented by 2 spaces, and the lines that it belongs with by 4 spaces. | "
            "indent it by 4 spaces"
        ],
        {"steps": [{"do": "x", "why": "y"}, {"do": "v"}]},
    ),
    "text that goes on too far left": (
        "do: Undo the bolts\none by one.\nwhy: It warps.",
        [
            'x.yaml:2:1: This line is neither "key: value" nor "- item": one by one. | '
            "if it goes on from the line above, indent it further than that line's key"
        ],
        {"do": "Undo the bolts one by one.", "why": "It warps."},
    ),
    "a list on the line of its key": (
        "needs: - at-tdc\nnote: x",
        ["x.yaml:1:8: A list cannot begin on the line of its key: - at-tdc | put it in brackets: needs: [at-tdc]"],
        {"needs": ["at-tdc"], "note": "x"},
    ),
    "a merge key": (
        "a: &a {b: c}\nd: {<<: *a, e: f}",
        [
            'x.yaml:2:5: "<<" merges maps in old versions of YAML, and YAML 1.2 has no such key: what it names is not '
            "read. | write the keys out"
        ],
        {"a": {"b": "c"}, "d": {"e": "f"}},
    ),
    "a second document": (
        "a: b\n---\nc: d",
        [
            'x.yaml:2:1: A second document begins here with "---", and a file holds only one: what follows is not read. '
            '| move what follows to a file of its own, or take the line "---" out'
        ],
        {"a": "b"},
    ),
    "a directive": (
        "%YAML 1.1\n---\nanswer: no",
        [],
        {"answer": "no"},
    ),
    "a list for a key": (
        "? [a, b]\n: c\nd: e",
        [
            "x.yaml:1:3: A key must be a word, and a bracket begins here where a key is expected. | "
            "put text that begins with a bracket in quotes"
        ],
        {"d": "e"},
    ),
}


@pytest.mark.parametrize("trap", TRAPS)
def test_a_trap_is_named_at_its_place_and_read_as_it_was_meant(trap: str) -> None:
    text, expected, tree = TRAPS[trap]
    assert told(text) == expected
    assert read(text, "x.yaml").tree == tree


def test_what_a_remedy_shows_is_read_without_findings() -> None:
    for text, expected, _ in TRAPS.values():
        for line in expected:
            _, _, remedy = line.partition(" | ")
            if remedy.startswith(("put it in quotes: ", "close it: ", "take it out: ", "put it in brackets: ")) and (
                "\n" not in text and len(expected) == 1
            ):
                assert told(remedy.partition(": ")[2]) == []


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
