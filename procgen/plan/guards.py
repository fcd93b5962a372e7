"""What must hold when an act touches an item: planning.md's guards as data. Nothing is judged here; proof.py does that.

Every guard is a list of states of which one at least must be so. Decisions, where the trade leaves room:

- What is off lies on the bench: it can be looked at, cleaned and measured whatever is in front of its place, and
  whatever energy reaches that. Fitting it needs both.
- To run something nobody's hands go near it: `run` needs no access, and no energy made safe.
- What a removal or a parting loosens by itself counts for access and for the rules like a loosening of its own.
- A heavy component is carried from the moment its last fastener is loosened until it is off, and from the moment that
  it is put up until one is tight.
- A fluid is not filled in before all that keeps it in is back: `restored-early`, like energy.
- A fastener is not tightened while all that it holds is off, nor a line joined to a component that is off.
- What is handed on disturbed (`leaves`) may be covered, and a fastener or line of something that is off may too.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from procgen.library.items import Aid, Check, Component, Energy, Fastener, Fluid, Line
from procgen.library.machine import After, Before, Never, Rule
from procgen.library.state import DISTURBS, RESTORES, State, Verb
from procgen.plan.effects import owed, seal, unchecked, warned
from procgen.plan.structure import Structure


class Fault(StrEnum):
    """What is wrong where a guard fails; the values are the slugs of the checks."""

    BLOCKED = "blocked"
    ENERGY_LIVE = "energy-live"
    LINE_ATTACHED = "line-attached"
    FLUID_IN = "fluid-in"
    UNSUPPORTED = "unsupported"
    NEEDS_UNMET = "needs-unmet"
    RULE_BROKEN = "rule-broken"
    COVERED_EARLY = "covered-early"
    RESTORED_EARLY = "restored-early"
    ALREADY_SO = "already-so"
    LEFT_UNDONE = "left-undone"
    LOOP_CHANGES_STATE = "loop-changes-state"
    VITAL_UNCHECKED = "vital-unchecked"
    SEAL_REUSED = "seal-reused"
    HAZARD_UNANNOUNCED = "hazard-unannounced"
    NOTICE_LATE = "notice-late"


@dataclass(frozen=True, slots=True)
class Want:
    """A state of a fact that would do."""

    fact: str
    value: bool
    """True: disturbed, in, true, done."""
    own: bool = False
    """Of a component: off by itself, and not with what carries it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """Something that must hold before an act."""

    fault: Fault
    wants: tuple[Want, ...]
    """One of these must be so; the first is what the finding is about. Empty: nothing can make it hold."""
    item: str
    """What is touched, covered, supported or restored."""
    of: str
    """The other side: what is in the way, live, attached, missing, owed."""
    rule: Rule | None = None
    state: State | None = None
    """What an author asked for, with its place."""

    @property
    def about(self) -> str:
        """The fact whose change makes the same fault a new one."""
        return self.wants[0].fact if self.wants and self.fault is not Fault.UNSUPPORTED else self.of


_NO_HANDS = frozenset({Verb.RUN, Verb.WAIT})


def guards(structure: Structure, verb: Verb, item: str) -> tuple[Guard, ...]:
    """Everything that must hold before `verb` is done to `item`; the sense of a change is not among it."""
    known = structure.worked_out.get(("guards", verb, item))
    if known is None:
        known = structure.worked_out["guards", verb, item] = tuple(_worked_out(structure, verb, item))
    return known


