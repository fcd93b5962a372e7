"""Builds the steps of a procedure, or of a component's own change, from what their author wrote."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from procgen.finding import Place
from procgen.library.fields import Fields
from procgen.library.origin import Kind, NoticeId, PartId, ProcedureId, ToolId
from procgen.library.outline import Choices
from procgen.library.procedure import Action, Amount, Follow, Step, Wait
from procgen.library.state import Verb
from procgen.library.states_and_acts import states, takes
from procgen.library.yaml_tree import Map, Seq

_FIRST = (Verb.LOOSEN, Verb.REMOVE, Verb.FIT, Verb.TIGHTEN)
"""Where two verbs share a step, the loosening comes first and the tightening last."""
_NO_ACTION = (Verb.FOLLOW, Verb.WAIT)
_RANK: dict[str, int] = {
    verb.value: rank
    for rank, verb in enumerate((*_FIRST, *(verb for verb in Verb if verb not in (*_FIRST, *_NO_ACTION))))
}


@dataclass(frozen=True, slots=True)
class Shelf:
    """What steps may refer to beside items and catalogues."""

    choices: Choices = field(default_factory=dict)
    """Options and variants, with their values."""
    figures: frozenset[str] = frozenset()
    choices_of: Mapping[str, Choices] = field(default_factory=dict)
    """For each procedure, its own options: what a step that follows it may choose."""


def build_steps(fields: Fields, key: str, shelf: Shelf, prefix: str = "") -> tuple[Step, ...]:
    """The steps in the list under `key`, numbered as their author would count them."""
    value = fields.data.get(key)
    if not isinstance(value, Seq):
        return ()
    built: list[Step] = []
    for index, (step, spot) in enumerate(zip(value, value.spots, strict=True), start=1):
        if isinstance(step, Map):
            built.append(_step(Fields(fields.reader, step, spot), f"{prefix}{index}", shelf))
    return tuple(built)


def _step(fields: Fields, number: str, shelf: Shelf) -> Step:
    # Keywords are evaluated in this order: `faulty` is read last, when every value has been tried.
    return Step(
        number=number,
        actions=_actions(fields),
        follow=_follow(fields, shelf),
        wait=_wait(fields),
        id=fields.text("id"),
        do=fields.prose("do"),
        why=fields.prose("why"),
        note=fields.prose("note"),
        notices=tuple(NoticeId(notice) for notice in fields.shop("notices", Kind.NOTICE)),
        tools=tuple(ToolId(tool) for tool in fields.shop("tools", Kind.TOOL)),
        uses=_amounts(fields),
        new=tuple(PartId(part) for part in fields.shop("new", Kind.PART)),
        figure=_figure(fields, shelf),
        see=tuple(ProcedureId(name) for name in fields.shop("see", Kind.PROCEDURE)),
        minutes=fields.minutes("time"),
        when=fields.condition("when", shelf.choices),
        needs=states(fields, "needs"),
        sets=fields.items("sets", Kind.CONDITION),
        proof=fields.prose("proof"),
        record=_record(fields),
        sign=fields.texts("sign"),
        accept=fields.prose("accept"),
        reject=build_steps(fields, "reject", shelf, number + "."),
        limits=fields.quantity("limits"),
        out_of_limits=build_steps(fields, "out-of-limits", shelf, number + "."),
        go_back_to=fields.text("go-back-to"),
        repeat=fields.whole("repeat", 1),
        repeat_for=fields.prose("for"),
        reverse_order=fields.text("order") == "reverse",
        accepting=fields.accepted(),
        origin=fields.origin,
        faulty=frozenset(fields.faulty),
    )


def _actions(fields: Fields) -> tuple[Action, ...]:
    implies = bool(fields.reader.scope.implies)
    found: list[Action] = []
    for key in sorted(fields.data.keys() & _RANK.keys(), key=_RANK.__getitem__):
        verb = Verb(key)
        for value, place in fields.each(key):
            item = fields.item(str(value), key, place, *takes(verb, implies=implies))
            if item:
                found.append(Action(verb, item, place))
    return tuple(found)


def _follow(fields: Fields, shelf: Shelf) -> Follow | None:
    procedure = fields.shop_one("follow", Kind.PROCEDURE)
    if procedure is None:
        return None
    choices = shelf.choices_of.get(procedure, {})
    return Follow(ProcedureId(procedure), chosen(fields, choices, procedure), fields.at("follow"))


def chosen(fields: Fields, choices: Choices, procedure: str) -> Mapping[str, bool | str]:
    """The options chosen for `procedure` under `options`; what does not fit is reported and left out."""
    inside = fields.inside("options")
    found: dict[str, bool | str] = {}
    if inside is None:
        return found
    for name, value in inside.data.items():
        values = choices.get(name)
        if values is None:
            what = f"option of {procedure}"
            otherwise = "leave it out, or mend the name"
            fields.reader.resolver.unknown(name, what, _key_place(inside, name), choices.keys(), otherwise)
            fields.faulty.add("options")
        elif value not in values:
            listed = " or ".join("true" if v is True else "false" if v is False else str(v) for v in values)
            message = f'"{name}" of {procedure} cannot be "{value}".'
            fields.fail("bad-condition", "options", inside.at(name), message, f"write {listed}")
        elif isinstance(value, (bool, str)):
            found[name] = value
    return found


def _key_place(fields: Fields, name: str) -> Place:
    return Place(fields.reader.file, *fields.data.spots[name][0])


def _wait(fields: Fields) -> Wait | None:
    minutes = fields.minutes("wait")
    return None if minutes is None else Wait(minutes, fields.text("wait"), fields.at("wait"))


def _amounts(fields: Fields) -> tuple[Amount, ...]:
    inside = fields.inside("uses")
    found: list[Amount] = []
    if inside is None:
        for value, place in fields.each("uses"):
            part = fields.shop_name(str(value), Kind.PART, "uses", place)
            if part:
                found.append(Amount(PartId(part), None, place))
        return tuple(found)
    for name, value in inside.data.items():
        place = _key_place(inside, name)
        part = fields.shop_name(name, Kind.PART, "uses", place)
        if part:
            # A bare number counts pieces: `uses: {cloths: 2}`.
            written = f"{value} pcs" if isinstance(value, int) else value
            quantity = None if value is None else fields.as_quantity("uses", written, inside.at(name), None)
            found.append(Amount(PartId(part), quantity, place))
    return tuple(found)


def _figure(fields: Fields, shelf: Shelf) -> str:
    name = fields.text("figure")
    if name and name not in shelf.figures:
        otherwise = "declare it under `figures:` of the procedure or of one of the machine's assemblies"
        fields.reader.resolver.unknown(name, "figure", fields.at("figure"), shelf.figures, otherwise)
        return ""
    return name


def _record(fields: Fields) -> tuple[str, ...]:
    """What is written down: a spec where the words are the id of one, else the author's words."""
    scope = fields.reader.scope
    for value, place in fields.each("record"):
        declared = scope.find(str(value))
        if declared and declared.address.kind is Kind.SPEC:
            fields.item(str(value), "record", place, Kind.SPEC)
    return fields.texts("record")
