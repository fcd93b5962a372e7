"""Builds the items of a machine from what their authors wrote: one function for each kind."""

from collections.abc import Callable, Iterator
from enum import StrEnum
from typing import Any, TypeVar

from procgen.library.build_steps import Shelf, build_steps
from procgen.library.fields import Fields
from procgen.library.items import (
    Aid,
    Change,
    Check,
    Component,
    Energy,
    Fastener,
    Fluid,
    Head,
    Item,
    Layout,
    Line,
    MachineCondition,
    OtherValue,
    Pattern,
    Spec,
    Threads,
)
from procgen.library.origin import Address, Kind, NoticeId, PartId, ToolId
from procgen.library.outline import GROUPS
from procgen.library.procedure import walk
from procgen.library.states_and_acts import acts, states
from procgen.library.yaml_tree import Map, Seq
from procgen.measure.unit_table import Dimension

Choice = TypeVar("Choice", bound=StrEnum)


def title_of(fields: Fields, name: str) -> str:
    """The title as written, or the name as words."""
    return fields.text("title") or title_from(name)


def title_from(name: str) -> str:
    """A name as words: "coolant-pump" is "Coolant pump"."""
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:]


def record(fields: Fields, address: Address) -> dict[str, Any]:
    """What every record has, as keywords for its class. Read it last: it tells which keys were faulty."""
    return {
        "address": address,
        "title": title_of(fields, address.id),
        "note": fields.prose("note"),
        "source": fields.citation(),
        "other_values": tuple(other_values(fields)),
        "accepting": fields.accepted(),
        "origin": fields.origin,
        "faulty": frozenset(fields.faulty),
    }


def other_values(fields: Fields) -> Iterator[OtherValue]:
    """What other sources say."""
    for each in fields.listed("other-values"):
        key = next((key for key in ("torque", "limits", "every", "capacity") if key in each.data), "")
        value = each.data.get(key)
        yield OtherValue(
            key=key,
            text=", ".join(str(part) for part in value) if isinstance(value, Seq) else str(value or ""),
            torque=each.torque("torque"),
            quantity=each.quantity("limits") or each.quantity("capacity", Dimension.VOLUME),
            source=each.citation(),
            why_not=each.prose("why-not"),
            note=each.prose("note"),
            origin=each.origin,
        )


def choice(fields: Fields, key: str, kind: type[Choice]) -> Choice | None:
    """One of a closed set of words; anything else was refused by the schema."""
    word = fields.text(key)
    return kind(word) if word in frozenset(kind) else None


def build_items(fields: Fields, shelf: Shelf, owner: str) -> Iterator[Item]:
    """Every item that the file in `fields` declares; `owner` is its machine, or the procedure itself."""
    for group, kind in GROUPS.items():
        for name, entry in fields.named(group):
            address = Address(kind, name, owner)
            yield _BUILDERS[kind](Fields(entry.reader.naming(address), entry.data, entry.own), address, shelf)


def _component(fields: Fields, address: Address, shelf: Shelf) -> Component:
    part = fields.shop_one("part", Kind.PART)
    return Component(
        part=PartId(part) if part else None,
        behind=fields.items("behind"),
        held_by=fields.items("held-by", Kind.FASTENER),
        lines=fields.items("lines", Kind.LINE),
        wet_with=fields.items("wet-with", Kind.FLUID),
        exposed_to=fields.items("exposed-to", Kind.ENERGY),
        rides_with=fields.items("rides-with", Kind.COMPONENT),
        renew=tuple(PartId(part) for part in fields.shop("renew", Kind.PART)),
        mass=fields.quantity("mass", Dimension.MASS),
        vital=fields.flag("vital"),
        loosen_in_reverse=fields.flag("loosen-in-reverse"),
        where=fields.text("where"),
        remove=_change(fields, "remove", shelf),
        fit=_change(fields, "fit", shelf),
        **record(fields, address),
    )


def _change(fields: Fields, key: str, shelf: Shelf) -> Change | None:
    inside = fields.inside(key)
    if inside is None:
        return None
    steps = build_steps(inside, "steps", shelf)
    if inside.faulty or any(step.faulty for step in walk(steps)):
        fields.faulty.add(key)
    return Change(
        needs=states(inside, "needs"),
        steps=steps,
        tools=tuple(ToolId(tool) for tool in inside.shop("tools", Kind.TOOL)),
        notices=tuple(NoticeId(notice) for notice in inside.shop("notices", Kind.NOTICE)),
        minutes=inside.minutes("time"),
        note=inside.prose("note"),
        origin=inside.origin,
    )


