"""What an author accepts stands in the manual: what was found, and why it is accepted."""

from dataclasses import replace
from pathlib import Path

from procgen.checks.examine import examine
from procgen.library.load import load
from procgen.manual.site import pages
from tests.manual.built import site_of
from tests.manual.reading import elements, texts
from tests.written import TODAY, write

LIBRARY = """\
    procedure: close-lid
    title: Close the lid
    fasteners: {lid-bolts: {title: Lid bolts, thread: M6, class: "8.8"}}
    steps:
      - loosen: lid-bolts
      - tighten: lid-bolts
        accepting: {torque-missing: A wing bolt; nobody has ever measured it.}
    """


def test_the_finding_stands_beside_the_reason(tmp_path: Path) -> None:
    write(tmp_path, LIBRARY)
    judged = examine(load(tmp_path), TODAY)
    site = replace(site_of(tmp_path), findings=judged.findings, deviations=judged.deviations)
    made = {page.path: page.data.decode() for page in pages(site)}
    for path in ("report.html", "procedure/close-lid.html"):
        (row,) = [row for row in elements(made[path], "tr") if "nobody has ever" in " ".join(texts(row, "td"))]
        where, *cells = texts(row, "th") + texts(row, "td")
        assert where == "Close the lid, step 2"
        assert cells == [
            "Step 2 tightens lid-bolts, and no torque is given. torque-missing",
            "A wing bolt; nobody has ever measured it.",
        ]
