"""How the program compares with the least that the bare libraries could do, in the same run on the same library.

    python -m tests.bench.ratios [PROCEDURES] [FOLDER]

The floor: libyaml composes the same files, markdown-it-py renders the same strings inline, jinja2 renders one template
of the same bytes for each page, and the same files are written; all of it by one process. CPU seconds are those of all
processes together; what is elapsed is also held against the CPU seconds of the floor.
"""

import gc
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

import jinja2
import yaml
from markdown_it import MarkdownIt

from procgen.flow import build, check
from procgen.hands import look_for_rings_seldom
from procgen.library.files import read_library
from procgen.library.library import Library
from procgen.library.link import link
from procgen.library.load import load
from procgen.library.origin import Prose
from procgen.output.cache import Cache, Held
from tests.bench.make_library import make

DAY = date(2026, 11, 1)


@dataclass(frozen=True)
class Cost:
    """What some work took."""

    cpu_s: float
    """Of this process and of those that it called for help."""
    wall_s: float


def cost(work: Callable[[], object]) -> Cost:
    """What some work takes."""
    before, start = os.times(), time.perf_counter()
    work()
    wall_s, after = time.perf_counter() - start, os.times()
    return Cost(sum(after[:4]) - sum(before[:4]), wall_s)


def prose(library: Library) -> Iterator[str]:
    """Every text of the procedures that a page renders."""
    for procedure in library.procedures.values():
        for step in procedure.every_step():
            texts: tuple[Prose | None, ...] = (step.do, step.why, step.note, step.accept)
            yield from (text.text for text in texts if text)


def compose(folder: Path) -> None:
    """libyaml reading every file."""
    for file in sorted(folder.rglob("*.yaml")):
        yaml.compose(file.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)


def render(texts: list[str]) -> None:
    """markdown-it-py rendering every text."""
    markdown = MarkdownIt("commonmark", {"html": False})
    for text in texts:
        markdown.renderInline(text)


def set_pages(site: Path) -> list[str]:
    """jinja2 rendering as many bytes as there are, one template."""
    template = jinja2.Environment(autoescape=True).from_string("{% for line in lines %}{{ line|safe }}\n{% endfor %}")
    files = (file for file in sorted(site.rglob("*.html")))
    return [template.render(lines=file.read_text(encoding="utf-8").split("\n")) for file in files]


def write(pages: list[str], folder: Path) -> None:
    """Writing the same files."""
    for number, page in enumerate(pages):
        (folder / f"{number}.html").write_text(page, encoding="utf-8")


def row(name: str, taken: Cost, floor: Cost) -> None:
    """One line of the table."""
    told = "".join(f"{seconds:8.2f} s {seconds / floor.cpu_s:6.2f} x" for seconds in (taken.cpu_s, taken.wall_s))
    sys.stdout.write(f"{name:<44} {told}\n")


