"""The page of anything that belongs to a machine: what it is, what it has to do with others, who touches it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

from markupsafe import Markup

from procgen.library.items import (
    Aid,
    Change,
    Check,
    Component,
    Energy,
    Fastener,
    Fluid,
    Item,
    Line,
    MachineCondition,
    Spec,
)
from procgen.library.machine import Machine
from procgen.library.origin import Kind
from procgen.library.state import Act
from procgen.manual.authority import CitationView, OtherValueView, citation, other_values
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.check_view import reasons
from procgen.manual.deviations import Deviation, deviations_of
from procgen.manual.drawings.torque_band import BandDrawing, band_drawing
from procgen.manual.facts import Fact, Relation, duration, facts, relations
from procgen.manual.fastener_view import TorquePlate, torque_plate, what_it_is
from procgen.manual.measures import Measured
from procgen.manual.page import Page
from procgen.manual.paths import path_of
from procgen.manual.used_by import UseGroup, used_by


@dataclass(frozen=True, slots=True)
class Words:
    """A text under a small heading."""

    label: str
    text: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeView:
    """How a component comes off, or goes back."""

    title: str
    time: str
    note: Markup
    steps: tuple[Markup, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemView:
    """All that the template shows."""

    title: str
    number: str
    kind: str
    facts: tuple[Fact, ...]
    torque: TorquePlate | None
    band: BandDrawing | None
    """Where its torque sits in what the joint can bear."""
    limits: Measured | None
    """The big figure of a spec or a fluid."""
    limits_label: str
    relations: tuple[Relation, ...]
    fasteners: tuple[TorquePlate, ...]
    """How it is held, with figures."""
    words: tuple[Words, ...]
    changes: tuple[ChangeView, ...]
    citation: CitationView | None
    others: tuple[OtherValueView, ...]
    used_by: tuple[UseGroup, ...]
    deviations: tuple[Deviation, ...]


def pages(book: Book) -> Iterator[Page]:
    """One page for every item of every machine, and for what procedures declare themselves."""
    for machine in book.library.machines.values():
        for item in machine.items.values():
            yield page(book, item, machine)
    for name, head in book.library.heads.items():
        if not head.declares and head.machine in book.library.machines:
            continue
        procedure = book.library.procedures[name]
        for id_ in (*procedure.local_items, *sorted(procedure.implied_items)):
            yield page(book, procedure.machine.items[id_], procedure.machine)


def page(book: Book, item: Item, machine: Machine) -> Page:
    """The page of one item."""
    path, _ = path_of(item.address, book.library)
    leaf = book.leaf(path, book.section_of(machine))
    return leaf.page(
        "item.html",
        lambda: _view(item, machine, leaf),
        title=item.title,
        number=book.numbers[item.address],
        made_from=book.account.of_record(item.address, item.origin.file),
    )


def _view(item: Item, machine: Machine, leaf: Leaf) -> ItemView:
    limits, label = _big_figure(item, leaf)
    return ItemView(
        title=item.title,
        number=leaf.book.numbers[item.address],
        kind=_kind_words(item),
        facts=facts(*_place(item, machine, leaf), *_facts(item, leaf)),
        torque=torque_plate(item, leaf, with_order=True) if isinstance(item, Fastener) else None,
        band=band_drawing(item, leaf.book.measures) if isinstance(item, Fastener) else None,
        limits=limits,
        limits_label=label,
        relations=relations(*_relations(item, machine, leaf)),
        fasteners=tuple(_held_by(item, machine, leaf)),
        words=tuple(words for words in _words(item, machine, leaf) if words.text),
        changes=tuple(_changes(item, machine, leaf)),
        citation=citation(item.source, leaf),
        others=other_values(item, leaf, machine),
        used_by=used_by(item.address, leaf),
        deviations=tuple(deviations_of(item, leaf)),
    )


def _kind_words(item: Item) -> str:
    match item:
        case Line(kind=kind):
            return kind.capitalize()
        case Energy(kind=kind):
            return f"Energy: {kind.replace('-', ' ')}"
        case Spec():
            return "Measurement"
        case _:
            return item.address.kind.value.capitalize()


def _place(item: Item, machine: Machine, leaf: Leaf) -> Iterator[Fact]:
    if machine.address.id:
        assembly = machine.assembly_of.get(item.id)
        yield Fact(label="Machine", links=(leaf.to(machine.address),))
        yield Fact(label="Assembly", links=(leaf.record(assembly),) if assembly else ())
    yield Fact(label="Where", text=getattr(item, "where", ""))


def _facts(item: Item, leaf: Leaf) -> Iterator[Fact]:
    measures = leaf.book.measures
    part = getattr(item, "part", None)
    yield Fact(label="Part to order", links=leaf.shelf(Kind.PART, (part,)) if part else ())
    match item:
        case Component():
            yield Fact(label="Mass", text=measures.text(item.mass) if item.mass else "")
            yield Fact(label="Vital", text="Checked by a second person before it is covered" if item.vital else "")
        case Fastener():
            yield Fact(label="Thread", text=what_it_is(item))
            yield Fact(label="Length", text=measures.text(item.length) if item.length else "")
            yield Fact(label="Screwed into", text=item.into)
            yield Fact(label="Engagement", text=measures.text(item.engagement) if item.engagement else "")
            yield Fact(label="Used again", text="" if item.reusable else "Never: new ones every time")
            yield Fact(label="Prevailing torque", text="Measured and added" if item.prevailing else "")
        case Aid():
            yield Fact(label="Tool", links=leaf.shelf(Kind.TOOL, (item.tool,)) if item.tool else ())
        case Spec():
            yield Fact(label="Measured with", links=leaf.shelf(Kind.TOOL, item.tools))
            yield Fact(label="Read in", text=item.unit)
        case Check():
            yield Fact(label="Signed by", text=" and ".join(item.sign))
        case Energy():
            yield Fact(label="Made safe by", text="isolating it" if item.is_supplied else "releasing it")
        case Line() | Fluid() | MachineCondition():
            pass
        case _:
            assert_never(item)


def _big_figure(item: Item, leaf: Leaf) -> tuple[Measured | None, str]:
    match item:
        case Spec(limits=quantity) if quantity:
            return leaf.book.measures.view(quantity), "Limits"
        case Fluid(capacity=quantity) if quantity:
            return leaf.book.measures.view(quantity), "Capacity"
        case _:
            return None, ""


_RELATIONS = (
    ("behind", "Take off first"),
    ("lines", "Its lines"),
    ("wet_with", "Drain first"),
    ("exposed_to", "Make safe first"),
    ("rides_with", "Comes off together with"),
    ("carries", "Carries"),
    ("supports", "Supports"),
    ("of", "Is about"),
    ("specs", "Measured before it is used again"),
)


def _relations(item: Item, machine: Machine, leaf: Leaf) -> Iterator[Relation]:
    for field, label in _RELATIONS:
        guards = field == "of" and isinstance(item, Check)
        yield Relation("Guards" if guards else label, leaf.items(getattr(item, field, ()), machine))
    yield Relation("Renewed every time", leaf.shelf(Kind.PART, getattr(item, "renew", ())))
    hidden = tuple(other.id for other in machine.items.values() if item.id in getattr(other, "behind", ()))
    yield Relation("Hides", leaf.items(hidden, machine))
    yield Relation("Holds", leaf.items(machine.held.get(item.id, ()), machine))


def _held_by(item: Item, machine: Machine, leaf: Leaf) -> Iterator[TorquePlate]:
    for id_ in getattr(item, "held_by", ()):
        fastener = machine.items.get(id_)
        if isinstance(fastener, Fastener):
            yield torque_plate(fastener, leaf)


def _words(item: Item, machine: Machine, leaf: Leaf) -> Iterator[Words]:
    match item:
        case Energy():
            yield Words("How it is made safe", leaf.block(item.isolated_by, machine))
            yield Words("What brings it back", _acts(item.back_by, machine, leaf))
        case MachineCondition():
            yield Words("What it means", leaf.block(item.meaning, machine))
            yield Words("What ends it", _acts(item.lost_by, machine, leaf))
        case Check():
            yield Words("What to do", leaf.block(item.do, machine))
            yield Words("Why it must be done", Markup().join(reasons((item.id,), machine, leaf)))
        case _:
            pass
    yield Words("Note", leaf.block(item.note, machine))


def _acts(acts: tuple[Act, ...], machine: Machine, leaf: Leaf) -> Markup:
    """ "Run engine, turn crankshaft", with links."""
    found = [act_link(act, machine, leaf) for act in acts]
    return Markup(", ").join(Markup('{} <a href="{}">{}</a>').format(*shown) for shown in found)


def act_link(act: Act, machine: Machine, leaf: Leaf) -> tuple[str, str, str]:
    """A verb, and the href and the title of what it is done to."""
    link: Link = leaf.record(machine.items[act.item]) if act.item in machine.items else Link(act.item, "")
    return act.verb.value, link.href, link.title


def _changes(item: Item, machine: Machine, leaf: Leaf) -> Iterator[ChangeView]:
    if not isinstance(item, Component):
        return
    for title, change in (("How it comes off", item.remove), ("How it goes back", item.fit)):
        if change and (change.steps or change.note):
            yield _change(title, change, machine, leaf)


def _change(title: str, change: Change, machine: Machine, leaf: Leaf) -> ChangeView:
    steps = []
    for step in change.steps:
        done = ((action.verb.value, machine.items.get(action.item), action.item) for action in step.actions)
        plain = Markup(", ").join(f"{verb} {record.title if record else id_}" for verb, record, id_ in done)
        steps.append(leaf.block(step.do, machine) or Markup("<p>{}.</p>").format(plain))
    return ChangeView(
        title=title,
        time=duration(change.minutes) if change.minutes else "",
        note=leaf.block(change.note, machine),
        steps=tuple(steps),
    )
