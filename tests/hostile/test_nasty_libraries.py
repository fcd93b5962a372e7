"""Libraries made to hurt: each of them is checked and built like any other, quickly, and what is wrong is said."""

import os
import sys

import pytest

if sys.platform != "linux":
    pytest.skip("time and memory are bounded with means of Linux", allow_module_level=True)

from tests.hostile.bounds import survives

STEP = "procedure: p\nsteps:\n  - do: Wipe the lid.\n"
BOLT = "procedure: p\nfasteners:\n  bolt: {{thread: M8, class: '8.8', torque: 20 N·m, {}}}\nsteps:\n  - tighten: bolt\n"
LAUGHS = "".join(f"  l{n}: &l{n} [{', '.join([f'*l{n - 1}'] * 10)}]\n" for n in range(1, 12))

NASTY: dict[str, str | bytes] = {
    "nothing": "",
    "one byte": b"\xff",
    "no text": bytes(range(256)) * 40,
    "nulls": b"\0" * 10_000,
    "another encoding": STEP.encode("utf-16"),
    "half a character": STEP.encode() + b"\xe2\x82",
    "lone surrogates": 'procedure: p\ntitle: "\\ud800"\nsteps: [{do: "\\udfff \\ud83d"}]\n',
    "one long line": "procedure: p\nsteps: [" + "{do: Wipe it.}, " * 2_000 + "]\n",
    "deep lists": "procedure: " + "[" * 20_000,
    "deep maps": "procedure: p\nsteps:\n" + "".join("  " * n + "a:\n" for n in range(1, 1_500)),
    "deep flow maps": "procedure: p\nsteps: " + "{a: " * 5_000 + "}" * 5_000,
    "laughs": f"procedure: p\nx:\n  l0: &l0 [lol, lol]\n{LAUGHS}",
    "an alias of itself": "procedure: p\nsteps: &s [*s]\n",
    "a merge of itself": "procedure: p\nsteps: &s {<<: *s}\n",
    "many documents": "---\nprocedure: p\n" * 5_000,
    "many keys": "procedure: p\n" + "".join(f"k{n}: 1\n" for n in range(20_000)),
    "one key many times": "procedure: p\n" + "title: p\n" * 20_000,
    "many broken lines": "procedure: p\n" + "a b\n- {\n" * 5_000,
    "tabs": "procedure: p\n" + "\t- do: x\n" * 5_000,
    "quotes that never end": "procedure: p\ntitle: '" + "x\n" * 20_000,
    "a tag": "procedure: !!python/object/apply:os.system ['echo zq']\nsteps: !!binary AAAA\n",
    "a directive": "%YAML 9.9\n%TAG ! tag:x,2000:\n---\nprocedure: p\n",
    "a long id": f"procedure: {'p' * 100_000}\nsteps: [{{do: Wipe it.}}]\n",
    "a long title": f"procedure: p\ntitle: {'p' * 200_000}\nsteps: [{{do: Wipe it.}}]\n",
    "a text of spaces": f'procedure: p\nsteps:\n  - do: "a{" " * 100_000}b"\n',
    "a text of brackets": f'procedure: p\nsteps:\n  - do: "{"[" * 15_000}{"![" * 5_000}"\n',
    "a text of braces": f'procedure: p\nsteps:\n  - do: "{"{" * 50_000}"\n',
    "a text of stars": f'procedure: p\nsteps:\n  - do: "{"*a_ " * 10_000}"\n',
    "a text of quotes": "procedure: p\nsteps:\n  - do: |\n      " + "> " * 5_000 + "x\n",
    "a text of lists": "procedure: p\nsteps:\n  - do: |\n" + "".join(f"      {'  ' * n}- x\n" for n in range(300)),
    "a text of backticks": f'procedure: p\nsteps:\n  - do: "{"`" * 20_000} {"` `` " * 5_000}"\n',
    "a text of links": f'procedure: p\nsteps:\n  - do: "{"[a](" * 10_000}"\n',
    "a text of references": f'procedure: p\nsteps:\n  - do: "{"{p} " * 5_000}"\n',
    "a long word": f"procedure: p\nsteps:\n  - do: {'x' * 200_000}\n",
    "a big number": f"procedure: p\nsteps: [{{do: x, time: {'9' * 5_000} min}}]\n",
    "a huge exponent": "procedure: p\nsteps: [{do: x, time: 1e999999999 min}, {wait: 9e307 years}, {wait: -.inf}]\n",
    "a huge point": BOLT.format(f"pattern: {{points: [[{'9' * 400}, 0], [1, 0], [1, 1]], order: [{'9' * 400}]}}"),
    "many bolts": BOLT.format("count: 999999999"),
    "a big circle": BOLT.format("pattern: {circle: 999999999}"),
    "a big grid": BOLT.format("pattern: {grid: 9999x9999}"),
    "a big row": BOLT.format("pattern: {row: 1000000}"),
    "many points": BOLT.format(f"pattern: {{points: [{', '.join(f'[{n}, {n % 7}]' for n in range(3_000))}]}}"),
    "points in one place": BOLT.format("pattern: {points: [[0, 0], [0, 0], [0, 0], [0, 0]]}"),
    "points far away": BOLT.format("pattern: {points: [[1.0e308, -1.0e308], [0, 1.0e-308], [.nan, .inf], [1, 1]]}"),
    "a thread of nothing": BOLT.format("engagement: 0 mm").replace("M8", "M0x0"),
    "a thread beyond all": BOLT.format("engagement: 1e300 mm").replace("M8", "M99999999999x0.0000000001"),
    "a torque beyond all": BOLT.format("head: hex").replace("20 N·m", "1e308 N·m"),
    "stages without end": BOLT.format("head: hex").replace("20 N·m", f"[{', '.join(['20 N·m'] * 3_000)}]"),
    "many options": "procedure: p\noptions:\n"
    + "".join(f"  o{n}: {{default: false}}\n" for n in range(60))
    + "steps:\n"
    + "".join(f"  - remove: c{n}\n    when: o{n}\n  - fit: c{n}\n    when: o{n}\n" for n in range(60)),
    "options that meet": "procedure: p\noptions:\n"
    + "".join(f"  o{n}: {{default: false}}\n" for n in range(14))
    + "steps:\n"
    + "".join(f"  - remove: c\n    when: o{n}\n  - fit: c\n    when: not o{n - 1}\n" for n in range(1, 14)),
    "a long condition": "procedure: p\noptions: {o: {default: false}}\nsteps:\n  - do: x\n    when: "
    + "not (" * 3_000
    + "o"
    + ")" * 3_000
    + "\n",
    "a wide condition": "procedure: p\noptions: {o: {default: false}}\nsteps:\n  - do: x\n    when: "
    + " and ".join(["o or not o"] * 3_000)
    + "\n",
    "steps in steps": "procedure: p\nsteps:\n"
    + "".join(f"{'    ' * n}  - inspect: c\n{'    ' * n}    accept: good\n{'    ' * n}    reject:\n" for n in range(40))
    + "    " * 40
    + "  - do: x\n",
    "a loop": "procedure: p\nsteps:\n"
    + "".join(
        f"  - id: s{n}\n    inspect: c{n}\n    accept: x\n    reject: [{{go-back-to: s{n // 2}}}]\n" for n in range(40)
    ),
    "repeated for ever": "procedure: p\nsteps: [{do: x, repeat: 999999999}, {turn: c, repeat: 1e9}]\n",
    "follows itself": "procedure: p\nsteps: [{follow: p}, {follow: p}]\n",
    "many steps": "procedure: p\nsteps:\n" + "  - {remove: c}\n  - {fit: c}\n" * 500,
    "behind itself": "machine: m\ncomponents:\n  a: {behind: [a]}\n",
    "behind each other": "machine: m\ncomponents:\n"
    + "".join(f"  c{n}: {{behind: [{', '.join(f'c{m}' for m in range(30) if m != n)}]}}\n" for n in range(30)),
    "a long way in": "machine: m\ncomponents:\n  c0: {title: C}\n"
    + "".join(f"  c{n}: {{behind: [c{n - 1}]}}\n" for n in range(1, 300)),
    "every name alike": "machine: m\ncomponents:\n"
    + "".join(f"  part-{n}: {{behind: [prat-{n}]}}\n" for n in range(200)),
    "a schedule without end": "machine: m\nmeter: hours\nschedule:\n"
    "  s: {every: [1e308 h, 9999999 years, 0 days, 1e-300 h]}\n",
    "a year before all": "logbook: l\nmachine: m\nin-service: 0001-01-01\nmeter: [{on: 9999-12-31, hours: 1.0e+308}]\n",
    "a meter of many": "logbook: l\nmachine: m\nmeter:\n" + "  - {on: 2020-01-01, hours: 1}\n" * 3_000,
    "a figure from elsewhere": "machine: m\nfigures:\n"
    "  f: {file: ../../../../../../etc/passwd, alt: x}\n  g: {file: /etc/passwd}\n"
    '  h: {file: ., alt: x}\n  i: {file: "a\\0b.svg", alt: x}\n  j: {file: ' + "x" * 5_000 + ".svg}\n",
    "prices": "parts:\n  a: {price: 1.0e+308}\n  b: {price: -1}\n  c: {price: .nan}\n",
    "a replacement of itself": "parts:\n  a: {replaces: a, replaced-by: a}\n  b: {replaces: c}\n  c: {replaces: b}\n",
    "a source of itself": "sources:\n  a: {replaces: a}\n",
    "a term of itself": 'terms:\n  a: {meaning: "{a} {b}", see: a}\n  b: "{b}"\n',
    "every first key": "manual: m\ntools: {}\nparts: {}\nsources: {}\nnotices: {}\nterms: {}\n"
    "machine: m\nprocedure: p\njob: j\n",
}


