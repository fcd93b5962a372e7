"""Takes out of a file's tree what did not validate, so that records are built from sound values only."""

import re

from procgen.library.origin import Kind
from procgen.library.outline import CATALOGUES, GROUPS
from procgen.library.schema import schema_files, wanted
from procgen.library.yaml_tree import Map, Seq

Path = tuple[str | int, ...]

_DECLARING = frozenset({*GROUPS, *CATALOGUES.values(), "figures", "schedule"})
"""Keys at the top of a file whose map declares names."""


def prune(data: Map, bad: frozenset[Path], kind: Kind) -> None:
    """Take out the values at the paths `bad` of a file of `kind`. Each map remembers which keys it has lost.

    In a sequence an empty place is left, so that the places after it keep their numbers. A name that is declared keeps
    a map, be it an empty one that has lost every key: whoever names it is led to a record.
    """
    lost: dict[int, tuple[Map, set[str]]] = {}
    for path in sorted(bad, key=len, reverse=True):
        if not path:
            continue
        parent = _follow(data, path[:-1])
        last = path[-1]
        if isinstance(parent, Map) and len(path) == 2 and path[0] in _DECLARING:
            _empty(parent, str(last), frozenset(wanted(kind, path).keys))
        elif isinstance(parent, Map):
            lost.setdefault(id(parent), (parent, set()))[1].add(str(last))
            parent.pop(str(last), None)
        elif isinstance(parent, Seq) and isinstance(last, int) and last < len(parent):
            parent[last] = None
    for parent, keys in lost.values():
        parent.lost |= keys


def _empty(parent: Map, name: str, keys: frozenset[str]) -> None:
    """Leave an empty map under a name; where only the name is not as it should be, leave all."""
    if name not in parent or (isinstance(parent[name], Map) and not re.search(_id_pattern(), name)):
        return
    parent[name] = empty = Map(*parent.spots[name][1])
    empty.lost = keys


def _id_pattern() -> str:
    pattern: str = schema_files()["common.schema.json"]["$defs"]["id"]["pattern"]
    return pattern


def _follow(value: object, path: Path) -> object:
    for part in path:
        if isinstance(value, Map) and isinstance(part, str):
            value = value.get(part)
        elif isinstance(value, Seq) and isinstance(part, int) and part < len(value):
            value = value[part]
        else:
            return None
    return value
