"""What reading costs, beside what libyaml and PyYAML alone cost for the same text.

    python -m tests.bench.reading [STEPS]

Times are the best of five, in milliseconds.
"""

import sys
import time
from collections.abc import Callable

import yaml

from procgen.library.origin import Kind
from procgen.library.schema import refusals
from procgen.library.yaml_reading import read

STEP = """\
  - tighten: pump-bolts-{n}
    do: Tighten the bolts crosswise, in two passes, and mark each head with paint.
    tools: [torque-wrench-60, socket-13]
    why: The face is soft and warps.
    uses: {{thread-sealant: 2 ml}}
    time: 10 min
"""


def procedure(steps: int) -> str:
    """A procedure with as many steps."""
    return "procedure: renew-pump\nsteps:\n" + "".join(STEP.format(n=n) for n in range(steps))


def best(work: Callable[[], object]) -> float:
    """Milliseconds of the fastest of five runs."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times) * 1000


def events(text: str) -> None:
    """The parser's events, and nothing made of them: the floor."""
    next_event = yaml.CSafeLoader(text).get_event
    while next_event() is not None:
        pass


def broken(text: str) -> str:
    """The same with ten lines that are not YAML."""
    lines = text.split("\n")
    for line in range(3, len(lines) - 1, max(6, len(lines) // 10 // 6 * 6)):
        lines[line] += ": and so on"
    return "\n".join(lines)


def main() -> None:
    """Print a line for each way of reading."""
    text = procedure(int(sys.argv[1]) if len(sys.argv) > 1 else 3_500)
    tree = read(text, "bench.yaml").tree
    print(f"{len(text) / 1000:,.0f} kB of text")  # noqa: T201
    rows: list[tuple[str, Callable[[], object]]] = [
        ("libyaml's events alone", lambda: events(text)),
        ("PyYAML composes nodes", lambda: yaml.compose(text, Loader=yaml.CSafeLoader)),
        ("PyYAML loads values", lambda: yaml.load(text, Loader=yaml.CSafeLoader)),
        ("read: values and places", lambda: read(text, "bench.yaml")),
        ("schema: accepted", lambda: refusals(tree, Kind.PROCEDURE)),
        ("read: with ten faults", lambda: read(broken(text), "bench.yaml")),
    ]
    for name, work in rows:
        print(f"{name:24} {best(work):8.1f} ms")  # noqa: T201


if __name__ == "__main__":
    main()
