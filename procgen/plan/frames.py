"""Where in a procedure the planner stands: what holds for every step of the list that it is working through."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from procgen.finding import Because
from procgen.library.condition import ALWAYS, NEVER, All, Any, Condition, Is, Not
from procgen.library.origin import ItemId
from procgen.library.procedure import Step
from procgen.library.state import Verb
from procgen.plan.effects import UNDOES
from procgen.plan.steps import Group, Maker
from procgen.plan.structure import Structure


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What the steps of one list have in common."""

    when: Condition = ALWAYS
    """Where any of them is done."""
    chosen: Mapping[str, bool | str] = field(default_factory=dict)
    """Options that are fixed here, because another procedure follows this one."""
    maker: Maker = Maker.AUTHOR
    author: Step | None = None
    """The procedure's own step that brought them; None where they are its own."""
    groups: tuple[Group, ...] = ()
    led_by: tuple[Because, ...] = ()
    branch_of: str | None = None
    depth: int = 0
    prefix: str = ""
    """Printed number of the step that they branch from, with a point; empty outside branches."""
    key: str = ""
    """What their keys begin with."""
    ids: dict[str, str] = field(default_factory=dict)
    """Keys of the steps that have an id of their own, filled in as they are planned."""
    rest: tuple[Step, ...] = ()
    """What comes after the step at hand, in this list and in those around it."""
    following: tuple[str, ...] = ()
    """The procedures that are being followed, the outermost first."""
    changing: tuple[tuple[Verb, ItemId], ...] = ()
    """The components whose own steps these are."""

    def at(self, step: Step, key: str, led_by: Because, rest: tuple[Step, ...]) -> "Frame":
        """The same, at one of its steps. Written out: this is made for every step, and `replace` is slow."""
        return Frame(
            when=self.when,
            chosen=self.chosen,
            maker=self.maker,
            author=self.author or step,
            groups=self.groups,
            led_by=self.led_by or (led_by,),
            branch_of=self.branch_of,
            depth=self.depth,
            prefix=self.prefix,
            key=key,
            ids=self.ids,
            rest=rest,
            following=self.following,
            changing=self.changing,
        )

    def within(self, group: Group, *led_by: Because) -> "Frame":
        """The same, inside one more group."""
        return replace(self, groups=(*self.groups, group), led_by=(*self.led_by, *led_by))


def settled(condition: Condition, chosen: Mapping[str, bool | str]) -> Condition:
    """The condition with fixed choices put in; what that decides is ALWAYS or NEVER."""
    if not chosen:
        return condition
    match condition:
        case Is(name, value):
            return condition if name not in chosen else ALWAYS if chosen[name] == value else NEVER
        case Not(of):
            inner = settled(of, chosen)
            return NEVER if inner == ALWAYS else ALWAYS if inner == NEVER else Not(inner)
        case All(of):
            parts = tuple(part for part in (settled(each, chosen) for each in of) if part != ALWAYS)
            return NEVER if NEVER in parts else parts[0] if len(parts) == 1 else All(parts)
        case Any(of):
            parts = tuple(part for part in (settled(each, chosen) for each in of) if part != NEVER)
            return ALWAYS if ALWAYS in parts else parts[0] if len(parts) == 1 else Any(parts)


def left_to_author(structure: Structure, verb: Verb, item: str, rest: tuple[Step, ...]) -> bool:
    """Whether a later step of the author's own does that, before anything takes the item apart again."""
    for step in rest:
        for action in step.actions:
            if (action.verb, action.item) == (verb, item):
                return True
            if (action.verb, action.item) == (UNDOES.get(verb), item):
                return False
            if action.verb is Verb.REMOVE and action.item in (*structure.holders(item), *structure.owners(item)):
                return False
    return False
