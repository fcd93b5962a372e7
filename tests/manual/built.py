"""A manual of a library that stands in a test as literal text."""

import tempfile
from collections.abc import Mapping
from pathlib import Path

from procgen.library.load import load
from procgen.manual.book import SiteInput
from procgen.manual.site import pages
from procgen.manual.theme import Theme, find_theme
from procgen.plan.expand import expand
from tests.written import write


def site_of(root: Path, *, draft: bool = False, theme: Theme | None = None) -> SiteInput:
    """What the manual of the library in a folder is made from. Findings are those of reading and planning only."""
    loaded = load(root)
    expanded = {id_: expand(procedure, loaded.library) for id_, procedure in loaded.library.procedures.items()}
    planning = tuple(finding for _, findings in expanded.values() for finding in findings)
    return SiteInput(
        library=loaded.library,
        plans={id_: plan for id_, (plan, _) in expanded.items()},
        theme=theme or find_theme(),
        findings=(*loaded.findings, *planning),
        draft=draft,
    )


def built(files: Mapping[str, str] | str, *, draft: bool = False, theme: Theme | None = None) -> dict[str, str]:
    """Every text file of the manual: path to content."""
    with tempfile.TemporaryDirectory() as folder:
        site = site_of(write(Path(folder), files), draft=draft, theme=theme)
        return {
            page.path: page.data.decode("utf-8")
            for page in pages(site)
            if not page.path.startswith(("figures/", "theme/"))
        }
