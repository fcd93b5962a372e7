"""What a plan uses up: parts and consumables, how much of each, for what, and whether for certain.

A part is counted once for each thing that it goes into: twenty pieces where a fastener has twenty, one belt where two
steps name the new belt. A seal, a single-use fastener and a renewed item bring their parts even where no step says so.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from procgen.library.condition import ALWAYS, Any, Condition
from procgen.library.items import Fastener, Fluid, Item
from procgen.library.library import Library
from procgen.library.origin import ItemId, PartId
from procgen.library.procedure import Action
from procgen.library.state import RESTORES, Verb
from procgen.measure.quantity import Quantity, exactly
from procgen.plan.effects import effects
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import Structure, structure_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PartNeed:
    """One part or consumable that a plan needs."""

    part: PartId
    count: int
    """How many pieces for certain; 0 for what is measured out, and for what only may be needed."""
    count_at_most: int
    """How many pieces if every inspection fails."""
    amount: Quantity | None
    """How much for certain, of what is measured out; None where nobody says, or only pieces are counted."""
    amount_at_most: Quantity | None
    """How much if every inspection fails."""
    items: tuple[ItemId, ...]
    """What it goes into, in the order of the work."""
    steps: tuple[str, ...]
    """Keys of the steps that use it."""
    when: Condition
    """In which ways through it is needed at all."""

    @property
    def is_certain(self) -> bool:
        """Whether it is needed however inspections end."""
        return self.when == ALWAYS


def part_needs(plan: Plan, library: Library) -> tuple[PartNeed, ...]:
    """Everything that a plan uses up, in the order of first use."""
    structure = structure_of(plan.machine, library, plan.procedure.implied_items)
    gathered: dict[PartId, _Gathered] = {}
    for planned in plan.steps:
        for use in _uses(planned, structure):
            gathered.setdefault(use.part, _Gathered()).add(use, planned)
    return tuple(found.need(part, plan.machine.items) for part, found in gathered.items())


def renewed(planned: PlannedStep, structure: Structure) -> frozenset[ItemId]:
    """What a step puts a new one of in its place; not what only gets a new seal."""
    return frozenset(
        use.item
        for use in _uses(planned, structure)
        if use.item and not use.measured and getattr(structure.items.get(use.item), "part", None) == use.part
    )


@dataclass(frozen=True, slots=True)
class _Use:
    part: PartId
    item: ItemId | None
    quantity: Quantity | None
    measured: bool


def _uses(planned: PlannedStep, structure: Structure) -> Iterator[_Use]:
    step = planned.step
    for amount in step.uses:
        yield _Use(amount.part, None, amount.quantity, measured=True)
    back = [action.item for action in planned.actions if action.verb in RESTORES or action.verb is Verb.RENEW]
    for part in step.new:
        into = _into(part, structure)
        for item in [item for item in into if item in back] or into or [None]:
            yield _Use(part, item, None, measured=False)
    used = {amount.part for amount in step.uses}
    for action in planned.actions:
        yield from (use for use in _brought(action, structure) if use.part not in used)


def _into(part: PartId, structure: Structure) -> list[ItemId | None]:
    """What gets that part."""
    sealed = structure.renewing(part)
    own = (name for name, item in structure.items.items() if getattr(item, "part", None) == part)
    return list(dict.fromkeys((*sealed, *map(ItemId, own))))


def _brought(action: Action, structure: Structure) -> Iterator[_Use]:
    """What an action needs by itself: seals, single-use fasteners, what is renewed, what is filled in."""
    item = structure.items.get(action.item)
    changed = {fact for fact, value in effects(structure, action.verb, action.item) if value}
    if action.item in changed:
        for seal in structure.renewed_with(action.item):
            yield _Use(seal, action.item, None, measured=False)
    part: PartId | None = getattr(item, "part", None)
    if part is None:
        return
    match item, action.verb:
        case Fastener(reusable=False), Verb.TIGHTEN:
            yield _Use(part, action.item, None, measured=False)
        case Fluid(capacity=capacity), Verb.FILL:
            yield _Use(part, action.item, capacity, measured=True)
        case _, Verb.RENEW:
            yield _Use(part, action.item, None, measured=False)


@dataclass(slots=True)
class _Gathered:
    """All uses of one part."""

    pieces: dict[ItemId | None, list[Condition]] = field(default_factory=dict)
    amounts: list[tuple[Quantity, Condition]] = field(default_factory=list)
    items: dict[ItemId, None] = field(default_factory=dict)
    steps: dict[str, None] = field(default_factory=dict)
    when: dict[Condition, None] = field(default_factory=dict)

    def add(self, use: _Use, planned: PlannedStep) -> None:
        self.steps[planned.key] = None
        self.when[planned.when] = None
        if use.item:
            self.items[use.item] = None
        if use.quantity:
            self.amounts.append((use.quantity, planned.when))
        elif not use.measured:
            self.pieces.setdefault(use.item, []).append(planned.when)

    def need(self, part: PartId, known: Mapping[str, Item]) -> PartNeed:
        # A step that names a part and no item means the item that another step names.
        pieces = {item: when for item, when in self.pieces.items() if item or len(self.pieces) == 1}
        certain = [item for item, when in pieces.items() if ALWAYS in when]
        return PartNeed(
            part=part,
            count=sum(_pieces(known.get(item or "")) for item in certain),
            count_at_most=sum(_pieces(known.get(item or "")) for item in pieces),
            amount=_total(quantity for quantity, when in self.amounts if when == ALWAYS),
            amount_at_most=_total(quantity for quantity, _ in self.amounts),
            items=tuple(self.items),
            steps=tuple(self.steps),
            when=any_of(self.when),
        )


def _pieces(item: Item | None) -> int:
    return item.count if isinstance(item, Fastener) else 1


def any_of(conditions: Iterable[Condition]) -> Condition:
    """Where at least one of the conditions holds; where none is given, always."""
    found = tuple(dict.fromkeys(conditions))
    if ALWAYS in found or not found:
        return ALWAYS
    return found[0] if len(found) == 1 else Any(found)


def _total(quantities: Iterable[Quantity]) -> Quantity | None:
    """The sum, in the unit of the first; what is of another dimension is left out."""
    total: Quantity | None = None
    for quantity in quantities:
        if total is None:
            total = quantity
        elif quantity.dimension is total.dimension:
            other = quantity.to(total.unit)
            total = exactly(total.middle + other.middle, total.unit, min(total.resolution, other.resolution))
    return total
