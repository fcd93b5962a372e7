"""Work shared out among the processors, where there is enough of it; and a processor that does nothing else."""

import gc
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.pool import IMapIterator

_T = TypeVar("_T")
_R = TypeVar("_R")

_LEAST = 48
"""From so many pieces on, it pays to call for help: another pair of hands takes some hundredths of a second to come."""
_SHARE = 12
"""So many pieces are handed out at once: neighbours have much in common."""

_GLANCE_S = 0.5
"""So often one looks whether those that help are still there, while nothing comes."""

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
            helpers = _alive()
            shares = range(0, len(pieces), _SHARE)
            results = pool.imap(_do, shares)
            for start in shares:
                try:
                    yield from _next(results, helpers)
                except _LostError:
                    yield from map(work, pieces[start:])
                    return
    finally:
        _task = None


class _LostError(Exception):
    """A process that helped was killed, for want of memory perhaps, and what it had in hand will never come."""


def _next(results: "IMapIterator[list[_R]]", helpers: frozenset[int | None]) -> list[_R]:
    """The next results; a pool waits for ever for what a dead process had in hand. Raises _LostError."""
    import multiprocessing  # noqa: PLC0415

    while True:
        try:
            return results.next(_GLANCE_S)
        except multiprocessing.TimeoutError:
            if _alive() != helpers:
                raise _LostError from None


def _alive() -> frozenset[int | None]:
    import multiprocessing  # noqa: PLC0415

    return frozenset(child.pid for child in multiprocessing.active_children())


def _begin() -> None:
    """A process that helps ends when it is told to, whatever its parent does with signals; Ctrl-C is the parent's."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _do(start: int) -> list[Any]:
    """One share of the work."""
    assert _task is not None  # noqa: S101 - set before the processes were forked
    work, pieces = _task
    try:
        return [work(piece) for piece in pieces[start : start + _SHARE]]
    except Exception as error:
        if _travels(error):
            raise
        raise RuntimeError(f"{type(error).__name__}: {error}") from None


def _travels(error: Exception) -> bool:
    """Whether it can be made again elsewhere; the pool waits for ever for one that cannot."""
    try:
        return type(pickle.loads(pickle.dumps(error))) is type(error)  # noqa: S301 - made in the line itself
    except Exception:
        return False


def _hands() -> int:
    """How many processes may work: one where they cannot be forked, or where other threads would be cut off by it."""
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


def look_for_rings_seldom() -> None:
    """A build makes a million values and hardly a ring of them: to look for rings takes a fifth of its time."""
    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
