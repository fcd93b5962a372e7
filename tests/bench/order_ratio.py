"""Planning and proving against loading, for a library of many procedures, and for one that is as wide as they come.

python -m tests.bench.order_ratio [PROCEDURES]
"""

import sys
import tempfile
from pathlib import Path

from procgen.library.load import load
from procgen.plan.expand import expand
from procgen.plan.proof import prove
from tests.bench.make_library import make
from tests.bench.ratios import cost
from tests.plan.wide import machine, procedure


def measure(procedures: int) -> None:
    """Print the ratios."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        make(root, procedures)
        loading = cost(lambda: load(root)).cpu_s
        library = load(root).library
        plans = [expand(each, library)[0] for each in library.procedures.values()]
        planning = cost(lambda: [expand(each, library) for each in library.procedures.values()]).cpu_s
        proving = cost(lambda: [prove(plan, library) for plan in plans]).cpu_s
    steps = sum(len(plan.steps) for plan in plans)
    sys.stdout.write(f"{procedures} procedures, {steps} planned steps\n")
    sys.stdout.write(f"planning / loading {planning / loading:6.2f}   {planning / steps * 1e6:6.0f} µs a step\n")
    sys.stdout.write(f"proving  / loading {proving / loading:6.2f}   {proving / steps * 1e6:6.0f} µs a step\n")


def measure_wide() -> None:
    """Print what a procedure with 8 options and 12 inspections takes."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "m.yaml").write_text(machine(), encoding="utf-8")
        (root / "p.yaml").write_text(procedure(), encoding="utf-8")
        library = load(root).library
    wide = library.procedures["wide"]
    plan, _ = expand(wide, library)
    planning, proving = cost(lambda: expand(wide, library)), cost(lambda: prove(plan, library))
    sys.stdout.write(f"{len(plan.steps)} steps, {len(plan.choices)} choices: ")
    sys.stdout.write(f"planned in {planning.cpu_s * 1000:.0f} ms, proved in {proving.cpu_s * 1000:.0f} ms\n")


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
    measure_wide()
