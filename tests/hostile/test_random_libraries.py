"""Libraries at random: whatever is in the files, the program says what is wrong and builds a draft.

PROCGEN_LONG=1 in the environment tries many more.
"""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

if sys.platform != "linux":
    pytest.skip("time and memory are bounded with means of Linux", allow_module_level=True)

import yaml

from procgen.library.schema import SCHEMA_OF_KIND
from tests.hostile.bounds import survives
from tests.hostile.everywhere import Part, root

EXAMPLES = 2_000 if os.environ.get("PROCGEN_LONG") else 15
STARTER = Path(__file__).parent.parent.parent / "procgen" / "starter" / "library"
FILES = {
    path.relative_to(STARTER).as_posix(): path.read_text(encoding="utf-8") for path in sorted(STARTER.rglob("*.yaml"))
}


def words_of_the_format() -> list[str]:
    """Every key that a schema knows."""
    keys: set[str] = set()
    seen: set[str] = set()
    waiting: list[Part] = [root(kind) for kind in SCHEMA_OF_KIND.values()]
    while waiting:
        part = waiting.pop()
        if part.place not in seen:
            seen.add(part.place)
            keys |= part.keys().keys() - {"*"}
            waiting += [*part.keys().values(), *part.parts(), part.items()]
    return sorted(keys)


KEYS = st.sampled_from(words_of_the_format())
IDS = st.sampled_from(["pump", "impeller", "cover-screws", "mains", "renew-impeller", "fitter", "a", "no-such-thing"])
FIGURES = (
    *("22 N·m", "16–18 lbf·ft", "3 mm", "90°", "2 h", "500 h", "M8x1.25", "8.8", "maker p. 3", "2026-11-01", "reverse"),
    *(
        "mains isolated",
        "not pump-cover off",
        "remove impeller",
        "renew or not renew",
        "the end",
        "{impeller}",
        "",
        " ",
    ),
    *("{cover-screws.torque}", "danger", "~", "1e999", "0x10", "1_000", "12:30", "yes", "- -", "%", "\u2028"),
)
VALUES = st.one_of(
    IDS,
    st.sampled_from(FIGURES),
    st.integers(-3, 2_000_000_000),
    st.floats(),
    st.booleans(),
    st.none(),
    st.text(max_size=12),
)
TREES = st.recursive(
    VALUES,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(st.one_of(KEYS, IDS), inner, max_size=5)),
    max_leaves=25,
)
KINDS = st.sampled_from([str(kind) for kind in SCHEMA_OF_KIND.values()])
RANDOM_FILES = st.builds(
    lambda kind, first, rest: {kind: first} | rest,
    KINDS,
    st.one_of(IDS, TREES),
    st.dictionaries(KEYS, TREES, max_size=6),
)


def written(tree: object) -> str:
    return yaml.safe_dump(tree, sort_keys=False, allow_unicode=True)


@settings(max_examples=EXAMPLES, deadline=None)
@given(st.lists(RANDOM_FILES, min_size=1, max_size=4))
def test_random_files_with_the_keys_of_the_format_are_survived(trees: list[dict[str, object]]) -> None:
    survives({f"f{number}.yaml": written(tree) for number, tree in enumerate(trees)})


@settings(max_examples=EXAMPLES, deadline=None)
@given(st.data())
def test_a_library_with_broken_lines_is_survived(data: st.DataObject) -> None:
    files = dict(FILES)
    for _ in range(data.draw(st.integers(1, 4), label="how many")):
        name = data.draw(st.sampled_from(sorted(files)), label="file")
        lines = files[name].split("\n")
        at = data.draw(st.integers(0, len(lines) - 1), label="line")
        line = lines[at]
        column = data.draw(st.integers(0, len(line)), label="column")
        match data.draw(
            st.sampled_from(["drop", "double", "cut", "put in", "other key", "indent", "move"]), label="act"
        ):
            case "drop":
                del lines[at]
            case "double":
                lines.insert(at, line)
            case "cut":
                lines[at:] = [line[:column]]
            case "put in":
                lines[at] = line[:column] + data.draw(st.text(max_size=6), label="text") + line[column:]
            case "other key":
                key, colon, rest = line.partition(":")
                indent = key[: len(key) - len(key.lstrip(" -"))]
                lines[at] = indent + data.draw(KEYS, label="key") + colon + rest
            case "indent":
                lines[at] = " " * data.draw(st.integers(0, 12), label="indent") + line.lstrip()
            case "move":
                lines.insert(data.draw(st.integers(0, len(lines) - 1), label="to"), lines.pop(at))
        files[name] = "\n".join(lines)
    survives(files)


@settings(max_examples=EXAMPLES, deadline=None)
@given(st.data())
def test_a_library_with_other_values_in_it_is_survived(data: st.DataObject) -> None:
    trees = {name: yaml.safe_load(text) for name, text in FILES.items()}
    for _ in range(data.draw(st.integers(1, 4), label="how many")):
        node = trees[data.draw(st.sampled_from(sorted(trees)), label="file")]
        while True:
            keys = list(node) if isinstance(node, dict) else list(range(len(node)))
            if not keys:
                break
            key = data.draw(st.sampled_from(keys), label="key")
            if isinstance(node[key], (dict, list)) and node[key] and data.draw(st.booleans(), label="go in"):
                node = node[key]
                continue
            node[key] = data.draw(TREES, label="value")
            break
    survives({name: written(tree) for name, tree in trees.items()})
