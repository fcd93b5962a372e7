"""A build depends on more than the text of a library's files: each such thing, changed alone, is seen."""

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeVar

import pytest

from procgen import flow, program
from procgen.library import listing
from procgen.memo import Memo
from procgen.output.cache import Cache
from tests.incremental.bench import Bench, built, differences, lay, snapshot
from tests.incremental.edits import State
from tests.incremental.shop import RECORD, RECORD_FILE, Library, shop

T = TypeVar("T")

needs_links = pytest.mark.skipif(os.name != "posix", reason="links can be made by anybody only there")


def remains_true(
    tmp_path: Path, state: State, prepare: Callable[[Path], object], change: Callable[[Path], object]
) -> None:
    """Build, change something, build again, and compare with a build from nothing. They are given the library."""
    with Bench(tmp_path, held=False) as bench:
        lay(bench.library, state.files)
        prepare(bench.library)
        with bench.memo() as memo:
            built(bench.library, bench.out, state, memo)
        change(bench.library)
        with bench.memo() as memo:
            after = built(bench.library, bench.out, state, memo)
        assert differences(after, bench.from_nothing(state)) == []


def without(path: str) -> State:
    return State(files={other: content for other, content in shop().items() if other != path})


def edited(path: str, old: str, new: str) -> Library:
    files = shop()
    assert old.encode() in files[path]
    return {**files, path: files[path].replace(old.encode(), new.encode())}


def nothing(_library: Path) -> None:
    pass


def test_a_file_that_cannot_be_read_makes_the_rest_not_whole(tmp_path: Path) -> None:
    files = edited("winch/machine.yaml", "    alt: A winch from the left\n", "")
    remains_true(
        tmp_path,
        State(files=files),
        nothing,
        lambda library: (library / "unknown.yaml").write_text("whatever: 1\n", encoding="utf-8"),
    )


def test_a_fault_in_a_second_file_of_a_procedure_makes_the_first_not_whole(tmp_path: Path) -> None:
    files = edited("winch/look-at-rope.yaml", "alt: Two turns of rope on a drum, ", "")
    second = files["winch/look-at-rope.yaml"]
    remains_true(
        tmp_path,
        State(files={**files, "z/second.yaml": second}),
        nothing,
        lambda library: (library / "z/second.yaml").write_bytes(second + b"frobnicate: 1\n"),
    )


@needs_links
def test_a_link_that_leads_nowhere_is_told_by_a_draft(tmp_path: Path) -> None:
    files = edited("winch/make-ready.yaml", "withdraw: drum-prop", "place: drum-prop")
    remains_true(
        tmp_path, State(files=files), nothing, lambda library: (library / "lost.yaml").symlink_to(library / "nowhere")
    )


@needs_links
def test_a_picture_that_is_a_link_and_vanishes_is_missed(tmp_path: Path) -> None:
    def prepare(library: Path) -> None:
        (library / "winch/pictures/winch.svg").symlink_to("rope.svg")

    remains_true(
        tmp_path,
        without("winch/pictures/winch.svg"),
        prepare,
        lambda library: (library / "winch/pictures/winch.svg").unlink(),
    )


def test_a_picture_in_a_hidden_folder_that_vanishes_is_missed(tmp_path: Path) -> None:
    files = edited("winch/machine.yaml", "pictures/winch.svg", ".hidden/winch.svg")
    files["winch/.hidden/winch.svg"] = files.pop("winch/pictures/winch.svg")
    remains_true(tmp_path, State(files=files), nothing, lambda library: (library / "winch/.hidden/winch.svg").unlink())


def test_a_picture_that_becomes_a_folder_is_missed(tmp_path: Path) -> None:
    def change(library: Path) -> None:
        (library / "winch/pictures/winch.svg").unlink()
        (library / "winch/pictures/winch.svg").mkdir()

    remains_true(tmp_path, State(files=shop()), nothing, change)


