"""One build for the watch, the only place that calls the flow. Whatever a library is like, there is an outcome."""

import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from procgen import flow
from procgen.finding import Finding
from procgen.manual.theme import ThemeError
from procgen.memo import NOTHING_KNOWN, Memo
from procgen.output.error import OutputError


class StoppedError(Exception):
    """Raised by a `progress` that wants no more of a build. What was written is whole, and known to the next build."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of a build."""

    findings: tuple[Finding, ...] = ()
    accepted: int = 0
    """How many findings the author accepts with a reason."""
    changed: tuple[str, ...] = ()
    """Files of the manual that were written or removed; paths relative to it, sorted."""
    problem: str = ""
    """Why there is no new manual; the one before stays. Empty where there is one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is to be built."""

    library: Path
    out: Path
    on: date
    theme: Path | None = None


def rebuild(wanted: Wanted, progress: Callable[[str], None], memo: Memo = NOTHING_KNOWN) -> Outcome:
    """Check and build, as a draft where there are errors. Raises nothing but what `progress` raises as StoppedError."""
    try:
        built = flow.build(
            wanted.library,
            wanted.out,
            on=wanted.on,
            draft=True,
            theme=wanted.theme,
            progress=progress,
            memo=memo,
        )
    except StoppedError:
        raise
    except (OutputError, ThemeError) as error:
        return Outcome(problem=str(error))
    except OSError as error:
        # A file that was there when its folder was listed and is not any more: whoever is moving files will stir again.
        return Outcome(problem=f"The library cannot be read now: {error.strerror} ({error.filename}).")
    except Exception as error:
        # A fault of the program on half-written text must not end the watch.
        return Outcome(problem=_own_fault(error))
    written = built.written
    return Outcome(
        findings=built.examined.findings,
        accepted=len(built.examined.deviations),
        changed=tuple(sorted((*written.written, *written.removed))) if written else (),
    )


def _own_fault(error: Exception) -> str:
    """For whoever mends the program."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    return (
        f"procgen itself failed on this library, and the manual stays as it was: {type(error).__name__} "
        f"in {Path(where.filename).name}, line {where.lineno}: {error}"
    )
