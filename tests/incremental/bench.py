"""A library that is built again and again, each time also from nothing, and what is compared of the two."""

import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from procgen import flow, hands
from procgen.checks.examine import Examined
from procgen.library import listing
from procgen.manual import press
from procgen.manual.theme import ThemeError
from procgen.memo import NOTHING_KNOWN, Memo
from procgen.output.cache import Cache, Held
from procgen.output.error import OutputError
from tests.incremental.edits import State
from tests.incremental.shop import Library


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a build says, and what it leaves."""

    findings: tuple[str, ...]
    deviations: tuple[str, ...]
    site: Library | None
    """Every file of the manual; None where errors stopped the build."""
    problem: str = ""
    """Why there is no manual."""


def snapshot(folder: Path) -> Library:
    """Every file below a folder, hidden ones too."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def lay(folder: Path, files: Library) -> None:
    """Make a folder hold these files and no others; what is there already is not touched."""
    folder.mkdir(exist_ok=True)
    for path in snapshot(folder).keys() - files.keys():
        (folder / path).unlink()
    for path, content in files.items():
        file = folder / path
        if not file.is_file() or file.read_bytes() != content:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)


def said(examined: Examined) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Findings and deviations, to the last word."""
    return tuple(map(repr, examined.findings)), tuple(map(repr, examined.deviations))


def built(library: Path, out: Path, state: State, memo: Memo = NOTHING_KNOWN) -> Outcome:
    """Build `library`, as `state` says, into `out`."""
    try:
        done = flow.build(library, out, on=state.on, draft=state.draft, memo=memo)
    except (ThemeError, OutputError) as error:
        return Outcome(findings=(), deviations=(), site=None, problem=str(error).replace(str(out), "OUT"))
    findings, deviations = said(done.examined)
    return Outcome(findings=findings, deviations=deviations, site=snapshot(out) if done.written else None)


class Bench:
    """A folder with a library, a manual that is kept, and a cache that is kept."""

    def __init__(self, folder: Path, *, held: bool) -> None:
        """held: one process builds again and again, as a watch does; else each build opens the cache anew."""
        self.library, self.out, self.cache = folder / "library", folder / "site", folder / "cache"
        self._clean = folder / "clean"
        self.cache.mkdir(parents=True)
        self._stack = ExitStack()
        # So small a library is built sooner by one pair of hands; test_forked_work.py is about more of them.
        self._stack.enter_context(patch.object(hands, "_LEAST", 10_000))
        # Edits follow each other faster than people's, and the times of files are fine enough where tests are run.
        self._stack.enter_context(patch.object(listing, "_COARSEST_NS", 50_000_000))
        self._held: Held | None = None
        if held:
            behind = self._stack.enter_context(Cache(self.cache / "kept.sqlite3"))
            self._held = self._stack.enter_context(Held(behind))

    def __enter__(self) -> "Bench":
        return self

    def __exit__(self, *_: object) -> None:
        self._stack.close()

    @contextmanager
    def memo(self) -> Iterator[Memo]:
        """What is remembered."""
        if self._held is None:
            with Cache(self.cache / "kept.sqlite3") as memo:
                yield memo
        else:
            yield self._held
            self._held.let_go()

    def again(self, state: State) -> Outcome:
        """Build what has changed."""
        lay(self.library, state.files)
        with self.memo() as memo:
            return built(self.library, self.out, state, memo)

    def from_nothing(self, state: State) -> Outcome:
        """Build all of it, somewhere else."""
        shutil.rmtree(self._clean, ignore_errors=True)
        # Nor is anything known that this process itself remembers.
        press._environment.cache_clear()
        return built(self.library, self._clean, state)

    def checked_alike(self, state: State) -> bool:
        """Whether checking finds the same with what is known and without."""
        with self.memo() as memo:
            known = flow.check(self.library, state.on, self.out, memo)
        return said(known) == said(flow.check(self.library, state.on, self.out))


def differences(one: Outcome, other: Outcome) -> list[str]:
    """In what two outcomes differ, in a line for each; empty where they are the same."""
    found = [f"problem: {one.problem!r} and {other.problem!r}"] if one.problem != other.problem else []
    for name in ("findings", "deviations"):
        ones, others = getattr(one, name), getattr(other, name)
        found += [f"{name}, only the first: {each}" for each in ones if each not in others]
        found += [f"{name}, only the second: {each}" for each in others if each not in ones]
        if not found and ones != others:
            found.append(f"{name}: in another order")
    if one.site is not None and other.site is not None:
        paths = sorted(one.site.keys() | other.site.keys())
        found += [f"page: {path}" for path in paths if one.site.get(path) != other.site.get(path)]
    elif one.site is not other.site:
        found.append("only one of them has a manual")
    return found
