"""Results that need not be worked out again: who works them out names what they depend on, and somebody keeps them.

A name is made from everything on which a result depends, by content, so that what is remembered under it is never out
of date: where anything changes, the name is another. Who keeps results, and for how long, is not known here; the one
that keeps them on the disk is `procgen/output/cache.py`.
"""

import hashlib
from collections.abc import Callable
from typing import Any, Protocol, TypeVar

T = TypeVar("T")


class Memo(Protocol):
    """Who remembers."""

    def recall(self, name: str, /) -> Any | None:
        """What was kept under a name; None where nothing is, or is any more."""

    def keep(self, name: str, value: object, /) -> bool:
        """Remember a value, which nobody changes afterwards. False where it was not taken."""

    def again(self, what: str, made_from: object, make: Callable[[], T], /) -> T:
        """What was made the last time, if it was made from the same, in this process; else made now.

        made_from: all that `make` looks at. Comparing it must take less time than making: it is quick where most of it
        is not only equal, but was recalled and is the same.
        """


class _NothingKnown:
    """Remembers nothing."""

    def recall(self, _name: str) -> Any | None:
        return None

    def keep(self, _name: str, _value: object) -> bool:
        return False

    def again(self, _what: str, _made_from: object, make: Callable[[], T]) -> T:
        return make()


NOTHING_KNOWN: Memo = _NothingKnown()


def name_of(*parts: str | bytes) -> str:
    """A short name for all parts together: other parts, or the same cut elsewhere, have another name."""
    # Each is led by its kind and its length, as in a netstring, so that no two sequences read the same.
    texts = (f"b40:{_digest(part)}" if isinstance(part, bytes) else f"{len(part)}:{part}" for part in parts)
    return _digest("".join(texts).encode("utf-8", "surrogatepass"))


def _digest(data: bytes) -> str:
    return hashlib.blake2b(data, digest_size=20).hexdigest()
