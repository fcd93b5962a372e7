"""The access map: a drawing that is true to the data, with few crossings and no box on another."""

import itertools
import random
import re

import pytest

from procgen.manual.drawings.layers import Node, crossings, islands, layered, reduced, without_rings
from procgen.manual.drawings.rows import heights
from tests.manual.built import built
from tests.manual.reading import elements, texts

ENGINE = """\
    machine: m40
    title: Small diesel
    components:
      guard: {title: Guard}
      belt: {title: Belt, behind: [guard]}
      cover: {title: Cover}
      pump: {title: Pump, behind: [belt, cover]}
      badge: {title: Badge}
"""


def test_each_component_is_a_box_that_links_to_its_page() -> None:
    page = built(ENGINE)["machine/m40.html"]
    (drawing,) = (element for element in elements(page, "svg", class_="access-map"))
    links = [element.get("href") for element in elements(drawing, "a")]
    assert sorted(filter(None, links)) == [f"../machine/m40/{name}.html" for name in ("belt", "cover", "guard", "pump")]


def test_the_same_stands_in_words_with_the_outermost_first() -> None:
    page = built(ENGINE)["machine/m40.html"]
    (in_words,) = texts(page, "details", class_="in-words")
    assert in_words.endswith("Pump Take off first: Guard, Belt, Cover.")


def test_what_hides_nothing_and_is_hidden_by_nothing_is_named_below() -> None:
    page = built(ENGINE)["machine/m40.html"]
    assert texts(page, "p", class_="free") == ["Hidden by nothing, hiding nothing Badge"]


def test_an_edge_that_others_imply_is_not_drawn() -> None:
    assert reduced("abc", [("a", "b"), ("b", "c"), ("a", "c")]) == (("a", "b"), ("b", "c"))


def test_a_ring_is_broken_so_that_a_faulty_library_can_be_drawn() -> None:
    assert without_rings("ab", [("a", "b"), ("b", "a"), ("a", "a")]) == (("a", "b"),)


def random_order(rng: random.Random, count: int) -> tuple[list[str], list[tuple[str, str]]]:
    names = [f"part-{n}" for n in range(count)]
    edges = [(names[rng.randrange(n)], names[n]) for n in range(1, count) for _ in range(rng.choice((1, 1, 2)))]
    return names, list(reduced(names, without_rings(names, edges)))


@pytest.mark.parametrize("seed", range(20))
def test_forty_components_are_drawn_without_a_box_on_another(seed: int) -> None:
    names, edges = random_order(random.Random(seed), 40)  # noqa: S311 - drawings, no secrets
    layering = layered(names, edges)
    size: dict[Node, float] = {node: 46.0 for layer in layering.layers for node in layer}
    middle = heights(layering, size, 12)
    for layer in layering.layers:
        assert all(middle[below] - middle[above] >= 58 - 1e-6 for above, below in itertools.pairwise(layer))
    assert min(middle.values()) == pytest.approx(23)
    place = {node: at for at, layer in enumerate(layering.layers) for node in layer}
    assert all(place[first] < place[last] for first, last in edges)
    assert sorted(node for node in place if isinstance(node, str)) == sorted(names)


@pytest.mark.parametrize("seed", range(12))
def test_small_drawings_cross_hardly_more_than_the_best_that_trying_all_finds(seed: int) -> None:
    names, edges = random_order(random.Random(seed), 7)  # noqa: S311
    for island in islands(names, edges):
        layering = layered(island, [edge for edge in edges if edge[0] in island])
        links = [link for edge in layering.edges for link in itertools.pairwise(layering.path(edge))]
        orders = (itertools.permutations(layer) for layer in layering.layers)
        best = min(crossings(arrangement, links) for arrangement in itertools.product(*orders))
        assert crossings(layering.layers, links) <= best + 1, f"seed {seed}"


def test_lines_start_at_a_box_and_end_at_a_box() -> None:
    page = built(ENGINE)["machine/m40.html"]
    boxes = [[float(box.get(key, "")) for key in ("x", "y", "width", "height")] for box in elements(page, "rect")]
    right = [(x + width, y + height / 2) for x, y, width, height in boxes]
    left = [(x, y + height / 2) for x, y, width, height in boxes]
    paths = [path.get("d", "") for path in elements(page, "path", class_="map-edge")]
    assert len(paths) == 3
    for path in paths:
        start_x, start_y, *_, end_x, end_y = (float(number) for number in re.findall(r"-?[\d.]+", path))
        assert (start_x, start_y) in [pytest.approx(spot, abs=0.2) for spot in right]
        assert (end_x, end_y) in [pytest.approx(spot, abs=0.2) for spot in left]