def _fastener(fields: Fields, address: Address, _shelf: Shelf) -> Fastener:
    part = fields.shop_one("part", Kind.PART)
    return Fastener(
        thread=fields.text("thread"),
        strength_class=fields.text("class"),
        count=fields.whole("count", 1),
        head=choice(fields, "head", Head),
        across_flats=fields.quantity("across-flats", Dimension.LENGTH),
        torque=fields.torque(),
        stage_places=fields.stage_places(),
        threads=choice(fields, "threads", Threads),
        prevailing=fields.text("prevailing") == "add",
        into=fields.text("into"),
        engagement=fields.quantity("engagement", Dimension.LENGTH),
        length=fields.quantity("length", Dimension.LENGTH),
        pattern=_pattern(fields),
        reusable=fields.flag("reusable", default=True),
        part=PartId(part) if part else None,
        specs=fields.items("specs", Kind.SPEC),
        behind=fields.items("behind"),
        where=fields.text("where"),
        **record(fields, address),
    )


def _points(written: Seq) -> Iterator[tuple[float, float]]:
    """The points that are two numbers; what is wrong with others is already reported."""
    for point in written:
        match point:
            case [int() | float() as x, int() | float() as y]:
                yield float(x), float(y)
            case _:
                pass


def _pattern(fields: Fields) -> Pattern | None:
    inside = fields.inside("pattern")
    if inside is None:
        return None
    layout = next((layout for layout in Layout if layout in inside.data), None)
    if layout is None:
        return None
    value = inside.data[layout]
    points: tuple[tuple[float, float], ...] = ()
    rows, columns = 1, 0
    if layout is Layout.POINTS and isinstance(value, Seq):
        points = tuple(_points(value))
        columns = len(points)
        if columns < len(value):
            return None
    elif layout is Layout.GRID:
        rows, columns = (int(side) for side in str(value).lower().replace("×", "x").split("x"))
    elif isinstance(value, int):
        columns = value
    order = inside.data.get("order")
    return Pattern(
        layout=layout,
        rows=rows,
        columns=columns,
        points=points,
        order=tuple(int(str(position)) for position in order) if isinstance(order, Seq) else (),
        origin=inside.origin,
    )


def _line(fields: Fields, address: Address, _shelf: Shelf) -> Line:
    part = fields.shop_one("part", Kind.PART)
    return Line(
        kind=fields.text("kind", "hose"),
        carries=fields.items("carries", Kind.FLUID),
        behind=fields.items("behind"),
        held_by=fields.items("held-by", Kind.FASTENER),
        exposed_to=fields.items("exposed-to", Kind.ENERGY),
        renew=tuple(PartId(part) for part in fields.shop("renew", Kind.PART)),
        part=PartId(part) if part else None,
        where=fields.text("where"),
        **record(fields, address),
    )


def _fluid(fields: Fields, address: Address, _shelf: Shelf) -> Fluid:
    part = fields.shop_one("part", Kind.PART)
    return Fluid(
        capacity=fields.quantity("capacity", Dimension.VOLUME),
        part=PartId(part) if part else None,
        behind=fields.items("behind"),
        where=fields.text("where"),
        **record(fields, address),
    )


def _energy(fields: Fields, address: Address, _shelf: Shelf) -> Energy:
    return Energy(
        kind=fields.text("kind", "electrical"),
        back_by=acts(fields, "back-by"),
        isolated_by=fields.prose("isolated-by"),
        where=fields.text("where"),
        **record(fields, address),
    )


def _aid(fields: Fields, address: Address, _shelf: Shelf) -> Aid:
    tool = fields.shop_one("tool", Kind.TOOL)
    return Aid(
        tool=ToolId(tool) if tool else None,
        supports=fields.items("supports", Kind.COMPONENT),
        behind=fields.items("behind"),
        needs=states(fields, "needs"),
        where=fields.text("where"),
        **record(fields, address),
    )


def _condition(fields: Fields, address: Address, _shelf: Shelf) -> MachineCondition:
    return MachineCondition(lost_by=acts(fields, "lost-by"), meaning=fields.prose("meaning"), **record(fields, address))


def _spec(fields: Fields, address: Address, _shelf: Shelf) -> Spec:
    return Spec(
        of=fields.items("of"),
        limits=fields.quantity("limits"),
        tools=tuple(ToolId(tool) for tool in fields.shop("with", Kind.TOOL)),
        unit=fields.text("unit"),
        where=fields.text("where"),
        **record(fields, address),
    )


def _check(fields: Fields, address: Address, _shelf: Shelf) -> Check:
    return Check(
        of=fields.items("of"),
        do=fields.prose("do"),
        sign=fields.texts("sign"),
        needs=states(fields, "needs"),
        **record(fields, address),
    )


_BUILDERS: dict[Kind, Callable[[Fields, Address, Shelf], Item]] = {
    Kind.COMPONENT: _component,
    Kind.FASTENER: _fastener,
    Kind.LINE: _line,
    Kind.FLUID: _fluid,
    Kind.ENERGY: _energy,
    Kind.AID: _aid,
    Kind.CONDITION: _condition,
    Kind.SPEC: _spec,
    Kind.CHECK: _check,
}


def implied_item(kind: Kind, address: Address, fields: Fields) -> Item:
    """An item that a step of a procedure without a machine names, and of which nothing else is known."""
    bare = Fields(fields.reader, Map(*fields.own), fields.own)
    return _BUILDERS[kind](bare, address, Shelf())
