"""The whole program in one page: read, link, plan, check, publish. A stage takes values and gives back values."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from procgen.checks import registry
from procgen.checks.examine import Examined
from procgen.checks.survey import nothing, survey
from procgen.memo import NOTHING_KNOWN, Memo
from procgen.plan.on_demand import PlansOnDemand
from procgen.report.report import Rule

if TYPE_CHECKING:
    from procgen.output.write import WriteResult

OWN_THEME = "theme"
"""A folder of this name in a library overrides the theme for that library."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What became of a build."""

    examined: Examined
    written: "WriteResult | None"
    """None where errors stopped it."""
    archive: Path | None = None
    """The zip of the manual, where one was asked for."""


def check(library: Path, on: date, out: Path | None = None, memo: Memo = NOTHING_KNOWN) -> Examined:
    """Read and link the files in `library`, plan its procedures, and run every check on them.

    out: a folder that may hold a built manual; nothing in it is read. memo: what is known from earlier is not worked
    out again.
    """
    return survey(library, on, nothing, leave_out=() if out is None else (out,), memo=memo).examined


def build(
    library: Path,
    out: Path,
    *,
    on: date,
    draft: bool = False,
    theme: Path | None = None,
    book: bool = False,
    archive: bool = False,
    progress: Callable[[str], None] = lambda _: None,
    memo: Memo = NOTHING_KNOWN,
) -> Built:
    """Check `library` and publish it in `out`, unless there are errors and no `draft` is asked for.

    progress: told the path of each page that had to be made.
    book: as one PDF, too, inside `out`. archive: as one zip, too, beside `out`. memo: what is known from earlier is
    not worked out again; the manual is the same, to the byte, whatever is known.
    Raises OutputError where the manual cannot be written, ThemeError where `theme` cannot be used, BookError where no
    book can be made.
    """
    # Checking alone needs nothing of publishing, whose libraries take longer to load than most libraries to check.
    from procgen.manual import bound  # noqa: PLC0415
    from procgen.manual.basis import Basis  # noqa: PLC0415
    from procgen.manual.book import SiteInput  # noqa: PLC0415
    from procgen.manual.extract import extract  # noqa: PLC0415
    from procgen.manual.site import pages  # noqa: PLC0415
    from procgen.manual.theme import find_theme  # noqa: PLC0415
    from procgen.output.archive import write_zip  # noqa: PLC0415
    from procgen.output.write import write_site  # noqa: PLC0415

    surveyed = survey(library, on, extract, leave_out=(out,), memo=memo)
    examined = surveyed.examined
    if examined.errors and not draft:
        return Built(examined=examined, written=None)
    site = SiteInput(
        library=examined.subject.library,
        plans=PlansOnDemand(examined.subject.library),
        extracts=surveyed.extracts,
        basis=Basis(
            ground=surveyed.ground,
            procedures=surveyed.procedures,
            paused=surveyed.paused,
            upkeep=surveyed.upkeep,
            everything=surveyed.everything,
        ),
        theme=find_theme(_overriding(theme, library)),
        findings=examined.findings,
        deviations=examined.deviations,
        accepted=examined.accepted,
        draft=bool(examined.errors),
        with_book=book,
        on=on,
        memo=memo,
    )
    if book:
        bound.ready()
    made = pages(site)
    written = write_site(bound.bind(made, site) if book else made, out, library, memo=memo, progress=progress)
    zipped = write_zip(written, site.library.manual.title) if archive else None
    return Built(examined=examined, written=written, archive=zipped)


def _overriding(theme: Path | None, library: Path) -> tuple[Path, ...]:
    """The folders whose files win over the default theme's, the one that was asked for first."""
    own = library / OWN_THEME
    return (*([theme] if theme else []), *([own] if own.is_dir() else []))


def legend() -> Iterator[Rule]:
    """Every check, for reports that carry their own legend."""
    for slug, (family, severity) in registry.slugs().items():
        page = registry.help_page(slug)
        yield Rule(slug=slug, family=family, severity=severity, summary=registry.summary(page), help=page)
