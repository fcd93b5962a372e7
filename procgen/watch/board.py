"""The board on which builds are announced to the pages that are open."""

import threading
from collections import deque
from dataclasses import dataclass
from time import time_ns

from procgen.watch.rebuild import Outcome

_REMEMBERED = 500
"""Builds of which it is known what they changed; a page that is older is simply loaded again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """The state of the manual after a build."""

    build: int
    outcome: Outcome
    changed: tuple[str, ...] | None
    """Files that changed since the build that the reader knows; None where that is too long ago to tell."""


class Board:
    """Holds the latest outcome; many threads may wait for the next."""

    def __init__(self) -> None:
        # Counted on from the time, so that a page of an earlier watch is never taken for one of this.
        self._first = self._latest = time_ns() // 1_000_000
        self._outcome: Outcome | None = None
        self._log: deque[tuple[int, tuple[str, ...]]] = deque(maxlen=_REMEMBERED)
        self._condition = threading.Condition()
        self._is_closed = False

    @property
    def latest(self) -> int:
        """The number of the latest build."""
        return self._latest

    def post(self, outcome: Outcome) -> None:
        """Announce a build."""
        with self._condition:
            self._latest += 1
            self._outcome = outcome
            self._log.append((self._latest, outcome.changed))
            self._condition.notify_all()

    def close(self) -> None:
        """Send everybody home who waits."""
        with self._condition:
            self._is_closed = True
            self._condition.notify_all()

    @property
    def is_closed(self) -> bool:
        """Whether there will be no more news."""
        return self._is_closed

    def news(self, shown: int, known: int, longest_s: float) -> News | None:
        """Wait for a build after the number `shown`; None where there is none in time, or never will be.

        known: the build of which the reader has the files, for `News.changed`.
        """
        with self._condition:
            self._condition.wait_for(lambda: self._is_closed or self._is_newer(shown), longest_s)
            if self._is_closed or not self._is_newer(shown) or self._outcome is None:
                return None
            return News(build=self._latest, outcome=self._outcome, changed=self._changed_since(known))

    def _is_newer(self, shown: int) -> bool:
        return self._outcome is not None and self._latest != shown

    def _changed_since(self, known: int) -> tuple[str, ...] | None:
        oldest = self._log[0][0] - 1 if self._log else self._latest
        if not oldest <= known <= self._latest:
            return None
        return tuple(sorted({path for build, paths in self._log if build > known for path in paths}))
