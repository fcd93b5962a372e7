"""Laying out "what comes before what" in layers with few crossings: the method of Sugiyama, Tagawa and Toda (1981).

Pure arithmetic on names. Every edge leads from an earlier layer to a later one; an edge that passes a layer gets a
bend there, which takes part in the ordering like a box.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

Name = str
Edge = tuple[Name, Name]

_SWEEPS = 12


@dataclass(frozen=True, slots=True)
class Bend:
    """Where an edge passes a layer."""

    edge: Edge
    layer: int


Node = Name | Bend


@dataclass(frozen=True, slots=True)
class Layering:
    """Boxes and bends, layer by layer, each layer from top to bottom."""

    layers: tuple[tuple[Node, ...], ...]
    edges: tuple[Edge, ...]

    def path(self, edge: Edge) -> tuple[Node, ...]:
        """The nodes that an edge runs through, its ends included."""
        first, last = edge
        of = {node: place for place, layer in enumerate(self.layers) for node in layer}
        return (first, *(Bend(edge, layer) for layer in range(of[first] + 1, of[last])), last)


def without_rings(names: Sequence[Name], edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """The edges without those that close a ring, so that a faulty library can still be drawn."""
    kept: list[Edge] = []
    ahead: dict[Name, set[Name]] = {name: set() for name in names}
    for first, last in edges:
        if first != last and first not in _reach(last, ahead):
            ahead[first].add(last)
            kept.append((first, last))
    return tuple(dict.fromkeys(kept))


def _reach(start: Name, ahead: Mapping[Name, set[Name]]) -> set[Name]:
    found: set[Name] = set()
    waiting = [start]
    while waiting:
        for after in ahead[waiting.pop()]:
            if after not in found:
                found.add(after)
                waiting.append(after)
    return found


def reduced(names: Sequence[Name], edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """The edges without those that others imply; there must be no ring."""
    ahead: dict[Name, set[Name]] = {name: set() for name in names}
    for first, last in edges:
        ahead[first].add(last)
    return tuple(
        (first, last)
        for first, last in edges
        if not any(last in _reach(middle, ahead) for middle in ahead[first] if middle != last)
    )


def islands(names: Sequence[Name], edges: Sequence[Edge]) -> tuple[tuple[Name, ...], ...]:
    """The parts that no edge joins, largest first, each in the order of `names`."""
    mates: dict[Name, set[Name]] = {name: set() for name in names}
    for first, last in edges:
        mates[first].add(last)
        mates[last].add(first)
    seen: set[Name] = set()
    found: list[tuple[Name, ...]] = []
    for name in names:
        if name not in seen:
            island = _reach(name, mates) | {name}
            seen |= island
            found.append(tuple(other for other in names if other in island))
    return tuple(sorted(found, key=len, reverse=True))


def layered(names: Sequence[Name], edges: Sequence[Edge]) -> Layering:
    """One island in layers. The edges must have no ring."""
    depth = _depths(names, edges)
    layers: list[list[Node]] = [[] for _ in range(max(depth.values(), default=0) + 1)]
    for name in names:
        layers[depth[name]].append(name)
    links: list[tuple[Node, Node]] = []
    for edge in edges:
        first, last = edge
        bends = [Bend(edge, layer) for layer in range(depth[first] + 1, depth[last])]
        for bend in bends:
            layers[bend.layer].append(bend)
        links.extend(zip((first, *bends), (*bends, last), strict=True))
    ordered = _ordered(layers, links)
    return Layering(tuple(tuple(layer) for layer in ordered), tuple(edges))


def _depths(names: Sequence[Name], edges: Sequence[Edge]) -> dict[Name, int]:
    before: dict[Name, list[Name]] = {name: [] for name in names}
    for first, last in edges:
        before[last].append(first)
    depth: dict[Name, int] = {}
    waiting = list(names)
    while waiting:
        name = waiting[-1]
        open_ = [other for other in before[name] if other not in depth]
        if open_:
            waiting.extend(open_)
        else:
            depth[waiting.pop()] = 1 + max((depth[other] for other in before[name]), default=-1)
    return depth


def _ordered(layers: list[list[Node]], links: list[tuple[Node, Node]]) -> list[list[Node]]:
    """The layers reordered by barycentres, up and down, keeping the arrangement with the fewest crossings."""
    best, fewest = layers, crossings(layers, links)
    current = [list(layer) for layer in layers]
    for sweep in range(_SWEEPS):
        downward = sweep % 2 == 0
        places = range(1, len(current)) if downward else range(len(current) - 2, -1, -1)
        for place in places:
            fixed = current[place - 1 if downward else place + 1]
            current[place] = _by_barycentre(current[place], fixed, links, downward=downward)
        _exchange(current, links)
        count = crossings(current, links)
        if count < fewest:
            best, fewest = [list(layer) for layer in current], count
        if not fewest:
            break
    return best


def _by_barycentre(
    layer: list[Node], fixed: list[Node], links: list[tuple[Node, Node]], *, downward: bool
) -> list[Node]:
    at = {node: place for place, node in enumerate(fixed)}
    means: dict[Node, float] = {}
    for own, node in enumerate(layer):
        mates = [
            at[a if downward else b]
            for a, b in links
            if (b if downward else a) == node and (a if downward else b) in at
        ]
        means[node] = sum(mates) / len(mates) if mates else float(own)
    return sorted(layer, key=lambda node: means[node])


def _exchange(layers: list[list[Node]], links: list[tuple[Node, Node]]) -> None:
    """Swap neighbours while that saves crossings."""
    improved = True
    while improved:
        improved = False
        for layer in layers:
            for place in range(len(layer) - 1):
                before = crossings(layers, links)
                layer[place], layer[place + 1] = layer[place + 1], layer[place]
                if crossings(layers, links) < before:
                    improved = True
                else:
                    layer[place], layer[place + 1] = layer[place + 1], layer[place]


def crossings(layers: Sequence[Sequence[Node]], links: Sequence[tuple[Node, Node]]) -> int:
    """How many pairs of links between neighbouring layers cross."""
    at = {node: (place, row) for place, layer in enumerate(layers) for row, node in enumerate(layer)}
    by_gap: dict[int, list[tuple[int, int]]] = {}
    for first, last in links:
        by_gap.setdefault(at[first][0], []).append((at[first][1], at[last][1]))
    return sum(
        (a - c) * (b - d) < 0
        for pairs in by_gap.values()
        for place, (a, b) in enumerate(pairs)
        for c, d in pairs[place + 1 :]
    )