def measure(folder: Path, procedures: int) -> None:
    """Print the table for a library made here."""
    library, site, kept = folder / "library", folder / "site", folder / "kept.sqlite3"
    make(library, procedures)

    def built() -> None:
        with Cache(kept) as memo:
            build(library, site, on=DAY, draft=True, memo=memo)

    reading = cost(lambda: read_library(library))
    linking, steps, texts = _linked(library)
    rows = [("read", reading), ("link", linking)]
    rows.append(("check (read, link, plan, check)", cost(lambda: check(library, DAY))))
    rows.append(("build, everything new", cost(built)))
    rows.append(("build, nothing changed", cost(built)))
    edited = next(iter(sorted(library.rglob("procedure-*.yaml"))))
    edited.write_text(edited.read_text(encoding="utf-8").replace("do: Wipe", "do: Do wipe", 1), encoding="utf-8")
    rows.append(("build, one step edited", cost(built)))
    rows.append(("the same while it is watched", _watched(library, site, kept, edited)))

    composing = cost(lambda: compose(library))
    rendering = cost(lambda: render(texts))
    pages: list[str] = []
    setting = cost(lambda: pages.extend(set_pages(site)))
    bare = folder / "bare"
    bare.mkdir()
    writing = cost(lambda: write(pages, bare))
    floors = (composing, rendering, setting, writing)
    floor = Cost(sum(each.cpu_s for each in floors), sum(each.wall_s for each in floors))

    sys.stdout.write(f"{procedures} procedures, {steps} steps, {len(pages)} pages\n")
    sys.stdout.write(f"{'':<44} {'CPU':>8}   x floor {'elapsed':>9} x floor\n")
    for name, taken in (
        ("floor: libyaml composes", composing),
        ("floor: markdown-it-py renders", rendering),
        ("floor: jinja2 renders", setting),
        ("floor: files are written", writing),
        ("floor in all", floor),
        *rows,
    ):
        row(name, taken, floor)
    checking = rows[2][1].cpu_s / (reading.cpu_s + linking.cpu_s)
    sys.stdout.write(f"{'check against reading (read and link)':<44} {checking:8.2f} x\n")
    for name, command in (
        ("procgen --version", ["--version"]),
        ("procgen check, one file", ["check", str(_one_file(folder))]),
    ):
        taken = cost(partial(_run, *command))
        sys.stdout.write(f"{name:<44} {taken.wall_s * 1000:8.0f} ms elapsed\n")
    alone_kb, peak_kb = _memory_kb("pass"), _memory_kb(_BUILD, str(library), str(folder / "again"))
    per_step = (peak_kb - alone_kb) / steps
    sys.stdout.write(f"{'memory of a build, above the interpreter':<44} {per_step:8.2f} kB a step\n")


_BUILD = """
import sys
from datetime import date
from pathlib import Path
from procgen.flow import build
from procgen.hands import look_for_rings_seldom
look_for_rings_seldom()
build(Path(sys.argv[1]), Path(sys.argv[2]), on=date(2026, 11, 1), draft=True)
"""


def _memory_kb(program: str, *arguments: str) -> int:
    """The most memory that one process of a program has; each of those that it forks has its own, and shares most."""
    told = "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    ran = subprocess.run(
        [sys.executable, "-c", f"{program}\n{told}", *arguments], check=True, capture_output=True, text=True
    )
    return int(ran.stdout)


def _run(*arguments: str) -> None:
    subprocess.run([sys.executable, "-m", "procgen.cli", *arguments], check=False, capture_output=True)


def _watched(library: Path, site: Path, kept: Path, edited: Path) -> Cost:
    """An edit while the library is watched: the second, since with the first the processor gets to know its way."""
    text = edited.read_text(encoding="utf-8")
    with Cache(kept) as cache, Held(cache) as memo:
        taken = Cost(0, 0)
        for word in ("Do", "Just do", "Please"):
            edited.write_text(text.replace("do: Do wipe", f"do: {word} wipe", 1), encoding="utf-8")
            taken = cost(lambda: build(library, site, on=DAY, draft=True, memo=memo))
            memo.let_go()
            gc.collect()
            gc.freeze()
        return taken


def _linked(library: Path) -> tuple[Cost, int, list[str]]:
    """What linking costs, how many steps there are, and all that markdown-it-py would have to render."""
    read = read_library(library)
    linking = cost(lambda: link(read))
    linked = load(library).library
    return linking, sum(1 for each in linked.procedures.values() for _ in each.every_step()), list(prose(linked))


def _one_file(folder: Path) -> Path:
    (folder / "one").mkdir()
    text = "procedure: p\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"
    (folder / "one" / "p.yaml").write_text(text, encoding="utf-8")
    return folder / "one"


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    look_for_rings_seldom()
    where = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(tempfile.mkdtemp())
    try:
        measure(where, count)
    finally:
        shutil.rmtree(where, ignore_errors=True)
