"""The watch builds what people and their editors do to a library, and nothing that they do ends it."""

import os
import shutil
import threading
from pathlib import Path

import pytest

from procgen.output.folder import MANIFEST
from procgen.watch import rebuild
from tests.watch.watched import BAD, GOOD, watching
from tests.written import write

COLOUR = "hinge.yaml:4:5 error unknown-key: "


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return write(tmp_path / "library", {"hinge.yaml": GOOD})


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "site"


def page(out: Path) -> str:
    return (out / "procedure" / "grease-hinge.html").read_text(encoding="utf-8")


def is_colour(outcome: rebuild.Outcome) -> bool:
    return [finding.check for finding in outcome.findings] == ["unknown-key"]


def is_clean(outcome: rebuild.Outcome) -> bool:
    return not outcome.problem and not outcome.findings


def test_a_changed_file_is_built_and_a_mistake_makes_a_draft_until_it_is_mended(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        assert watched.latest.findings == ()
        assert "two drops" in page(out)
        (library / "hinge.yaml").write_text(GOOD.replace("two", "three"), encoding="utf-8")
        outcome = watched.wait(lambda outcome: "procedure/grease-hinge.html" in outcome.changed, after=1)
        assert outcome.findings == ()
        assert "three drops" in page(out)
        (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
        watched.wait(is_colour)
        assert "DRAFT" in page(out)
        (library / "hinge.yaml").write_text(GOOD, encoding="utf-8")
        watched.wait(is_clean, after=len(watched.builds) - 1)
        assert "DRAFT" not in page(out)


def test_it_says_which_file_led_to_a_build_and_builds_nothing_where_nothing_changed(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        (library / ".hinge.yaml.swp").write_text("an editor's own", encoding="utf-8")
        (library / "hinge.yaml").read_bytes()
        (library / "lid.yaml").write_text("procedure: wipe-lid\nsteps:\n  - do: Wipe the lid.\n", encoding="utf-8")
        watched.wait(lambda outcome: "procedure/wipe-lid.html" in outcome.changed, after=1)
        assert [changed for changed, _ in watched.builds] == [(), ("lid.yaml",)]


def test_editors_that_write_by_renaming_are_followed(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        # One writes a new file and moves it over the old; another moves the old one away first.
        (library / "hinge.yaml.new").write_text(BAD, encoding="utf-8")
        (library / "hinge.yaml.new").replace(library / "hinge.yaml")
        watched.wait(is_colour)
        (library / "hinge.yaml").rename(library / "hinge.yaml~")
        (library / "hinge.yaml").write_text(GOOD, encoding="utf-8")
        watched.wait(is_clean, after=1)
        # The same length and the same time: only the file itself is another.
        status = (library / "hinge.yaml").stat()
        (library / "next").write_text(GOOD.replace("two", "six"), encoding="utf-8")
        os.utime(library / "next", ns=(status.st_atime_ns, status.st_mtime_ns))
        (library / "next").replace(library / "hinge.yaml")
        watched.wait(lambda _: "six drops" in page(out))


@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xfe\x00broken\x00", b"procedure: [", b"\t\t- : {", b"a: " + b"[" * 5000, GOOD.encode()[:31]],
    ids=["empty", "no text", "open bracket", "tabs", "deep", "cut off"],
)
def test_a_broken_file_is_a_finding_and_the_next_save_mends_it(content: bytes, library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        (library / "hinge.yaml").write_bytes(content)
        watched.wait(lambda outcome: bool(outcome.findings), after=1)
        (library / "hinge.yaml").write_text(GOOD, encoding="utf-8")
        watched.wait(is_clean, after=2)
        assert "two drops" in page(out)


def test_folders_that_are_removed_and_made_again_are_followed(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        for round_ in ("first", "second"):
            builds = len(watched.builds)
            write(library / "deep" / "er", {"lid.yaml": f"procedure: wipe-lid\nsteps:\n  - do: Wipe {round_}.\n"})
            watched.wait(lambda outcome: "procedure/wipe-lid.html" in outcome.changed, after=builds)
            assert f"Wipe {round_}." in (out / "procedure" / "wipe-lid.html").read_text(encoding="utf-8")
            builds = len(watched.builds)
            shutil.rmtree(library / "deep")
            watched.wait(lambda _: not (out / "procedure" / "wipe-lid.html").exists(), after=builds)


def test_a_library_that_vanishes_leaves_the_manual_as_it_was_and_is_followed_when_it_is_back(
    library: Path, out: Path, tmp_path: Path
) -> None:
    with watching(library, out) as watched:
        before = page(out)
        shutil.rmtree(library)
        watched.wait(lambda outcome: "is not there" in outcome.problem)
        assert page(out) == before
        write(library, {"hinge.yaml": GOOD.replace("two", "four")})
        watched.wait(lambda outcome: not outcome.problem and "four drops" in page(out))
        # Moved away and back, it is the same folder; and it is still watched.
        library.rename(tmp_path / "away")
        watched.wait(lambda outcome: "is not there" in outcome.problem)
        (tmp_path / "away").rename(library)
        watched.wait(is_clean)
        (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
        watched.wait(is_colour)


def test_thousands_of_events_make_a_few_builds(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        for number in range(3000):
            (library / f"note-{number % 300}.txt").write_text(str(number), encoding="utf-8")
        (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
        watched.wait(is_colour)
        assert len(watched.builds) < 30
        assert len(watched.builds[-1][0]) <= 301


def test_without_events_from_the_system_it_looks_by_itself(
    library: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "inotify watch limit reached")

    monkeypatch.setattr("watchdog.observers.api.BaseObserver.start", refuse)
    with watching(library, out) as watched:
        (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
        watched.wait(is_colour)


def test_a_manual_that_somebody_deletes_is_written_again(library: Path, out: Path) -> None:
    with watching(library, out) as watched:
        shutil.rmtree(out)
        watched.wait(lambda outcome: MANIFEST not in outcome.changed and (out / "index.html").exists(), after=1)
        assert watched.get("/")[0] == 200


def test_a_file_in_the_way_is_named_and_when_it_is_gone_the_manual_is_written(library: Path, out: Path) -> None:
    write(out, {"index.html": "my own"})
    with watching(library, out) as watched:
        assert "was not written by procgen" in watched.latest.problem
        assert (out / "index.html").read_text(encoding="utf-8") == "my own"
        (out / "index.html").unlink()
        watched.wait(is_clean, after=1)


def breaks(*_: object, **__: object) -> None:
    raise KeyError("no such key")


def test_a_fault_of_the_program_does_not_end_the_watch(
    library: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with watching(library, out) as watched:
        with monkeypatch.context() as broken:
            broken.setattr("procgen.flow.survey", breaks)
            (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
            outcome = watched.wait(lambda outcome: bool(outcome.problem))
            assert outcome.problem.startswith("procgen itself failed on this library, and the manual stays as it was")
            assert "KeyError" in outcome.problem
        watched.wait(is_colour)


def test_the_library_may_hold_the_manual(library: Path) -> None:
    with watching(library, library / "site") as watched:
        (library / "hinge.yaml").write_text(BAD, encoding="utf-8")
        watched.wait(is_colour)
        assert len(watched.builds) == 2


def test_a_changed_file_of_the_theme_is_built_and_its_mistake_is_a_problem_until_it_is_mended(
    library: Path, out: Path, tmp_path: Path
) -> None:
    house = write(tmp_path / "house", {"styles/house.css": "h1 { color: green; }\n"})
    with watching(library, out, house) as watched:
        assert "theme/styles/house.css" in page(out)
        (house / "styles" / "house.css").write_text("h1 { color: navy; }\n", encoding="utf-8")
        outcome = watched.wait(is_clean, after=1)
        assert (watched.builds[-1][0], outcome.changed) == (("house/styles/house.css",), ("theme/styles/house.css",))
        write(house, {"templates/words.html": "{% if %}"})
        outcome = watched.wait(lambda outcome: bool(outcome.problem))
        assert "The theme's template cannot be used: " in outcome.problem
        shutil.rmtree(house / "templates")
        watched.wait(is_clean)
        # A theme that is gone leaves the manual as it was, and is followed when it is back.
        house.rename(tmp_path / "away")
        watched.wait(lambda outcome: "house is not a folder" in outcome.problem)
        assert "theme/styles/house.css" in page(out)
        (tmp_path / "away").rename(house)
        watched.wait(is_clean)
        (house / "styles" / "house.css").write_text("h1 { color: teal; }\n", encoding="utf-8")
        watched.wait(lambda outcome: outcome.changed == ("theme/styles/house.css",))


def test_no_thread_outlives_the_watch(library: Path, out: Path) -> None:
    before = set(threading.enumerate())
    with watching(library, out) as watched:
        assert watched.get("/")[0] == 200
        assert len(set(threading.enumerate()) - before) > 1
    assert set(threading.enumerate()) - before == set()
