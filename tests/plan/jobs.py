"""Small libraries with jobs, as text: machines with things in front of each other, procedures that mostly fit them."""

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from hypothesis import strategies as st

from procgen.library.fleet import Job
from procgen.library.library import Library
from procgen.library.load import load
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.proof import prove
from procgen.plan.steps import Plan
from tests.written import write

Draw = st.DrawFn
COMPONENTS = ("cover", "guard", "belt", "pump")


def library_of(text: str) -> Library:
    """The library whose files are separated by lines of dashes."""
    files = {f"{number}.yaml": part for number, part in enumerate(text.split("---\n"))}
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(write(Path(folder), files))
    assert loaded.findings == (), loaded.findings
    return loaded.library


def planned(text: str) -> JobPlan:
    """The plan of the only job of a library."""
    library = library_of(text)
    (job,) = library.jobs.values()
    return plan_job(job, library)


def doing(plan: Plan) -> list[str]:
    """What the steps of a plan do, one line each: their actions, else their words."""
    return [
        ", ".join(f"{action.verb} {action.item}" for action in step.actions) or str(step.step.do) for step in plan.steps
    ]


def faults(plan: Plan, library: Library) -> set[tuple[str, str, str]]:
    """Everything that is wrong with a plan."""
    breaches = prove(plan, library).breaches
    return {(str(breach.guard.fault), breach.guard.item, breach.guard.of) for breach in breaches}


@dataclass(frozen=True)
class Written:
    """A library as text, with its job."""

    text: str

    @property
    def library(self) -> Library:
        return library_of(self.text)

    def job(self, library: Library) -> Job:
        (job,) = library.jobs.values()
        return job

    def __repr__(self) -> str:
        return "\n" + self.text


NOTICE = """\
notices:
  starts:
    {level: warning, hazard: It starts by itself., consequence: It takes fingers., avoid: Lock it., kinds: [electrical]}
"""


@dataclass(frozen=True)
class Built:
    """A machine as drawn."""

    lines: tuple[str, ...]
    front: dict[str, list[str]]
    held: frozenset[str]
    wet: frozenset[str]


@st.composite
def jobs(draw: Draw, plain: bool = False, most: int = 3) -> Written:
    """A machine, two procedures or more, and a job that does them all. `plain`: a few simple steps each."""
    count = draw(st.integers(2, 2 if plain else most))
    machine = _machine(draw, plain)
    parts = [
        "\n".join(machine.lines),
        *("\n".join(_once(name)) for name in ("start", "finish")),
        *("\n".join(_procedure(draw, number, plain, machine)) for number in range(count)),
        f"job: j\nlogbook: l\ndo: [{', '.join(f'p{number}' for number in range(count))}]\n",
        "logbook: l\nmachine: m\nname: L\n",
        NOTICE,
    ]
    return Written("---\n".join(part.rstrip() + "\n" for part in parts))


def _machine(draw: Draw, plain: bool) -> Built:
    rare = st.integers(0, 3).map(lambda number: number == 0)
    front = {
        name: draw(st.lists(st.sampled_from(COMPONENTS[:index]), max_size=1)) if index and draw(st.booleans()) else []
        for index, name in enumerate(COMPONENTS)
    }
    held = frozenset(name for name in COMPONENTS if draw(st.booleans()))
    wet = frozenset(name for name in COMPONENTS if draw(rare))
    lines = [
        "machine: m",
        "variants: {drive: [belt, shaft]}",
        "energies: {battery: {kind: electrical}}",
        "fluids: {oil: {capacity: 2 L}}",
        "conditions: {at-mark: {lost-by: turn pump}}",
        "checks: {seated: {of: [pump]}}",
        "components:",
    ]
    for name in COMPONENTS:
        lines += [f"  {name}:", f"    behind: [{', '.join(front[name])}]"]
        lines += [f"    held-by: [{name}-bolts]"] if name in held else []
        lines += ["    wet-with: [oil]"] if name in wet else []
        lines += _own_steps(draw, name, name in held) if not plain and draw(st.booleans()) else []
    lines += ["fasteners:", *(f"  {name}-bolts: {{torque: 9 N·m}}" for name in COMPONENTS)]
    if draw(rare):
        lines += ["rules:", f"  - {{never: turn pump, while: {draw(st.sampled_from(COMPONENTS))} off}}"]
    if draw(rare):
        one, other = draw(st.permutations(COMPONENTS))[:2]
        lines += ["" if "rules:" in lines else "rules:", f"  - {{before: fit {one}, need: {other} on}}"]
    return Built(tuple(line for line in lines if line), front, held, wet)


