"""Takes out of a file's tree what did not validate, so that records are built from sound values only."""

from procgen.library.yaml_tree import Map, Seq

Path = tuple[str | int, ...]


def prune(data: Map, bad: frozenset[Path]) -> dict[int, set[str]]:
    """Take out the values at the paths `bad`. Gives, for each map by identity, the keys that it lost.

    In a sequence an empty place is left, so that the places after it keep their numbers.
    """
    lost: dict[int, set[str]] = {}
    for path in sorted(bad, key=len, reverse=True):
        if not path:
            continue
        parent = _follow(data, path[:-1])
        last = path[-1]
        if isinstance(parent, Map):
            lost.setdefault(id(parent), set()).add(str(last))
            parent.pop(str(last), None)
        elif isinstance(parent, Seq) and isinstance(last, int) and last < len(parent):
            parent[last] = None
    return lost


def _follow(value: object, path: Path) -> object:
    for part in path:
        if isinstance(value, Map) and isinstance(part, str):
            value = value.get(part)
        elif isinstance(value, Seq) and isinstance(part, int) and part < len(value):
            value = value[part]
        else:
            return None
    return value
