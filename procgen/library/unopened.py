"""Values by name that are only made when somebody asks for them."""

from collections.abc import Iterator, Mapping
from typing import TypeVar

T = TypeVar("T")


class Unopened(Mapping[str, T]):
    """To ask which values there are makes none of them: that is known from other values by the same names.

    Whoever derives from this says in `__getitem__` how one is made.
    """

    def __init__(self, names: Mapping[str, object]) -> None:
        self._names = names

    def __contains__(self, name: object) -> bool:
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)
