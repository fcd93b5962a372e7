"""Procedures that are read and linked when somebody asks for their steps, and not before."""

from collections.abc import Callable, Mapping
from functools import lru_cache

from procgen.library.library import Head
from procgen.library.link import LinkedProcedure
from procgen.library.machine import Procedure
from procgen.library.unopened import Unopened

_KEPT = 128
"""Procedures that are held; which are asked for again after that many others are linked again."""


class OnDemand(Unopened[Procedure]):
    """Every procedure of a library by its id, in the order of the files."""

    def __init__(self, heads: Mapping[str, Head], link: Callable[[str], LinkedProcedure]) -> None:
        super().__init__(heads)
        self.heads = heads
        self.linked: Callable[[str], LinkedProcedure] = lru_cache(maxsize=_KEPT)(link)
        """A procedure with what came of linking it. Raises KeyError where there is none of that id."""

    def __getitem__(self, name: str) -> Procedure:
        return self.linked(name).procedure


class Noted(Unopened[Procedure]):
    """The same procedures, with a note of which were asked for: what is worked out with them depends on these."""

    def __init__(self, of: OnDemand) -> None:
        super().__init__(of.heads)
        self.heads = of.heads
        self.asked: dict[str, None] = {}
        self._of = of

    def __getitem__(self, name: str) -> Procedure:
        found = self._of[name]
        self.asked[name] = None
        return found
