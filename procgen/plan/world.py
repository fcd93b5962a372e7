"""The state of everything, in every way through at once: which facts hold where."""

from collections.abc import Iterable

from procgen.library.procedure import Action
from procgen.library.state import DISTURBS, RESTORES
from procgen.plan.cases import NONE, Cases
from procgen.plan.effects import Effect, effects
from procgen.plan.guards import Want
from procgen.plan.structure import Structure


class World:
    """Facts and where they hold. See effects.py for the words."""

    def __init__(self, structure: Structure) -> None:
        self.structure = structure
        self.facts: dict[str, Cases] = {}
        self.changes = 0
        """How often a fact was put: who has seen the state since the last time has seen it as it is."""

    def own(self, fact: str) -> Cases:
        """Where a fact holds; of a component, where it has come off by itself."""
        return self.facts.get(fact, NONE)

    def disturbed(self, fact: str) -> Cases:
        """Where a fact holds; of a component, where it is off, by itself or with what carries it."""
        table = self.facts.get(fact, NONE)
        for carrier in self.structure.all_carriers(fact):
            table = table | self.own(carrier)
        return table

    def touched(self) -> Iterable[str]:
        """The items that may be disturbed: every other is in service, wherever one looks."""
        found = dict.fromkeys(fact for fact in self.facts if fact in self.structure.items)
        for fact in tuple(found):
            found.update(dict.fromkeys(self.structure.riders(fact)))
        return found

    def lacking(self, wants: Iterable[Want], where: Cases) -> Cases:
        """In which of the cases `where` none of the wanted states is so."""
        fails = where
        for want in wants:
            so = self.own(want.fact) if want.own else self.disturbed(want.fact)
            fails = fails - so if want.value else fails & so
            if fails is NONE:
                break
        return fails

    def put(self, fact: str, value: bool, where: Cases) -> None:
        """Make a fact true or false where `where` holds."""
        before = self.facts.get(fact, NONE)
        self.changes += 1
        self.facts[fact] = before | where if value else before - where

    def already(self, action: Action) -> Cases:
        """Where an action finds its item in the state that it leads to."""
        if action.verb in DISTURBS:
            return self.own(action.item)
        if action.verb in RESTORES:
            return ~self.own(action.item)
        return NONE

    def effects(self, action: Action) -> Iterable[Effect]:
        """What an action makes true and false, in order."""
        key = "effects", action.verb, action.item
        known = self.structure.worked_out.get(key)
        if known is None:
            known = self.structure.worked_out[key] = tuple(effects(self.structure, action.verb, action.item))
        return known
