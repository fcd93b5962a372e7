"""The access map: what comes off before what. Left is what one sees first; a line leads to what lies behind it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.library.items import Component
from procgen.library.machine import Machine
from procgen.library.origin import ItemId
from procgen.manual.book import Leaf, Link
from procgen.manual.drawings.layers import Bend, Layering, Name, Node, islands, layered, reduced, without_rings
from procgen.manual.drawings.lettering import broken
from procgen.manual.drawings.rows import heights

# In CSS pixels, at which the drawing is shown on a screen; a box is a fingertip high.
_BOX_WIDTH = 146.0
_BOX_LEAST = 46.0
_CHANNEL = 38.0
_STUB = 7.0
_GAP = 12.0
_BEND = 6.0
_HEAD = 30.0
_MARGIN = 2.0
_SIZE = 13.0
_LEADING = 16.0
_INSET = 10.0
_NUMBER_LINE = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TextLine:
    """One line of lettering; x and y of its base line's start."""

    text: str
    x: str
    y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One component."""

    to: Link
    x: str
    y: str
    width: str
    height: str
    number: TextLine
    lines: tuple[TextLine, ...]


@dataclass(frozen=True, slots=True)
class AccessLine:
    """The same in words: what must be off before one can get at it, the outermost first."""

    to: Link
    first: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessMap:
    """The drawing and its text equivalent."""

    width: str
    height: str
    heads: tuple[TextLine, ...]
    boxes: tuple[Box, ...]
    edges: tuple[str, ...]
    """Each the `d` of an SVG path."""
    words: tuple[AccessLine, ...]
    free: tuple[Link, ...]
    """Components that nothing hides and that hide nothing."""


def access_map(machine: Machine, leaf: Leaf) -> AccessMap | None:
    """The map of a machine; None where nothing hides anything."""
    names: list[Name] = [item.id for item in machine.items.values() if isinstance(item, Component)]
    behind = {name: tuple(getattr(machine.items[ItemId(name)], "behind", ())) for name in names}
    names.extend(
        other for others in list(behind.values()) for other in others if other not in behind and other not in names
    )
    unique = list(dict.fromkeys(names))
    all_edges = [(other, name) for name in unique for other in behind.get(name, ()) if other in unique]
    edges = reduced(unique, without_rings(unique, all_edges))
    if not edges:
        return None
    linked = [name for name in unique if any(name in edge for edge in edges)]
    links: dict[Name, Link] = {name: leaf.record(machine.items[ItemId(name)]) for name in unique}
    drawing = _Drawing(links)
    for island in islands(linked, edges):
        drawing.add(layered(island, [edge for edge in edges if edge[0] in island]))
    return AccessMap(
        width=_px(drawing.width),
        height=_px(drawing.height),
        heads=tuple(_heads(drawing.columns)),
        boxes=tuple(drawing.boxes),
        edges=tuple(drawing.edges),
        words=tuple(_words(linked, all_edges, links)),
        free=tuple(links[name] for name in unique if name not in linked),
    )


def _words(names: list[Name], edges: list[tuple[Name, Name]], links: Mapping[Name, Link]) -> Iterator[AccessLine]:
    before: dict[Name, list[Name]] = {name: [] for name in names}
    for first, last in edges:
        before[last].append(first)
    for name in names:
        *order, _ = _outermost_first(name, before)
        if order:
            yield AccessLine(links[name], tuple(links[other] for other in order))


def _outermost_first(name: Name, before: Mapping[Name, list[Name]]) -> list[Name]:
    """What must be off before `name`, each after what hides it, and `name` itself at the end."""
    order: list[Name] = []
    seen = {name}
    # Not by calling itself: the deepest machine must not be deeper than Python's stack.
    under_way = [(name, iter(before[name]))]
    while under_way:
        current, rest = under_way[-1]
        other = next((other for other in rest if other not in seen), None)
        if other is None:
            order.append(current)
            under_way.pop()
        else:
            seen.add(other)
            under_way.append((other, iter(before[other])))
    return order


def _heads(columns: int) -> Iterator[TextLine]:
    for column in range(columns):
        text = "In plain reach" if column == 0 else f"{column} deep"
        yield TextLine(text=text, x=_px(_left(column)), y=_px(_MARGIN + 14))


def _left(column: int) -> float:
    return _MARGIN + column * (_BOX_WIDTH + _CHANNEL)


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


class _Drawing:
    """Gathers the islands, one below the other."""

    def __init__(self, links: Mapping[Name, Link]) -> None:
        self.links = links
        self.boxes: list[Box] = []
        self.edges: list[str] = []
        self.columns = 0
        self.height = _HEAD

    @property
    def width(self) -> float:
        return _left(self.columns - 1) + _BOX_WIDTH + _MARGIN

    def add(self, layering: Layering) -> None:
        size: dict[Node, float] = {node: self._size(node) for layer in layering.layers for node in layer}
        middle = heights(layering, size, _GAP)
        column = {node: place for place, layer in enumerate(layering.layers) for node in layer}
        for node, place in column.items():
            if not isinstance(node, Bend):
                self.boxes.append(self._box(node, place, self.height + middle[node], size[node]))
        for edge in layering.edges:
            points = [
                (column[node], self.height + middle[node], isinstance(node, Bend)) for node in layering.path(edge)
            ]
            self.edges.append(_edge(points))
        self.columns = max(self.columns, len(layering.layers))
        self.height += max(middle[node] + size[node] / 2 for node in column) + _GAP * 2

    def _lines(self, name: Name) -> tuple[str, ...]:
        return broken(self.links[name].title, _SIZE, _BOX_WIDTH - 2 * _INSET)

    def _size(self, node: Node) -> float:
        if isinstance(node, Bend):
            return _BEND
        return max(_BOX_LEAST, _NUMBER_LINE + _LEADING * len(self._lines(node)) + 12)

    def _box(self, name: Name, column: int, middle: float, height: float) -> Box:
        lines, left, top = self._lines(name), _left(column), middle - height / 2
        first = top + (height - _NUMBER_LINE - _LEADING * len(lines)) / 2
        return Box(
            to=self.links[name],
            x=_px(left),
            y=_px(top),
            width=_px(_BOX_WIDTH),
            height=_px(height),
            number=TextLine(text=self.links[name].number, x=_px(left + _INSET), y=_px(first + 10)),
            lines=tuple(
                TextLine(text=text, x=_px(left + _INSET), y=_px(first + _NUMBER_LINE + 13 + _LEADING * row))
                for row, text in enumerate(lines)
            ),
        )


def _edge(points: list[tuple[int, float, bool]]) -> str:
    """A line from a box's right side to another's left: level at boxes and bends, straight between the columns."""
    column, y, _ = points[0]
    x = _left(column) + _BOX_WIDTH
    parts = [f"M{_px(x)} {_px(y)}"]
    for column, y, is_bend in points[1:]:
        left = _left(column)
        parts.append(f"L{_px(left - _CHANNEL + _STUB)} {_px(float(parts[-1].split()[-1]))}")
        parts.append(f"L{_px(left - _STUB)} {_px(y)}")
        parts.append(f"L{_px(left + (_BOX_WIDTH if is_bend else 0))} {_px(y)}")
    return "".join(parts)