@needs_links
def test_a_record_behind_a_link_that_changes_is_read_by_no_build(tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"

    def prepare(library: Path) -> None:
        kept.write_bytes(RECORD)
        (library / RECORD_FILE).symlink_to(kept)

    remains_true(
        tmp_path,
        State(files=shop()),
        prepare,
        lambda _: kept.write_bytes(RECORD.replace(b"thin", b"thick")),
    )


@pytest.mark.parametrize("path", [RECORD_FILE, "fleet/winch-one.change-oil.progress.json"])
def test_a_record_that_appears_changes_and_vanishes_is_followed_by_its_sheet(path: str, tmp_path: Path) -> None:
    record = RECORD if path == RECORD_FILE else RECORD.replace(b'"job": "spring"', b'"procedure": "change-oil"')
    plain = State(files=shop())
    with Bench(tmp_path, held=False) as bench:
        first = bench.again(plain)
        for content in (record, record.replace(b"thin", b"thick"), b"{}"):
            state = State(files={**shop(), path: content})
            known = bench.again(state)
            assert differences(known, bench.from_nothing(state)) == []
            assert (differences(known, first) == []) is (content == b"{}")
        assert differences(bench.again(plain), first) == []


@needs_links
def test_a_template_in_a_linked_folder_that_changes_is_used(tmp_path: Path) -> None:
    shared = tmp_path / "shared"

    def prepare(library: Path) -> None:
        shared.mkdir()
        (shared / "fleet.html").write_text("one {{ view.title }}", encoding="utf-8")
        (library / "theme/templates").symlink_to(shared)

    remains_true(
        tmp_path,
        State(files=shop()),
        prepare,
        lambda _: (shared / "fleet.html").write_text("two {{ view.title }}", encoding="utf-8"),
    )


def test_two_libraries_in_one_cache_have_each_their_own_manual(tmp_path: Path) -> None:
    one, other = State(files=shop()), State(files=edited("winch/gear.yaml", "torque: 22 N·m", "torque: 24 N·m"))
    other.files["winch/pictures/winch.svg"] = b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'/>"
    for _ in range(2):
        for name, state in (("one", one), ("other", other)):
            lay(tmp_path / name, state.files)
            with Cache(tmp_path / "kept.sqlite3") as memo:
                known = built(tmp_path / name, tmp_path / f"{name}-site", state, memo)
            assert differences(known, built(tmp_path / name, tmp_path / f"{name}-clean", state)) == []


def test_a_library_that_is_moved_as_a_whole_is_known_and_its_manual_is_the_same(tmp_path: Path) -> None:
    state = State(files=shop())
    lay(tmp_path / "here", state.files)
    with Cache(tmp_path / "kept.sqlite3") as memo:
        before = built(tmp_path / "here", tmp_path / "site", state, memo)
    (tmp_path / "here").rename(tmp_path / "there")
    with Cache(tmp_path / "kept.sqlite3") as memo:
        done = flow.build(tmp_path / "there", tmp_path / "site", on=state.on, memo=memo)
    assert done.written is not None
    assert done.written.written == ()
    assert before.site == snapshot(tmp_path / "site")
    assert done.examined.subject.library.root == tmp_path / "there"


def test_a_manual_inside_its_library_is_the_same_at_every_build(tmp_path: Path) -> None:
    state = State(files=shop())
    lay(tmp_path, state.files)
    for _ in range(3):
        with Cache(tmp_path / ".kept" / "kept.sqlite3") as memo:
            known = built(tmp_path, tmp_path / "site", state, memo)
        clean = built(tmp_path, tmp_path / "site", state)
        assert differences(known, clean) == []


def test_another_theme_and_a_zip_are_as_from_nothing(tmp_path: Path) -> None:
    pocket = Path(__file__).parents[2] / "themes" / "pocket"
    lay(tmp_path / "library", shop())
    for theme in (None, pocket, None):
        with Cache(tmp_path / "kept.sqlite3") as memo:
            known = flow.build(
                tmp_path / "library", tmp_path / "site", on=date(2026, 11, 1), theme=theme, archive=True, memo=memo
            )
        clean = flow.build(tmp_path / "library", tmp_path / "clean", on=date(2026, 11, 1), theme=theme, archive=True)
        assert snapshot(tmp_path / "site") == snapshot(tmp_path / "clean")
        assert known.archive
        assert clean.archive
        assert known.archive.read_bytes() == clean.archive.read_bytes()


class Listening:
    """A memo that remembers, and tells under which names something was found."""

    def __init__(self, memo: Memo) -> None:
        self.found: set[str] = set()
        self._memo = memo

    def recall(self, name: str) -> object:
        value = self._memo.recall(name)
        if value is not None:
            self.found.add(name.partition(" ")[0])
        return value

    def keep(self, name: str, value: object) -> bool:
        return self._memo.keep(name, value)

    def again(self, what: str, made_from: object, make: Callable[[], T]) -> T:
        return self._memo.again(what, made_from, make)


def test_another_version_of_the_program_believes_nothing_that_this_one_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(tmp_path / "library", shop())
    # Files as old as those that somebody wrote yesterday: they are not even opened again.
    monkeypatch.setattr(listing, "_COARSEST_NS", -(10**12))
    with Cache(tmp_path / "kept.sqlite3") as memo:
        flow.build(tmp_path / "library", tmp_path / "site", on=date(2026, 11, 1), memo=memo)
    monkeypatch.setattr(program, "name", lambda: "another version")
    with Cache(tmp_path / "kept.sqlite3") as memo:
        listening = Listening(memo)
        flow.build(tmp_path / "library", tmp_path / "site", on=date(2026, 11, 1), memo=listening)
    # How files stand on the disk is a fact, whatever program asks.
    assert listening.found <= {"present", "seen"}


def test_nothing_is_written_into_the_library_or_beside_the_cache_and_the_manual(tmp_path: Path) -> None:
    with Bench(tmp_path, held=False) as bench:
        bench.again(State(files=shop()))
        bench.again(State(files=edited("winch/gear.yaml", "torque: 22 N·m", "torque: 24 N·m")))
        assert snapshot(bench.library) == edited("winch/gear.yaml", "torque: 22 N·m", "torque: 24 N·m")
        assert {path.name for path in tmp_path.iterdir()} == {"library", "site", "cache"}
        assert {path.name.partition("-")[0] for path in bench.cache.iterdir()} == {"kept.sqlite3"}
