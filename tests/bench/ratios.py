"""How the program compares with the least that the bare libraries could do, in the same run on the same library.

    python -m tests.bench.ratios [PROCEDURES] [FOLDER]

The floor: libyaml composes the same files, markdown-it-py renders the same strings inline, jinja2 renders one template
of the same bytes for each page, and the same files are written. Times are CPU seconds of one process.
"""

import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import jinja2
import yaml
from markdown_it import MarkdownIt

from procgen.checks.examine import examine
from procgen.flow import build
from procgen.library.files import read_library
from procgen.library.library import Library
from procgen.library.link import link
from procgen.library.load import Loaded, load
from procgen.library.origin import Prose
from tests.bench.make_library import make

DAY = date(2026, 11, 1)


def cpu(work: Callable[[], object]) -> float:
    """CPU seconds that some work takes."""
    start = time.process_time()
    work()
    return time.process_time() - start


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


def row(name: str, seconds: float, floor: float) -> None:
    """One line of the table."""
    sys.stdout.write(f"{name:<44} {seconds:8.2f} s   {seconds / floor:6.2f} x floor\n")


def measure(folder: Path, procedures: int) -> None:
    """Print the table for a library made here."""
    library_folder, site = folder / "library", folder / "site"
    make(library_folder, procedures)
    steps = 0
    reading = cpu(lambda: read_library(library_folder))
    read = read_library(library_folder)
    linking = cpu(lambda: link(read))
    loaded: Loaded = load(library_folder)
    steps = sum(1 for each in loaded.library.procedures.values() for _ in each.every_step())
    checking = cpu(lambda: examine(load(library_folder), DAY))
    texts = list(prose(loaded.library))
    full = cpu(lambda: build(library_folder, site, on=DAY, draft=True))
    again = cpu(lambda: build(library_folder, site, on=DAY, draft=True))

    composing = cpu(lambda: compose(library_folder))
    rendering = cpu(lambda: render(texts))
    pages: list[str] = []
    setting = cpu(lambda: pages.extend(set_pages(site)))
    bare = folder / "bare"
    bare.mkdir()
    writing = cpu(lambda: write(pages, bare))
    floor = composing + rendering + setting + writing

    sys.stdout.write(f"{procedures} procedures, {steps} steps, {len(pages)} pages\n")
    for name, seconds in (
        ("floor: libyaml composes", composing),
        ("floor: markdown-it-py renders", rendering),
        ("floor: jinja2 renders", setting),
        ("floor: files are written", writing),
        ("floor in all", floor),
        ("read", reading),
        ("link", linking),
        ("check (read, link, plan, check)", checking),
        ("build, everything new", full),
        ("build, nothing changed", again),
    ):
        row(name, seconds, floor)
    sys.stdout.write(f"{'check against reading (read and link)':<44} {checking / (reading + linking):8.2f}\n")
    peak_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    sys.stdout.write(f"{'peak memory of this process':<44} {peak_kb / 1024:8.0f} MB\n")
    for name, command in (
        ("procgen --version", ["--version"]),
        ("procgen check, one file", ["check", str(_one_file(folder))]),
    ):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "procgen.cli", *command], check=False, capture_output=True)
        sys.stdout.write(f"{name:<44} {(time.perf_counter() - start) * 1000:8.0f} ms wall\n")


def _one_file(folder: Path) -> Path:
    (folder / "one").mkdir()
    text = "procedure: p\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"
    (folder / "one" / "p.yaml").write_text(text, encoding="utf-8")
    return folder / "one"


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    where = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(tempfile.mkdtemp())
    try:
        measure(where, count)
    finally:
        shutil.rmtree(where, ignore_errors=True)
