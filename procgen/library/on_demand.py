"""Procedures that are read and linked when somebody asks for their steps, and not before."""

from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping

from procgen.library.library import Head
from procgen.library.link import LinkedProcedure
from procgen.library.machine import Procedure

_KEPT = 128
"""Procedures that are held; which are asked for again after that many others are linked again."""


class OnDemand(Mapping[str, Procedure]):
    """Every procedure of a library by its id, in the order of the files. To ask which there are opens none of them."""

    def __init__(self, heads: Mapping[str, Head], link: Callable[[str], LinkedProcedure]) -> None:
        self.heads = heads
        self._link = link
        self._held: OrderedDict[str, LinkedProcedure] = OrderedDict()

    def linked(self, name: str) -> LinkedProcedure:
        """A procedure with what came of linking it. Raises KeyError where there is none of that id."""
        held = self._held.pop(name, None) or self._link(name)
        self._held[name] = held
        if len(self._held) > _KEPT:
            self._held.popitem(last=False)
        return held

    def __getitem__(self, name: str) -> Procedure:
        return self.linked(name).procedure

    def __contains__(self, name: object) -> bool:
        return name in self.heads

    def __iter__(self) -> Iterator[str]:
        return iter(self.heads)

    def __len__(self) -> int:
        return len(self.heads)


class Noted(Mapping[str, Procedure]):
    """The same procedures, with a note of which were asked for: what is worked out with them depends on these."""

    def __init__(self, of: OnDemand) -> None:
        self.heads = of.heads
        self.asked: dict[str, None] = {}
        self._of = of

    def __getitem__(self, name: str) -> Procedure:
        found = self._of[name]
        self.asked[name] = None
        return found

    def __contains__(self, name: object) -> bool:
        return name in self._of

    def __iter__(self) -> Iterator[str]:
        return iter(self._of)

    def __len__(self) -> int:
        return len(self._of)
