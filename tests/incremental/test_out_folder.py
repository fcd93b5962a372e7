"""Whatever becomes of the manual's folder, a build that knows what it wrote does what one does that knows nothing."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.incremental.bench import Bench, Outcome, built, differences, lay, snapshot
from tests.incremental.edits import State
from tests.incremental.shop import shop

PAGE = "tools.html"
FOLDER = "tool"


def by_hand(out: Path) -> None:
    (out / PAGE).write_text("my own words", encoding="utf-8")


def as_long(out: Path) -> None:
    """With the same length, and with the time of the page as it was."""
    page = out / PAGE
    status = page.stat()
    page.write_bytes(b"x" * status.st_size)
    os.utime(page, ns=(status.st_atime_ns, status.st_mtime_ns))


def in_its_place(out: Path) -> None:
    """Another file of the same length and times is moved over the page."""
    page, other = out / PAGE, out.with_name("other")
    status = page.stat()
    other.write_bytes(b"x" * status.st_size)
    os.utime(other, ns=(status.st_atime_ns, status.st_mtime_ns))
    other.replace(page)


def deleted(out: Path) -> None:
    (out / PAGE).unlink()


def folder_deleted(out: Path) -> None:
    shutil.rmtree(out / FOLDER)


def all_deleted(out: Path) -> None:
    shutil.rmtree(out)


def emptied(out: Path) -> None:
    shutil.rmtree(out)
    out.mkdir()


def a_folder(out: Path) -> None:
    (out / PAGE).unlink()
    (out / PAGE).mkdir()


def a_link(out: Path) -> None:
    """A link to a file with the very content of the page."""
    (out / PAGE).rename(out.with_name(f"{out.name}-elsewhere.html"))
    (out / PAGE).symlink_to(out.with_name(f"{out.name}-elsewhere.html"))


def a_hard_link(out: Path) -> None:
    os.link(out / PAGE, out.with_name(f"{out.name}-twin.html"))


def a_linked_folder(out: Path) -> None:
    """A link to a folder with the very content of the folder."""
    (out / FOLDER).rename(out.with_name(f"{out.name}-elsewhere"))
    (out / FOLDER).symlink_to(out.with_name(f"{out.name}-elsewhere"))


def manifest_lost(out: Path) -> None:
    (out / ".procgen-manifest.json").unlink()


def manifest_lost_and_page_changed(out: Path) -> None:
    manifest_lost(out)
    by_hand(out)


def beside(out: Path) -> None:
    (out / "notes.txt").write_text("mine", encoding="utf-8")


def touched(out: Path) -> None:
    for page in out.rglob("*.html"):
        os.utime(page)


DEEDS = (
    by_hand,
    as_long,
    in_its_place,
    deleted,
    folder_deleted,
    all_deleted,
    emptied,
    a_folder,
    a_link,
    a_hard_link,
    a_linked_folder,
    manifest_lost,
    manifest_lost_and_page_changed,
    beside,
    touched,
)


@pytest.mark.skipif(os.name != "posix", reason="links can be made by anybody only there")
@pytest.mark.parametrize("edited", [False, True])
@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.__name__)
def test_what_is_done_to_the_folder_is_met_as_if_nothing_were_known(
    deed: Callable[[Path], None], edited: bool, tmp_path: Path
) -> None:
    """The page concerned changes in the library as well, or does not."""
    before = State(files=shop())
    tools = shop()["shop/tools.yaml"].replace(b"Spanner set", b"All spanners")
    after = State(files={**shop(), "shop/tools.yaml": tools}) if edited else before
    other = tmp_path / "unknown"
    with Bench(tmp_path / "bench", held=False) as bench:
        bench.again(before)
        bench.again(before)
        built(bench.library, other, before)
        deed(bench.out)
        deed(other)
        known = bench.again(after)
        unknown = built(bench.library, other, after)
        assert differences(known, unknown) == []
        assert without_ledger(bench.out) == without_ledger(other)


def without_ledger(folder: Path) -> dict[str, bytes]:
    """Every file of the manual, also where a build was stopped half way; links are followed."""
    return {path: content for path, content in snapshot(folder).items() if not path.startswith(".procgen-")}


def test_another_folder_gets_the_same_manual_from_the_same_cache(tmp_path: Path) -> None:
    state = State(files=shop())
    with Bench(tmp_path, held=False) as bench:
        first = bench.again(state)
        with bench.memo() as memo:
            assert differences(first, built(bench.library, tmp_path / "another", state, memo)) == []
            assert differences(first, built(bench.library, tmp_path / "another", state, memo)) == []


def test_two_manuals_that_change_places_are_each_as_they_should_be(tmp_path: Path) -> None:
    one = State(files=shop())
    tools = shop()["shop/tools.yaml"].replace(b"Spanner set", b"All spanners")
    other = State(files={**shop(), "shop/tools.yaml": tools})
    outcomes: dict[str, Outcome] = {}
    with Bench(tmp_path, held=False) as bench:
        for name, state in (("one", one), ("other", other), ("one", one), ("other", other)):
            lay(bench.library, state.files)
            with bench.memo() as memo:
                outcomes[name] = built(bench.library, tmp_path / name, state, memo)
        (tmp_path / "one").rename(tmp_path / "third")
        (tmp_path / "other").rename(tmp_path / "one")
        (tmp_path / "third").rename(tmp_path / "other")
        for name, state in (("one", one), ("other", other)):
            lay(bench.library, state.files)
            with bench.memo() as memo:
                assert differences(built(bench.library, tmp_path / name, state, memo), outcomes[name]) == []


def test_a_build_without_a_cache_in_between_is_noticed(tmp_path: Path) -> None:
    state = State(files=shop())
    tools = shop()["shop/tools.yaml"].replace(b"Spanner set", b"All spanners")
    with Bench(tmp_path, held=True) as bench:
        first = bench.again(state)
        lay(bench.library, {**shop(), "shop/tools.yaml": tools})
        built(bench.library, bench.out, state)
        assert differences(bench.again(state), first) == []
