"""Builds a procedure: its options, its steps, and whether anything may be concluded from its order."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from pathlib import Path

from procgen.library.build_items import build_items, implied_item, record
from procgen.library.build_machine import figures
from procgen.library.build_steps import Shelf, build_steps
from procgen.library.fields import Fields
from procgen.library.items import Item
from procgen.library.machine import Machine, Option, Procedure
from procgen.library.origin import Address, Kind, NoticeId
from procgen.library.outline import Choices, option_choices
from procgen.library.procedure import Step, walk
from procgen.library.state import Verb
from procgen.library.states_and_acts import states
from procgen.library.yaml_tree import Map, Seq

_STATE_KEYS = frozenset({*Verb, "when", "needs", "sets", "reject", "out-of-limits", "go-back-to", "options"})
"""Keys of a step on which the order of the work depends."""


def variant_choices(data: Map) -> Choices:
    """The variants that a machine's file declares, with their values."""
    variants = data.get("variants")
    pairs = variants.items() if isinstance(variants, Map) else ()
    return {name: tuple(str(each) for each in values) for name, values in pairs if isinstance(values, Seq)}


def build_procedure(
    fields: Fields, address: Address, machine: Machine, shelf: Shelf, root: Path, *, damaged: bool
) -> Procedure:
    """The procedure; `machine` is its machine without the procedure's own items."""
    local = tuple(build_items(fields, shelf, address.id))
    steps = build_steps(fields, "steps", shelf)
    _jumps(fields, steps)
    implied = _implied(fields, address)
    items: dict[str, Item] = {**machine.items, **{item.id: item for item in (*local, *implied)}}
    values = record(fields, address)
    return Procedure(
        machine=replace(machine, items=items) if local or implied else machine,
        revision=fields.text("revision"),
        date=fields.text("date"),
        summary=fields.prose("summary"),
        only_for=fields.condition("only-for", shelf.choices),
        once_per_job=fields.flag("once-per-job"),
        options=_options(fields),
        notices=tuple(NoticeId(notice) for notice in fields.shop("notices", Kind.NOTICE)),
        starts_with=states(fields, "starts-with"),
        leaves=states(fields, "leaves"),
        figures=figures(fields, root),
        steps=steps,
        local_items=tuple(item.id for item in local),
        implied_items=frozenset(item.id for item in implied),
        damaged=damaged or _is_damaged(steps, items.values()),
        **values,
    )


def _options(fields: Fields) -> Mapping[str, Option]:
    found: dict[str, Option] = {}
    for name, entry in fields.named("options"):
        choices = option_choices(fields.data)[name]
        default = entry.data.get("default")
        chosen: bool | str = default if isinstance(default, bool) else str(default)
        if default is not None and chosen not in choices:
            listed = " or ".join("true" if c is True else "false" if c is False else str(c) for c in choices)
            entry.fail("bad-condition", "default", entry.at("default"), f'"{default}" is no choice.', f"write {listed}")
            default = None
        found[name] = Option(
            id=name,
            ask=entry.text("ask") or name.replace("-", " ").capitalize() + "?",
            default=_unless_told(choices) if default is None else chosen,
            choices=() if True in choices else tuple(str(choice) for choice in choices),
            note=entry.prose("note"),
            origin=entry.origin,
        )
    return found


def _unless_told(choices: tuple[bool | str, ...]) -> bool | str:
    """What stands where the author gives no default: no, or the first of the choices."""
    return False if False in choices else choices[0]


def _implied(fields: Fields, address: Address) -> tuple[Item, ...]:
    implied = fields.reader.scope.implied
    return tuple(implied_item(kind, Address(kind, name, address.id), fields) for name, kind in implied.items())


def _jumps(fields: Fields, steps: Collection[Step]) -> None:
    """Every `go-back-to` leads to a step that has that id."""
    every = walk(tuple(steps))
    known = {step.id for step in every if step.id}
    for step in every:
        if step.go_back_to and step.go_back_to not in known:
            place = step.origin.of("go-back-to")
            fields.reader.resolver.unknown(
                step.go_back_to, "step", place, known, "give the step to go back to an `id:` of that name"
            )


def _is_damaged(steps: tuple[Step, ...], items: Collection[Item]) -> bool:
    return any(step.faulty & _STATE_KEYS for step in walk(steps)) or any(
        item.faulty & {"remove", "fit"} for item in items if item.address.kind is Kind.COMPONENT
    )
