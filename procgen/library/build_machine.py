"""Builds machines, assemblies, rules, schedules and figures."""

from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import TypedDict

from procgen.finding import Place
from procgen.library.build_items import choice, record
from procgen.library.catalogue import Level
from procgen.library.fields import Fields
from procgen.library.machine import After, Assembly, Before, Callout, Figure, Never, Rule, ScheduleItem
from procgen.library.near import offer
from procgen.library.origin import Address, ItemId, Kind, MachineId, Origin, ProcedureId, Prose
from procgen.library.state import Act
from procgen.library.states_and_acts import acts, states
from procgen.library.yaml_tree import Seq

THE_END = "the end"


class _Said(TypedDict):
    """What rules of all three patterns have."""

    id: str
    because: Prose | None
    level: Level
    note: Prose | None
    origin: Origin


def rules(fields: Fields) -> Iterator[Rule]:
    """The machine's rules, each of one of the three patterns."""
    for number, each in enumerate(fields.listed("rules"), start=1):
        rule = _rule(each, each.text("id") or f"rule-{number}")
        if rule:
            yield rule


def _rule(fields: Fields, rule_id: str) -> Rule | None:
    said: _Said = {
        "id": rule_id,
        "because": fields.prose("because"),
        "level": choice(fields, "level", Level) or Level.WARNING,
        "note": fields.prose("note"),
        "origin": fields.origin,
    }
    if "never" in fields.data:
        act = _one_act(fields, "never")
        while_, unless = states(fields, "while"), states(fields, "unless")
        if act is None or fields.faulty & {"while", "unless"}:
            return None
        return Never(act=act, while_=while_, unless=unless, **said)
    if "after" in fields.data:
        act, must = _one_act(fields, "after"), _one_act(fields, "must")
        ends = fields.text("before", THE_END) == THE_END
        before = None if ends else _one_act(fields, "before")
        if act is None or must is None or "before" in fields.faulty:
            return None
        return After(act=act, must=must, before=before, **said)
    act, need = _one_act(fields, "before"), states(fields, "need")
    if act is None or not need or "need" in fields.faulty:
        return None
    return Before(act=act, need=need, **said)


def _one_act(fields: Fields, key: str) -> Act | None:
    return next(iter(acts(fields, key)), None)


def schedule(fields: Fields, machine: str) -> Iterator[ScheduleItem]:
    """The work that falls due on the machine."""
    known = fields.reader.resolver.names.schedules.get(machine, {})
    for name, entry in fields.named("schedule"):
        address = Address(Kind.SCHEDULE, name, machine)
        each = Fields(entry.reader.naming(address), entry.data, entry.own)
        nth = each.inside("every-nth")
        yield ScheduleItem(
            of=each.items("of"),
            every=each.interval(),
            nth_of=nth.text("of") if nth and _known_schedule(nth, "of", nth.text("of"), known) else "",
            nth=nth.whole("n", 1) if nth else 0,
            do=tuple(ProcedureId(procedure) for procedure in each.shop("do", Kind.PROCEDURE)),
            resets=tuple(text for text in each.texts("resets") if _known_schedule(each, "resets", text, known)),
            kind=each.text("kind"),
            **record(each, address),
        )


def _known_schedule(fields: Fields, key: str, name: str, known: object) -> bool:
    names = known if isinstance(known, dict) else {}
    if name in names:
        fields.reader.resolver.note(names[name].address, fields.mention(key, fields.at(key)))
        return True
    remedy = offer(name, names, "name an item of the machine's schedule")
    fields.fail(
        "unknown-name", key, fields.at(key), f'"{name}" is named here as a schedule item, and nothing is.', remedy
    )
    return False


def figures(fields: Fields, root: Path) -> dict[str, Figure]:
    """The pictures that the file declares."""
    return {name: _figure(entry, name, root) for name, entry in fields.named("figures")}


def _figure(fields: Fields, name: str, root: Path) -> Figure:
    written = fields.text("file")
    path = PurePosixPath(fields.reader.file).parent / written
    fault = picture_fault(root, path) if written else "no file is given"
    if fault and "file" not in fields.faulty:
        fields.fail(
            "figure-missing",
            "file",
            fields.at("file"),
            f'The picture "{written}" cannot be used: {fault}.',
            "put the picture beside this file, or mend the path",
        )
    return Figure(
        id=name,
        file=_normal(path),
        alt=fields.text("alt"),
        title=fields.text("title"),
        callouts=tuple(_callouts(fields)),
        note=fields.prose("note"),
        origin=fields.origin,
        missing=bool(fault),
    )


PICTURES = frozenset({".svg", ".png", ".jpg", ".jpeg", ".gif", ".webp", ".avif"})


def picture_fault(root: Path, path: PurePosixPath) -> str | None:
    """Why the picture at `path` in the library at `root` cannot be used, or None where it can."""
    if "\0" in str(path) or "\\" in str(path) or ":" in str(path):
        return "its path has a character that paths of a library do not have"
    full = root / path
    try:
        if not full.resolve().is_relative_to(root.resolve()):
            return "its path leaves the library"
        if path.suffix.lower() not in PICTURES:
            return f"it is none of {', '.join(sorted(suffix[1:] for suffix in PICTURES))}"
        return None if full.is_file() else "there is no such file"
    except (OSError, RuntimeError):
        return "its path cannot be followed"


def _normal(path: PurePosixPath) -> str:
    parts: list[str] = []
    for part in path.parts:
        if part == ".." and parts:
            parts.pop()
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


def _callouts(fields: Fields) -> Iterator[Callout]:
    for number, each in enumerate(fields.listed("callouts"), start=1):
        at = each.data.get("at")
        if not isinstance(at, Seq) or len(at) != 2:
            continue
        item = next(iter(each.items("item")), None)
        yield Callout(
            number=number,
            x_percent=float(str(at[0])),
            y_percent=float(str(at[1])),
            item=ItemId(item) if item else None,
            text=each.text("text"),
            place=Place(each.reader.file, *each.own),
        )


def assembly(fields: Fields, address: Address, items: tuple[ItemId, ...], root: Path) -> Assembly:
    """A group of components of a machine."""
    return Assembly(
        machine=MachineId(address.scope),
        summary=fields.prose("summary"),
        items=items,
        figures=figures(fields, root),
        **record(fields, address),
    )
