"""A watch that runs in a thread of the test, and waiting for what it does."""

import http.client
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from procgen.watch.rebuild import Outcome
from procgen.watch.wake import Bell
from procgen.watch.watching import Watch, keep_watch
from tests.written import TODAY, one_line

TIME_OUT_S = 60.0
"""No test waits so long unless something is broken."""

GOOD = """\
procedure: grease-hinge
steps:
  - do: Put two drops of oil on the hinge pin.
"""
BAD = GOOD + "    colour: red\n"


class Watched:
    """What a watch has done until now; a listener of it."""

    def __init__(self) -> None:
        self.address = ""
        self.builds: list[tuple[tuple[str, ...], Outcome]] = []
        self._condition = threading.Condition()

    def serving(self, address: str) -> None:
        with self._condition:
            self.address = address

    def built(self, changed: tuple[str, ...], outcome: Outcome) -> None:
        with self._condition:
            self.builds.append((changed, outcome))
            self._condition.notify_all()

    @property
    def latest(self) -> Outcome:
        return self.builds[-1][1]

    def wait(self, holds: Callable[[Outcome], bool], after: int = 0) -> Outcome:
        """Wait until the latest outcome, of more than `after` builds, is such a one."""
        with self._condition:
            met = self._condition.wait_for(lambda: len(self.builds) > after and holds(self.latest), TIME_OUT_S)
            assert met, self.builds
            return self.latest

    def wait_for(self, *lines: str) -> Outcome:
        """Wait until exactly these errors are found."""
        return self.wait(lambda outcome: not outcome.problem and tuple(errors(outcome)) == lines)

    @property
    def port(self) -> int:
        return int(self.address.rstrip("/").rpartition(":")[2])

    def get(self, path: str) -> tuple[int, str]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=TIME_OUT_S)
        connection.request("GET", path)
        response = connection.getresponse()
        return response.status, response.read().decode("utf-8")


def errors(outcome: Outcome) -> list[str]:
    return [one_line(finding) for finding in outcome.findings if finding.severity == "error"]


@contextmanager
def watching(library: Path, out: Path, theme: Path | None = None) -> Iterator[Watched]:
    """A watch of `library` that has built once, and is stopped in the end."""
    watched, bell = Watched(), Bell()
    what = Watch(library=library, out=out, port=None, today=lambda: TODAY, theme=theme)
    thread = threading.Thread(target=keep_watch, args=(what, bell, watched), name="watch under test")
    thread.start()
    try:
        watched.wait(lambda _: True)
        yield watched
    finally:
        bell.stop()
        thread.join(TIME_OUT_S)
        assert not thread.is_alive()