@pytest.mark.parametrize("name", NASTY)
def test_it_is_checked_and_built_within_bounds(name: str) -> None:
    survives({"nasty.yaml": NASTY[name]})


def test_a_thousand_empty_files_and_one_that_is_deep_inside() -> None:
    deep = "/".join(["d"] * 60)
    survives({f"f{n}.yaml": "" for n in range(1_000)} | {f"{deep}/p.yaml": STEP})


@pytest.mark.parametrize(
    "name", ["a b.yaml", "ä€😀.yaml", "-rf.yaml", "%2e%2e.yaml", "'\"<&>.yaml", "x" * 240 + ".yaml", "con.yaml"]
)
def test_a_strange_file_name_is_a_name(name: str) -> None:
    assert {finding.place.file for finding in survives({name: STEP + "colour: red\n"})} == {name}


@pytest.mark.skipif(not os.environ.get("PROCGEN_LONG"), reason="takes ten seconds; PROCGEN_LONG=1 runs it")
def test_a_machine_deeper_than_the_stack_is_only_slow() -> None:
    # Every component's page says all that is in front of it: pages of a million links in all.
    chain = "".join(f"  c{n}: {{behind: [c{n - 1}]}}\n" for n in range(1, 1_100))
    survives({"deep.yaml": f"machine: m\ncomponents:\n  c0: {{title: C}}\n{chain}"}, times=8)
