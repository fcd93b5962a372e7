"""Plans of procedures, each worked out when somebody asks for it."""

from functools import lru_cache

from procgen.library.library import Library
from procgen.library.unopened import Unopened
from procgen.plan.expand import expand
from procgen.plan.steps import Plan

_KEPT = 4
"""Plans that are held."""


class PlansOnDemand(Unopened[Plan]):
    """Every procedure of a library as it will be done, by its id, in the order of the files."""

    def __init__(self, library: Library) -> None:
        super().__init__(library.heads)
        self._expanded = lru_cache(maxsize=_KEPT)(lambda name: expand(library.procedures[name], library)[0])

    def __getitem__(self, name: str) -> Plan:
        return self._expanded(name)
