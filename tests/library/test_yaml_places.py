"""Every value of a tree knows where it is written."""

import io
from collections.abc import Iterator

import yaml
from hypothesis import given
from hypothesis import strategies as st

from procgen.library.yaml_reading import read_tree
from procgen.library.yaml_tree import Map, Seq, Spot

words = st.from_regex(r"[a-z]{3,8}", fullmatch=True) | st.sampled_from(
    ["Ölfilter", "22 N·m", "two words", "true", "12", ""]
)
trees = st.recursive(
    words | st.integers(0, 10**6) | st.booleans() | st.none(),
    lambda inside: (
        st.lists(inside, max_size=4) | st.dictionaries(st.from_regex(r"[a-z]{3,8}", fullmatch=True), inside, max_size=4)
    ),
    max_leaves=25,
)


def at(text: str, spot: Spot) -> str:
    """The rest of the line from a spot on."""
    return text.split("\n")[spot[0] - 1][spot[1] - 1 :]


def scalars(tree: object) -> Iterator[tuple[object, Spot]]:
    """Every key and every plain value with its spot."""
    if isinstance(tree, Map):
        assert tree.keys() == tree.spots.keys()
        for key, value in tree.items():
            yield key, tree.spots[key][0]
            yield from scalars(value) if isinstance(value, (Map, Seq)) else [(value, tree.spots[key][1])]
    elif isinstance(tree, Seq):
        assert len(tree) == len(tree.spots)
        for value, spot in zip(tree, tree.spots, strict=True):
            yield from scalars(value) if isinstance(value, (Map, Seq)) else [(value, spot)]


def collections(tree: object) -> Iterator[Map | Seq]:
    if isinstance(tree, (Map, Seq)):
        yield tree
        for value in tree.values() if isinstance(tree, Map) else tree:
            yield from collections(value)


@given(
    st.dictionaries(st.from_regex(r"[a-z]{3,8}", fullmatch=True), trees),
    st.sampled_from([False, True, None]),
    st.integers(2, 6),
)
def test_every_spot_leads_to_the_text(tree: dict[str, object], flow: bool | None, indent: int) -> None:
    text = yaml.safe_dump(
        tree, allow_unicode=True, default_flow_style=flow, indent=indent, width=1_000_000, sort_keys=False
    )
    read, findings = read_tree(text, "tree.yaml")
    assert findings == ()
    assert read == tree
    for value, spot in scalars(read):
        written = yaml.safe_dump(value, allow_unicode=True, width=1_000_000).split("\n")[0]
        assert at(text, spot).startswith(written)


@given(st.dictionaries(st.from_regex(r"[a-z]{3,8}", fullmatch=True), trees), st.sampled_from([False, True]))
def test_maps_and_lists_begin_where_the_library_says(tree: dict[str, object], flow: bool) -> None:
    text = yaml.safe_dump(tree, allow_unicode=True, default_flow_style=flow, sort_keys=False)
    read, _ = read_tree(text, "tree.yaml")
    assert {(each.line, each.column) for each in collections(read)} == {
        (node.start_mark.line + 1, node.start_mark.column + 1)
        for node in nodes(yaml.compose(io.StringIO(text), Loader=yaml.SafeLoader))
    }


def nodes(node: yaml.Node | None) -> Iterator[yaml.CollectionNode]:
    if isinstance(node, yaml.MappingNode):
        yield node
        for _, value in node.value:
            yield from nodes(value)
    elif isinstance(node, yaml.SequenceNode):
        yield node
        for value in node.value:
            yield from nodes(value)


def test_a_tab_is_one_column_and_a_byte_order_mark_none() -> None:
    tree, _ = read_tree("\ufefftitle:\tWinch\nnote: x\n", "winch.yaml")
    assert isinstance(tree, Map)
    assert tree.spots == {"title": ((1, 1), (1, 8)), "note": ((2, 1), (2, 7))}


def test_windows_and_old_line_ends_count_as_one_line_each() -> None:
    tree, _ = read_tree("title: Winch\r\nnote: x\rwhere: y\n", "winch.yaml")
    assert isinstance(tree, Map)
    assert [spot for spot, _ in tree.spots.values()] == [(1, 1), (2, 1), (3, 1)]


def test_separators_that_only_old_yaml_broke_lines_at_break_none() -> None:
    tree, findings = read_tree("title: Win\u2028ch\u0085es\nnote: x\n", "winch.yaml")
    assert findings == ()
    assert isinstance(tree, Map)
    assert tree == {"title": "Win ch es", "note": "x"}
    assert tree.spots["note"] == ((2, 1), (2, 7))


def test_an_alias_stands_where_it_is_written_and_its_parts_where_they_are() -> None:
    tree, _ = read_tree("first: &bolts\n  thread: M8\nsecond: *bolts\n", "bolts.yaml")
    assert isinstance(tree, Map)
    assert tree == {"first": {"thread": "M8"}, "second": {"thread": "M8"}}
    assert tree.spots["second"] == ((3, 1), (3, 9))
    second = tree["second"]
    assert isinstance(second, Map)
    assert second.spots["thread"] == ((2, 3), (2, 11))


def test_what_follows_mended_text_keeps_the_place_at_which_the_author_wrote_it() -> None:
    line = "part: {title: Seal: large, kind: consumable, unit: L}"
    tree, findings = read_tree(line + "\n", "parts.yaml")
    assert len(findings) == 1
    assert isinstance(tree, Map)
    part = tree["part"]
    assert isinstance(part, Map)
    assert part["title"] == "Seal: large"
    assert {key: at(line, spots[1]) for key, spots in part.spots.items() if key != "title"} == {
        "kind": "consumable, unit: L}",
        "unit": "L}",
    }
