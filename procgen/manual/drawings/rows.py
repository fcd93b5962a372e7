"""Heights in a layered drawing: every node as near to its neighbours' mean as its layer allows."""

import itertools
from collections.abc import Mapping, Sequence

from procgen.manual.drawings.layers import Layering, Node

_ROUNDS = 10


def heights(layering: Layering, size: Mapping[Node, float], gap: float) -> dict[Node, float]:
    """The middle of each node, from 0 downwards. size: how high each node is; gap: least space between two."""
    mates: dict[Node, list[Node]] = {node: [] for layer in layering.layers for node in layer}
    for edge in layering.edges:
        path = layering.path(edge)
        for one, other in itertools.pairwise(path):
            mates[one].append(other)
            mates[other].append(one)
    middle: dict[Node, float] = {}
    for layer in layering.layers:
        middle.update(zip(layer, _spread([0.0] * len(layer), layer, size, gap), strict=True))
    for turn in range(_ROUNDS):
        layers = layering.layers if turn % 2 == 0 else layering.layers[::-1]
        for layer in layers:
            wanted = [
                sum(middle[mate] for mate in mates[node]) / len(mates[node]) if mates[node] else middle[node]
                for node in layer
            ]
            middle.update(zip(layer, _spread(wanted, layer, size, gap), strict=True))
    top = min(middle[node] - size[node] / 2 for node in middle)
    return {node: at - top for node, at in middle.items()}


def _spread(wanted: Sequence[float], layer: Sequence[Node], size: Mapping[Node, float], gap: float) -> list[float]:
    """Middles as near as can be to the wanted ones, in least squares, with every gap kept.

    Taking off what the gaps need turns it into a regression that may not fall: pool adjacent violators.
    """
    offsets = [0.0]
    for one, other in itertools.pairwise(layer):
        offsets.append(offsets[-1] + (size[one] + size[other]) / 2 + gap)
    pools: list[tuple[float, int]] = []
    for target, offset in zip(wanted, offsets, strict=True):
        pools.append((target - offset, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (high, many), (low, few) = pools[-2], pools[-1]
            pools[-2:] = [((high * many + low * few) / (many + few), many + few)]
    level = [mean for mean, count in pools for _ in range(count)]
    return [base + offset for base, offset in zip(level, offsets, strict=True)]
