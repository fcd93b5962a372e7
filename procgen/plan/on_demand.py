"""Plans of procedures, each worked out when somebody asks for it."""

from collections import OrderedDict
from collections.abc import Iterator, Mapping

from procgen.library.library import Library
from procgen.plan.expand import expand
from procgen.plan.steps import Plan

_KEPT = 4
"""Plans that are held."""


class PlansOnDemand(Mapping[str, Plan]):
    """Every procedure of a library as it will be done, by its id, in the order of the files."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._held: OrderedDict[str, Plan] = OrderedDict()

    def __getitem__(self, name: str) -> Plan:
        plan = self._held.get(name) or expand(self._library.procedures[name], self._library)[0]
        self._held[name] = plan
        if len(self._held) > _KEPT:
            self._held.popitem(last=False)
        return plan

    def __contains__(self, name: object) -> bool:
        return name in self._library.heads

    def __iter__(self) -> Iterator[str]:
        return iter(self._library.heads)

    def __len__(self) -> int:
        return len(self._library.heads)
