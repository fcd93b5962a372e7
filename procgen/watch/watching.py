"""The watch: build, serve, wait until something changes, build again, until it is told to stop."""

import gc
import time
from collections.abc import Callable
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Protocol

from procgen.memo import Memo
from procgen.output.cache import Held, remembered
from procgen.output.folder import MANIFEST
from procgen.watch.answer import Served
from procgen.watch.board import Board
from procgen.watch.rebuild import Outcome, StoppedError, Wanted, rebuild
from procgen.watch.server import serving
from procgen.watch.snapshot import Snapshot, changed, snapshot
from procgen.watch.wake import Bell, Watcher

LOOK_S = 1.0
"""So often it looks by itself, for what the system reports no events of."""
_REST = 20
"""Looking may take this part of the time: a large library is looked at less often."""
_RETRY_S = 3.0
"""So long a build that failed is left before it is tried again though the library is the same."""


class Listener(Protocol):
    """Who is told what happens."""

    def serving(self, address: str) -> None:
        """The manual can be opened there. Said once, before the first build."""

    def built(self, changed: tuple[str, ...], outcome: Outcome) -> None:
        """A build ended. changed: the files of library and theme that led to it; empty for the first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """What to watch, and what to do with it."""

    library: Path
    out: Path
    port: int | None
    """None for any that is free."""
    today: Callable[[], date]
    """The day for which the library is judged; asked before each build, since a watch may last past midnight."""
    theme: Path | None = None
    """A folder whose files win over the default theme's, watched like the library."""


@dataclass(frozen=True, slots=True)
class _State:
    """What the next build would be made from."""

    files: Snapshot | None
    theme: Snapshot | None
    day: date


def keep_watch(what: Watch, bell: Bell, listener: Listener) -> None:
    """Build and serve until `bell` is stopped.

    Raises PortError where the port cannot be had. A library that is wrong, vanishes or comes back raises nothing.
    """
    board = Board()
    served = Served(folder=what.out.resolve(), library=what.library.as_posix(), board=board)
    with serving(served, what.port) as address, ExitStack() as ends:
        folders = (what.library, what.theme) if what.theme else (what.library,)
        watchers = tuple(ends.enter_context(closing(Watcher(folder, bell))) for folder in folders)
        memo = ends.enter_context(Held(ends.enter_context(remembered())))
        listener.serving(address)
        _keep_built(what, board, bell, watchers, listener, memo=memo)


def _keep_built(
    what: Watch, board: Board, bell: Bell, watchers: tuple[Watcher, ...], listener: Listener, *, memo: Held
) -> None:
    built: _State | None = None
    outcome, ended, pause = Outcome(), 0.0, LOOK_S
    while not bell.is_stopped:
        for watcher in watchers:
            watcher.keep()
        began = time.monotonic()
        now = _look(what)
        pause = max(LOOK_S, _REST * (time.monotonic() - began))
        failed_before = bool(outcome.problem) and built == now
        if built != now or (failed_before and time.monotonic() - ended > _RETRY_S) or _lost(what.out, outcome):
            try:
                latest = _build(what, now, bell, memo)
            except StoppedError:
                return
            led_by = _led_by(built, now, what.theme) if built else ()
            if not (failed_before and latest == outcome):
                board.post(latest)
                listener.built(led_by, latest)
            built, outcome, ended = now, latest, time.monotonic()
            _tidy_up(memo)
        bell.wait(pause)


def _tidy_up(memo: Held) -> None:
    """While nobody waits: what the next build will recall is not searched for rings in the midst of it."""
    memo.let_go()
    gc.collect()
    gc.freeze()


def _look(what: Watch) -> _State:
    theme = snapshot(what.theme, what.out) if what.theme else None
    return _State(snapshot(what.library, what.out), theme, what.today())


def _led_by(built: _State, now: _State, theme: Path | None) -> tuple[str, ...]:
    """The library's files by their paths in it, then those of the theme by its name and theirs."""
    of_theme = changed(built.theme, now.theme) if theme else ()
    return (*changed(built.files, now.files), *(f"{theme.name}/{path}" for path in of_theme if theme))


def _lost(out: Path, outcome: Outcome) -> bool:
    """Whether somebody took away the manual that the last build wrote."""
    return not outcome.problem and not (out / MANIFEST).exists()


def _build(what: Watch, now: _State, bell: Bell, memo: Memo) -> Outcome:
    if now.files is None:
        return Outcome(problem=f"The library {what.library} is not there. The manual stays as it was until it is back.")

    def heed_stop(_: str) -> None:
        if bell.is_stopped:
            raise StoppedError

    wanted = Wanted(library=what.library, out=what.out, on=now.day, theme=what.theme)
    return rebuild(wanted, heed_stop, memo)