def _own_steps(draw: Draw, name: str, held: bool) -> Iterator[str]:
    yield "    remove:"
    yield "      time: 4 min"
    yield "      steps:"
    if draw(st.booleans()):
        yield f"        - {{mark: {name}, do: Mark it.}}"
    yield f"        - {{remove: {name}, do: Lift it off.}}"
    yield "    fit:"
    yield "      time: 6 min"
    yield "      steps:"
    yield f"        - {{id: set, fit: {name}, do: Set it down.}}"
    if held:
        yield f"        - {{tighten: {name}-bolts, do: Tighten them.}}"
    if draw(st.booleans()):
        yield f"        - id: look\n          inspect: {name}\n          accept: It sits."
        yield f"          reject: [{{clean: {name}, do: Wipe it.}}, {{do: Look again., go-back-to: look}}]"


def _once(name: str) -> Iterator[str]:
    yield f"procedure: {name}\nmachine: m\nonce-per-job: true"
    if name == "start":
        yield "leaves: [battery isolated]\nsteps:\n  - {isolate: battery, do: Lock it., notices: [starts], time: 3 min}"
    else:
        yield "starts-with: [battery isolated]\nsteps:\n  - {do: Count the tools., time: 1 min}"
        yield "  - {restore: battery, do: Unlock it., time: 2 min}"


def _procedure(draw: Draw, number: int, plain: bool, machine: Built) -> Iterator[str]:
    yield f"procedure: p{number}\nmachine: m\nsteps:"
    framed = not plain and draw(st.booleans())
    if framed:
        yield "  - follow: start"
    spans = plain or draw(st.booleans())
    work = list(_spans(draw, number, plain, machine) if spans else _opened(draw, number))
    if any(name in line for line in work for name in machine.wet):
        at = draw(st.integers(0, 1)) if not any(name in work[0] for name in machine.wet) else 0
        work = [*work[:at], "  - {drain: oil, do: Open the tap., time: 5 min}", *work[at:]]
        work.append("  - {fill: oil, time: 5 min}")
    yield from work or ["  - {do: Write it down., time: 1 min}"]
    if framed:
        yield "  - follow: finish"


def _opened(draw: Draw, number: int) -> Iterator[str]:
    """Get at something, work on it, close up."""
    aim = draw(st.sampled_from(COMPONENTS))
    yield f"  - open: {aim}"
    off = draw(st.booleans())
    if off:
        yield f"  - {{remove: {aim}, time: 4 min}}"
    yield from _private(draw, number, aim)
    if off:
        yield f"  - {{fit: {aim}, time: 7 min}}"
    if aim == "pump" and draw(st.booleans()):
        yield "  - {check: seated, do: Rock it.}"
    yield f"  - close: {aim}"


def _private(draw: Draw, number: int, aim: str) -> Iterator[str]:
    kind = draw(st.integers(0, 3))
    if kind == 0:
        yield f"  - inspect: {aim}\n    accept: It is clean {number}.\n    reject: [{{clean: {aim}, do: Wipe it.}}]"
    elif kind == 1:
        yield "  - {turn: pump, do: Turn it once., sets: [at-mark], time: 2 min}"
    elif kind == 2:
        yield f"  - {{do: Write down {number}., time: 1 min}}"


def _spans(draw: Draw, number: int, plain: bool, machine: Built) -> Iterator[str]:
    """Things that come off and go back, in whatever order their neighbours let them."""
    chosen = draw(st.lists(st.sampled_from(COMPONENTS), min_size=1 + plain, max_size=2 if plain else 3, unique=True))
    order = draw(st.permutations([name for name in chosen for _ in range(2)]))
    off: list[str] = []
    for name in order:
        if name in off and not any(name in machine.front[other] for other in off):
            yield f"  - {{fit: {name}, time: 3 min}}"
            off.remove(name)
        elif name not in off and all(other in off for other in machine.front[name]):
            own = "" if name in machine.held else " do: Take it off.,"
            yield f"  - {{remove: {name},{own} time: 2 min}}"
            off.append(name)
        if draw(st.integers(0, 3)) == 0:
            yield from _private(draw, number, name)
    for name in sorted(off, key=COMPONENTS.index, reverse=True):
        yield f"  - {{fit: {name}, time: 3 min}}"
