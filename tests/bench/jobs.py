"""How long it takes to plan a job of ten procedures that work behind the same covers.

    python -m tests.bench.jobs [PROCEDURES]

The bar is 200 ms for ten procedures with some 300 steps between them, on one core.
"""

import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from procgen.library.load import load
from procgen.plan.job import plan_job
from procgen.plan.job_tasks import chains, distinct
from procgen.plan.merge import merge
from procgen.plan.proof import prove
from tests.bench.make_library import make

_T = TypeVar("_T")


def timed(name: str, work: Callable[[], _T]) -> _T:
    """Do some work three times, and print the best."""
    best, result = float("inf"), None
    for _ in range(3):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    sys.stdout.write(f"{name:<44} {best * 1000:8.0f} ms\n")
    assert result is not None
    return result


def measure(folder: Path, procedures: int) -> None:
    """Print the table."""
    make(folder, procedures)
    names = ", ".join(f"procedure-{number}" for number in range(procedures))
    (folder / "logbook.yaml").write_text("logbook: one\nmachine: machine-0\nname: One\n", encoding="utf-8")
    (folder / "job.yaml").write_text(f"job: all\nlogbook: one\ndo: [{names}]\n", encoding="utf-8")
    library = load(folder).library
    job = library.jobs["all"]
    parts = timed("the procedures by themselves", lambda: distinct(chains(job, library)))
    timed("brought together", lambda: merge(job, parts, library))
    plan = timed("the whole plan", lambda: plan_job(job, library))
    timed("its proof", lambda: prove(plan.plan, library))
    together, alone = len(plan.plan.steps), plan.steps_alone
    sys.stdout.write(f"{procedures} procedures, {alone} steps alone, {together} together\n")
    for each in plan.not_shared:
        sys.stdout.write(f"  {each.reason}\n")


if __name__ == "__main__":
    where = Path(tempfile.mkdtemp())
    try:
        measure(where, int(sys.argv[1]) if len(sys.argv) > 1 else 10)
    finally:
        shutil.rmtree(where, ignore_errors=True)
