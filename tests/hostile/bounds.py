"""A library goes through the whole program, within bounds of time and memory that no honest library comes near."""

import resource
import signal
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from procgen import flow
from procgen.finding import Finding
from tests.written import TODAY

SECONDS_A_FILE = 2.0
"""Of the processor, so that a busy machine changes nothing."""
SECONDS_TO_GIVE_UP = 30.0
MORE_MEMORY = 1 << 30
"""Bytes, beyond what the tests have taken already."""


class TooLongError(Exception):
    """The program was stopped after SECONDS_TO_GIVE_UP."""


def survives(files: Mapping[str, str | bytes], times: float = 1) -> tuple[Finding, ...]:
    """Check and build a library of these files. Gives what is found, all of it at places that are there.

    times: how many times more time it may take.
    """
    with tempfile.TemporaryDirectory() as scratch:
        library = Path(scratch) / "library"
        for name, content in files.items():
            path = library / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))
        began = time.process_time()
        with bounded():
            examined = flow.check(library, TODAY)
            checked = time.process_time()
            built = flow.build(library, Path(scratch) / "site", on=TODAY, draft=True)
        ended = time.process_time()
        assert checked - began < times * SECONDS_A_FILE * len(files)
        assert ended - checked < times * SECONDS_A_FILE * (len(files) + 1)
        assert built.written
        assert built.examined.findings == examined.findings
        assert (Path(scratch) / "site" / "index.html").is_file()
    for finding in examined.findings:
        assert finding.place.file in files
        assert min(finding.place.line, finding.place.column) >= 1
        assert finding.message
    return examined.findings


@contextmanager
def bounded() -> Iterator[None]:
    """Stop with TooLongError or MemoryError what takes too much."""

    def stop(_: int, __: FrameType | None) -> None:
        raise TooLongError

    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    before = signal.signal(signal.SIGPROF, stop)
    resource.setrlimit(resource.RLIMIT_AS, (pages * resource.getpagesize() + MORE_MEMORY, hard))
    signal.setitimer(signal.ITIMER_PROF, SECONDS_TO_GIVE_UP)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
        signal.signal(signal.SIGPROF, before)
