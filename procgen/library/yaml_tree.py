"""YAML's maps and sequences as plain values that know where they, and everything in them, are written."""

Spot = tuple[int, int]
"""Line and column, both from 1; a tab is one column, a byte-order mark none."""


class Map(dict[str, object]):
    """A YAML mapping."""

    __slots__ = ("column", "flow", "line", "lost", "spots")

    def __init__(self, line: int, column: int, *, flow: bool = False) -> None:
        super().__init__()
        self.line = line
        self.column = column
        self.flow = flow
        """Whether it is written in braces."""
        self.spots: dict[str, tuple[Spot, Spot]] = {}
        """For each key, where the key is written and where its value is."""
        self.lost: frozenset[str] = frozenset()
        """Keys whose values were not what the format asks for, and were taken out."""


class Seq(list[object]):
    """A YAML sequence."""

    __slots__ = ("column", "line", "spots")

    def __init__(self, line: int, column: int) -> None:
        super().__init__()
        self.line = line
        self.column = column
        self.spots: list[Spot] = []
        """Where each item is written."""
