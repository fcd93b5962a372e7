"""Two pages, kept as they are read between head and foot.

`GOLDEN=write pytest tests/manual/test_golden_pages.py` writes them anew; read the difference before it is committed.
"""

import os
from pathlib import Path

import pytest

from tests.manual.built import built

GOLDEN = Path(__file__).parent / "golden"

LIBRARY = {
    "manual.yaml": "manual: Club manual\npublisher: The club\nedition: 2026-1\n",
    "sources.yaml": "sources:\n  book: {title: Engine book, kind: maker, date: 2009}\n",
    "engine.yaml": """\
        machine: engine
        title: Small engine
        components:
          lid: {title: Lid, held-by: [lid-bolts]}
        fasteners:
          lid-bolts: {title: Lid bolts, thread: M6, class: "8.8", count: 4, head: hex, torque: 9 N·m, threads: dry,
                      pattern: {grid: 2x2}, source: book p. 7,
                      other-values: [{torque: 12 N·m, source: book, why-not: An older engine.}]}
        """,
    "look-inside.yaml": """\
        procedure: look-inside
        machine: engine
        title: Look inside
        revision: 1
        summary: A look under the {lid}.
        options: {photo: {ask: "Take a picture?", default: false}}
        steps:
          - remove: lid
            time: 2 min
          - do: Take a picture.
            when: photo
          - fit: lid
            why: Dust gets in.
        """,
}


@pytest.mark.parametrize("path", ["procedure/look-inside.html", "machine/engine/lid-bolts.html"])
def test_a_page_reads_as_it_did(path: str) -> None:
    page = "<main" + built(LIBRARY)[path].partition("<main")[2].partition("</main>")[0] + "</main>\n"
    kept = GOLDEN / path.replace("/", "-")
    if os.environ.get("GOLDEN") == "write":
        kept.write_text(page, encoding="utf-8", newline="\n")
    assert page == kept.read_text(encoding="utf-8")
