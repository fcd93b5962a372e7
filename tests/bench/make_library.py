"""Makes realistic libraries of any size, the same for the same seed: machines, assemblies, procedures with branches.

python tests/bench/make_library.py FOLDER [PROCEDURES] [SEED]
"""

import random
import sys
from collections.abc import Iterator
from pathlib import Path

PROCEDURES_PER_MACHINE = 25
COMPONENTS_PER_ASSEMBLY = 6
ASSEMBLIES = 4

THREADS = ("M6", "M8", "M10", "M12x1.25", "M8x1")
TORQUES = {"M6": "9 N·m", "M8": "22 N·m", "M10": "44 N·m", "M12x1.25": "80 N·m", "M8x1": "23 N·m"}
WORDS = (
    "Hold the {0} with one hand and turn it against the stop.",
    "Wipe the face of the {0} with a clean cloth.",
    "Look along the edge of the {0} for a dry, even seat.",
    "Mark the {0} and its neighbour with paint.",
    "Set the {0} down on its outer face.",
)


def machine_files(number: int, random_: random.Random) -> Iterator[tuple[str, str]]:
    """The files of one machine: itself and its assemblies."""
    machine = f"machine-{number}"
    text = (
        f"machine: {machine}\n"
        f"title: Machine {number}\n"
        "meter: hours\n"
        "variants: {drive: [belt, shaft]}\n"
        "energies:\n"
        "  battery: {kind: electrical, title: Battery}\n"
        "fluids:\n"
        "  oil: {title: Oil, capacity: 4.5 L, source: maker p. 3, part: oil}\n"
    )
    yield f"{machine}/machine.yaml", text
    for letter in range(ASSEMBLIES):
        yield f"{machine}/group-{letter}.yaml", "".join(_assembly(machine, letter, random_))


def _assembly(machine: str, letter: int, random_: random.Random) -> Iterator[str]:
    yield f"assembly: group-{letter}\nmachine: {machine}\ntitle: Group {letter}\ncomponents:\n"
    for each in range(COMPONENTS_PER_ASSEMBLY):
        behind = f"\n    behind: [part-{letter}-{each - 1}]" if each else ""
        yield (
            f"  part-{letter}-{each}:\n"
            f"    title: Part {letter} {each}{behind}\n"
            f"    held-by: [bolts-{letter}-{each}]\n"
            "    exposed-to: [battery]\n"
            f"    renew: [gasket]\n"
        )
    yield "fasteners:\n"
    for each in range(COMPONENTS_PER_ASSEMBLY):
        thread = random_.choice(THREADS)
        yield (
            f"  bolts-{letter}-{each}: {{title: Bolts of part {letter} {each}, thread: {thread}, "
            f'class: "8.8", count: 4, head: hex, torque: {TORQUES[thread]}, threads: dry, '
            f"pattern: {{circle: 4}}, source: maker p. {each + 1}}}\n"
        )
    yield "specs:\n"
    yield f"  play-{letter}: {{of: [part-{letter}-0], limits: 0.1–0.4 mm, with: gauge, source: maker p. 9}}\n"


def procedure_file(number: int, machine: str, random_: random.Random) -> str:
    """One procedure of 30 to 40 steps, most of them in the words of a person."""
    letter = random_.randrange(ASSEMBLIES)
    depth = random_.randrange(1, COMPONENTS_PER_ASSEMBLY)
    lines = [
        f"procedure: procedure-{number}",
        f"machine: {machine}",
        f"title: Procedure {number}",
        "revision: 1",
        'date: "2026-05-01"',
        f"summary: Get at the {{part-{letter}-{depth}}} and measure it.",
        "options:",
        '  flush: {ask: "Flush as well?", default: false}',
        "notices: [starts]",
        "steps:",
        "  - isolate: battery",
        "    do: Pull the plug.",
        "    proof: Press the starter. Nothing turns.",
        "    notices: [starts]",
        f"  - open: part-{letter}-{depth}",
    ]
    for _ in range(random_.randrange(25, 32)):
        lines += _work(letter, random_)
    lines += [
        f"  - inspect: part-{letter}-{depth}",
        "    accept: No crack and no score.",
        "    reject:",
        f"      - clean: part-{letter}-{depth}",
        "        do: Dress the face with a fine stone.",
        f"  - close: part-{letter}-{depth}",
        "    new: [gasket]",
        "    tools: [wrench]",
        "  - restore: battery",
        "    do: Put the plug back.",
    ]
    return "\n".join(lines) + "\n"


def _work(letter: int, random_: random.Random) -> list[str]:
    part = f"part-{letter}-0"
    words = random_.choice(WORDS).format("{" + part + "}")
    step = [f"  - do: {words}", "    tools: [cloth]"]
    if random_.random() < 0.3:
        step.append("    why: What is hidden later is seen now.")
    if random_.random() < 0.2:
        step.append("    when: flush")
    return step


CATALOGUES = {
    "workshop/tools.yaml": "tools:\n"
    "  wrench: {title: Torque wrench, range: 5–100 N·m}\n"
    "  cloth: {title: Cloth}\n"
    "  gauge: {title: Gauge, kind: gauge, resolution: 0.01 mm}\n",
    "workshop/parts.yaml": "parts:\n"
    "  gasket: {title: Gasket, single-use: true}\n"
    "  oil: {title: Oil, kind: consumable, unit: L}\n",
    "workshop/sources.yaml": "sources:\n  maker: {title: Handbook, kind: maker, date: 1998}\n",
    "workshop/notices.yaml": "notices:\n"
    "  starts:\n"
    "    level: warning\n"
    "    hazard: The machine can start by itself.\n"
    "    consequence: Its belt takes fingers.\n"
    "    avoid: Pull the plug.\n"
    "    kinds: [electrical]\n",
    "manual.yaml": "manual: A library made for measuring\n",
}


def make(folder: Path, procedures: int, seed: int = 1) -> int:
    """Write a library with so many procedures. Gives the number of files."""
    random_ = random.Random(seed)  # noqa: S311 - not for secrets
    files = dict(CATALOGUES)
    for number in range(procedures):
        machine = number // PROCEDURES_PER_MACHINE
        if number % PROCEDURES_PER_MACHINE == 0:
            files.update(machine_files(machine, random_))
        name = f"machine-{machine}"
        files[f"{name}/procedure-{number}.yaml"] = procedure_file(number, name, random_)
    for path, text in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    return len(files)


if __name__ == "__main__":
    made = make(Path(sys.argv[1]), *(int(each) for each in sys.argv[2:4]))
    sys.stdout.write(f"{made} files\n")