def _worked_out(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    yield from _access(structure, verb, item)
    yield from _needs(structure, verb, item)
    yield from _rules(structure, verb, item)
    yield from _coming_off(structure, verb, item)
    yield from _weight(structure, verb, item)
    yield from _closing_over(structure, verb, item)
    yield from _coming_back(structure, verb, item)


def sense(verb: Verb, item: str) -> Iterator[Guard]:
    """No restoring of what is in service, no disturbing of what is disturbed, no tightening of what holds nothing."""
    if verb in DISTURBS or verb in RESTORES:
        wanted = Want(item, verb in RESTORES, own=True)
        yield Guard(fault=Fault.ALREADY_SO, wants=(wanted,), item=item, of=item)


def on_bench(structure: Structure, verb: Verb, item: str, there: str) -> tuple[Want, ...]:
    """The state in which what is at `there` lies on the bench, where it can be touched freely."""
    fitting = verb in (Verb.FIT, Verb.CONNECT) and there == item
    return (Want(there, True),) if isinstance(structure.items.get(there), Component) and not fitting else ()


def _access(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    if verb in _NO_HANDS:
        return
    for there, fronts in structure.places(item):
        away = on_bench(structure, verb, item, there)
        for front in fronts:
            clear = Want(front, not isinstance(structure.items.get(front), Aid))
            yield Guard(fault=Fault.BLOCKED, wants=(clear, *away), item=item, of=front)
        for energy in structure.exposed_to(there):
            yield Guard(fault=Fault.ENERGY_LIVE, wants=(Want(energy, True), *away), item=item, of=energy)
            kind = structure.energy_kind(energy)
            if kind:
                announced = Want(warned(kind), True)
                yield Guard(fault=Fault.HAZARD_UNANNOUNCED, wants=(announced, *away), item=item, of=energy)
    if verb in (Verb.ISOLATE, Verb.RELEASE) and structure.energy_kind(item):
        announced = Want(warned(structure.energy_kind(item)), True)
        yield Guard(fault=Fault.NOTICE_LATE, wants=(announced,), item=item, of=item)
    if verb in (Verb.REMOVE, Verb.DISCONNECT):
        for fastener in structure.held_by(item):
            own_front = getattr(structure.items.get(fastener), "behind", ())
            for front in own_front:
                wants = (Want(front, True), Want(fastener, True))
                yield Guard(fault=Fault.BLOCKED, wants=wants, item=fastener, of=front)


def _needs(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    match structure.items.get(item), verb:
        case Component(remove=change), Verb.REMOVE if change:
            states = change.needs
        case Component(fit=change), Verb.FIT if change:
            states = change.needs
        case Aid(needs=needs), Verb.PLACE:
            states = needs
        case Check(needs=needs), Verb.CHECK:
            states = needs
        case _:
            states = ()
    yield from (need(state, item) for state in states)


def need(state: State, item: str = "") -> Guard:
    """That a state holds which an author asked for."""
    return Guard(
        fault=Fault.NEEDS_UNMET,
        wants=(Want(state.item, state.disturbed),),
        item=item or state.item,
        of=state.item,
        state=state,
    )


def _rules(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    yield from _rules_for(structure, verb, item)
    if verb in (Verb.REMOVE, Verb.DISCONNECT):
        for fastener in structure.held_by(item):
            for guard in _rules_for(structure, Verb.LOOSEN, fastener):
                yield replace(guard, wants=(*guard.wants, Want(fastener, True)))


def _rules_for(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    for number, rule in enumerate(structure.rules):
        match rule:
            case Never(act=act) if (act.verb, act.item) == (verb, item):
                gone = tuple(Want(state.item, not state.disturbed) for state in rule.while_)
                lifted = tuple(Want(state.item, state.disturbed) for state in rule.unless)
                of = rule.while_[0].item if rule.while_ else item
                yield Guard(fault=Fault.RULE_BROKEN, wants=(*gone, *lifted), item=item, of=of, rule=rule)
            case Before(act=act) if (act.verb, act.item) == (verb, item):
                for state in rule.need:
                    wanted = Want(state.item, state.disturbed)
                    of, fault = state.item, Fault.RULE_BROKEN
                    yield Guard(fault=fault, wants=(wanted,), item=item, of=of, rule=rule, state=state)
            case After(before=before) if before and (before.verb, before.item) == (verb, item):
                yield still_owed(number, rule)
            case _:
                continue


def still_owed(number: int, rule: After) -> Guard:
    """That what an `after` rule demands has been done."""
    return Guard(
        fault=Fault.RULE_BROKEN,
        wants=(Want(owed(number), False),),
        item=rule.act.item,
        of=rule.must.item,
        rule=rule,
    )


def _coming_off(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    if verb is Verb.REMOVE:
        for line in structure.lines_of(item):
            yield Guard(fault=Fault.LINE_ATTACHED, wants=(Want(line, True),), item=item, of=line)
    if verb in (Verb.REMOVE, Verb.DISCONNECT):
        for fluid in structure.fluids_in(item):
            yield Guard(fault=Fault.FLUID_IN, wants=(Want(fluid, True),), item=item, of=fluid)


def _weight(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    """A heavy component never hangs without an aid."""
    if verb is Verb.LOOSEN:
        for held in structure.holders(item):
            if structure.is_heavy(held):
                yield _carried(structure, held, Want(held, True), *_tight(structure, held, but=item))
    elif verb is Verb.WITHDRAW:
        for held in structure.supported_by(item):
            if structure.is_heavy(held) and structure.held_by(held):
                yield _carried(structure, held, Want(held, True), *_tight(structure, held), but=item)
    elif verb is Verb.REMOVE and structure.is_heavy(item):
        fasteners = structure.held_by(item)
        if not fasteners:
            yield _carried(structure, item)
        for fastener in fasteners:
            yield _carried(structure, item, Want(fastener, True))
    elif verb is Verb.FIT and structure.is_heavy(item):
        yield _carried(structure, item)


def _tight(structure: Structure, held: str, but: str = "") -> tuple[Want, ...]:
    return tuple(Want(fastener, False) for fastener in structure.held_by(held) if fastener != but)


def _carried(structure: Structure, held: str, *otherwise: Want, but: str = "") -> Guard:
    aids = tuple(Want(aid, True) for aid in structure.supports(held) if aid != but)
    return Guard(fault=Fault.UNSUPPORTED, wants=(*aids, *otherwise), item=held, of=held)


def _closing_over(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    """Nothing is covered that is not in service and, where it is vital, checked."""
    if verb not in RESTORES:
        return
    for cover in (item, *structure.riders(item)) if verb is Verb.FIT else (item,):
        aside = (Want(cover, True, own=True),) if cover != item else ()
        for hidden in structure.hidden_by(cover):
            if hidden == item:
                continue
            for wants in in_service(structure, hidden):
                yield Guard(fault=Fault.COVERED_EARLY, wants=(*wants, *aside), item=item, of=hidden)
            component = structure.items.get(hidden)
            if isinstance(component, Component) and component.vital:
                guard = vital_checked(hidden)
                yield replace(guard, wants=(*guard.wants, *aside), item=item)


def vital_checked(item: str) -> Guard:
    """That a vital item has had its check since it was last changed; one that is off is another matter."""
    wants = (Want(unchecked(item), False), Want(item, True, own=True))
    return Guard(fault=Fault.VITAL_UNCHECKED, wants=wants, item=item, of=item)


def in_service(structure: Structure, item: str) -> Iterator[tuple[Want, ...]]:
    """What must hold for an item to be in service, as far as it can be: loose bolts of what is off are no fault of
    their own."""
    back = Want(item, False, own=True)
    match structure.items.get(item):
        case Fastener():
            holders = structure.holders(item)
            yield from ((back, Want(holder, True)) for holder in holders)
            if not holders:
                yield (back,)
        case Line():
            yield (back, *(Want(owner, True) for owner in structure.owners(item)))
        case Component() | Fluid() | Aid():
            yield (back,)
        case Energy() as energy if energy.is_supplied:
            yield (back,)
        case _:
            return


def _coming_back(structure: Structure, verb: Verb, item: str) -> Iterator[Guard]:
    if verb is Verb.RESTORE:
        yield from (_back_first(exposed, item) for exposed in structure.exposed(item))
    if verb is Verb.FILL:
        yield from (_back_first(keeper, item) for keeper in structure.holds_fluid(item))
    for energy in structure.back_by((verb, item)):
        stays_away = Want(energy, False)
        yield from (_back_first(exposed, energy, stays_away) for exposed in structure.exposed(energy))
    if verb is Verb.TIGHTEN and structure.holders(item):
        held = structure.holders(item)
        there = tuple(Want(holder, False) for holder in held)
        yield Guard(fault=Fault.ALREADY_SO, wants=there, item=item, of=held[0])
    if verb is Verb.CONNECT:
        for owner in structure.owners(item):
            yield Guard(fault=Fault.ALREADY_SO, wants=(Want(owner, False),), item=item, of=owner)
    if verb in (Verb.REMOVE, Verb.DISCONNECT):
        yield from sealed(structure, item)


def sealed(structure: Structure, item: str) -> Iterator[Guard]:
    """That the single-use parts of an item have been renewed since it was last disturbed.

    A part may go in after the item is fitted, like a split pin, so that this is asked when the item is disturbed again,
    or at the end.
    """
    for part in structure.renewed_with(item):
        wants = (Want(seal(item, part), False), Want(item, True, own=True))
        yield Guard(fault=Fault.SEAL_REUSED, wants=wants, item=item, of=part)


def at_the_end(structure: Structure, facts: Iterable[str], leaves: frozenset[str] = frozenset()) -> Iterator[Guard]:
    """What must hold when all is done: everything in service, every vital item checked, no rule's demand open.

    facts: all that was ever changed. leaves: what is handed on disturbed.
    """
    for fact in facts:
        if fact not in structure.items or fact in leaves:
            continue
        for wants in in_service(structure, fact):
            yield Guard(fault=Fault.LEFT_UNDONE, wants=wants, item=fact, of=fact)
        yield from sealed(structure, fact)
    for component in structure.every(Component):
        if component.vital and component.id not in leaves:
            yield vital_checked(component.id)
    for number, rule in enumerate(structure.rules):
        if isinstance(rule, After) and rule.before is None:
            yield still_owed(number, rule)


def _back_first(first: str, item: str, *otherwise: Want) -> Guard:
    """That something is in service before what it keeps in, or is exposed to, comes back."""
    wants = (Want(first, False, own=True), *otherwise)
    return Guard(fault=Fault.RESTORED_EARLY, wants=wants, item=item, of=first)
