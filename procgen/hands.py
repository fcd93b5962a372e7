"""Work shared out among the processors, where there is enough of it; and a processor that does nothing else."""

import gc
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

_T = TypeVar("_T")
_R = TypeVar("_R")

_LEAST = 48
"""From so many pieces on, it pays to call for help: another pair of hands takes some hundredths of a second to come."""
_SHARE = 12
"""So many pieces are handed out at once: neighbours have much in common."""

_task: tuple[Callable[[Any], Any], Sequence[Any]] | None = None


def shared_out(work: Callable[[_T], _R], pieces: Sequence[_T]) -> Iterator[_R]:
    """The result of `work` on each piece, in their order; what it raises is raised here.

    `work` may be done in other processes, which have all that this one has at the time of the call: only the results
    travel, and have to be picklable. It must not count on what it did with another piece, nor change anything.
    """
    hands = _hands() if len(pieces) >= _LEAST else 1
    if hands == 1:
        yield from map(work, pieces)
        return
    import multiprocessing  # noqa: PLC0415 - it takes as long to load as a small library to check

    global _task  # noqa: PLW0603 - what a forked process inherits is found by name
    _task = work, pieces
    try:
        with multiprocessing.get_context("fork").Pool(hands, initializer=_begin) as pool:
            yield from pool.imap(_do, range(len(pieces)), chunksize=_SHARE)
    finally:
        _task = None


def _begin() -> None:
    """A process that helps ends when it is told to, whatever its parent does with signals; Ctrl-C is the parent's."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _do(place: int) -> Any:
    assert _task is not None  # noqa: S101 - set before the processes were forked
    work, pieces = _task
    return work(pieces[place])


def _hands() -> int:
    """How many processes may work: one where they cannot be forked, or where other threads would be cut off by it."""
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


def look_for_rings_seldom() -> None:
    """A build makes a million values and hardly a ring of them: to look for rings takes a fifth of its time."""
    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
