"""When to look again: the system's events about a folder, gathered until it is quiet."""

import logging
import time
import warnings
from contextlib import suppress
from pathlib import Path
from queue import Empty, SimpleQueue

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver

QUIET_S = 0.08
"""Without an event for so long, whoever was writing is done: editors write a file in several acts."""
UNREST_S = 1.0
"""After so long it is built whether or not the events go on."""
# A folder that is removed while it is watched is nothing to tell a person about, and watchdog would.
logging.getLogger("watchdog").addHandler(logging.NullHandler())
# Nor is a folder that it takes up twice while it is being made: the watch stands all the same.
warnings.filterwarnings("ignore", message="Callback with id", category=RuntimeWarning)

_MERE_READING = frozenset({"opened", "closed_no_write"})
"""Building reads every file; heeding these would be building for ever."""


class Bell:
    """Rung by whoever sees a change, from any thread; rung once or a thousand times, it wakes the waiting one once.

    `stop` may be called from a signal handler: SimpleQueue is made for that, where an Event or a Condition could lock
    against itself.
    """

    def __init__(self) -> None:
        self._queue: SimpleQueue[None] = SimpleQueue()
        self.is_stopped = False

    def ring(self) -> None:
        """Something changed."""
        if self._queue.empty():
            self._queue.put(None)

    def stop(self) -> None:
        """Nothing is to be waited for any more."""
        self.is_stopped = True
        self._queue.put(None)

    def wait(self, longest_s: float) -> bool:
        """Wait until it rings, and on until it has been quiet for a moment; False once it is stopped."""
        with suppress(Empty):
            if not self.is_stopped:
                self._queue.get(timeout=longest_s)
            last = time.monotonic() + UNREST_S
            while not self.is_stopped and time.monotonic() < last:
                self._queue.get(timeout=QUIET_S)
        return not self.is_stopped


class Watcher(FileSystemEventHandler):
    """Rings the bell for what happens below a folder, also after the folder was removed and made anew."""

    def __init__(self, folder: Path, bell: Bell) -> None:
        self._folder = folder
        self._bell = bell
        self._observer: BaseObserver | None = None
        self._watched: tuple[int, int] | None = None

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Called by watchdog, in its own thread."""
        if event.event_type not in _MERE_READING:
            self._bell.ring()

    def keep(self) -> None:
        """See to it that the folder that has the name now is the one that is watched.

        Where the system watches nothing for us (too many watches, a file system without events) there are no events,
        and the bell is rung by nobody: whoever waits must look now and then.
        """
        identity = _identity(self._folder)
        if identity == self._watched and self._is_alive():
            return
        self.close()
        if identity is None:
            return
        self._observer, self._watched = self._start(), identity
        # What happened between the last look and now is not known.
        self._bell.ring()

    def _start(self) -> BaseObserver | None:
        observer = Observer()
        try:
            observer.schedule(self, str(self._folder), recursive=True)
            observer.start()
        except OSError:
            return None
        return observer

    def close(self) -> None:
        """End the threads."""
        if self._observer:
            self._observer.stop()
            self._observer.join()
        self._observer = self._watched = None

    def _is_alive(self) -> bool:
        """Whether the watch still stands; one ends when its folder is removed."""
        return self._observer is None or all(emitter.is_alive() for emitter in self._observer.emitters)


def _identity(folder: Path) -> tuple[int, int] | None:
    """Device and number of a folder; None where there is none."""
    try:
        status = folder.stat()
    except OSError:
        return None
    return (status.st_dev, status.st_ino) if folder.is_dir() else None
