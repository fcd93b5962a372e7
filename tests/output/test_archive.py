"""The manual in one file: the same bytes for the same manual, and nobody else's file in its place."""

import os
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

from procgen.manual.page import Page
from procgen.output.archive import write_zip
from procgen.output.error import OutputError
from procgen.output.write import WriteResult, write_site

PAGES = {"index.html": "front", "tool/spanner.html": "spanner"}


def written(folder: Path, pages: Mapping[str, str] = PAGES) -> WriteResult:
    library = folder.parent / "library"
    library.mkdir(exist_ok=True)
    return write_site([Page(path, text) for path, text in pages.items()], folder, library)


def test_the_same_manual_gives_the_same_bytes_wherever_and_whenever_it_is_made(tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    (tmp_path / "there").mkdir()
    first = write_zip(written(tmp_path / "here/site"), "Club manual")
    manual = written(tmp_path / "there/another", dict(reversed(PAGES.items())))
    os.utime(manual.folder / "index.html", (0, 0))
    (manual.folder / "index.html").chmod(0o600)
    second = write_zip(manual, "Club manual")
    assert first.read_bytes() == second.read_bytes()
    assert (first.name, second.name) == ("site.zip", "another.zip")


def test_it_unpacks_to_one_folder_named_after_the_manual_with_what_the_build_wrote(tmp_path: Path) -> None:
    manual = written(tmp_path / "site")
    (manual.folder / "notes.txt").write_text("mine", encoding="utf-8")
    with zipfile.ZipFile(write_zip(manual, "Pellow Sound: workshop manual")) as archive:
        assert archive.namelist() == [
            "pellow-sound-workshop-manual/index.html",
            "pellow-sound-workshop-manual/tool/spanner.html",
        ]
        assert archive.read("pellow-sound-workshop-manual/index.html") == b"front"
        assert archive.testzip() is None


def test_its_own_zip_is_made_anew(tmp_path: Path) -> None:
    write_zip(written(tmp_path / "site"), "Club manual")
    target = write_zip(written(tmp_path / "site", {"index.html": "new"}), "Club manual")
    with zipfile.ZipFile(target) as archive:
        assert archive.read("club-manual/index.html") == b"new"


def test_a_title_without_letters_still_gives_a_folder(tmp_path: Path) -> None:
    with zipfile.ZipFile(write_zip(written(tmp_path / "site"), "手册")) as archive:
        assert archive.namelist()[0] == "manual/index.html"


@pytest.mark.parametrize("theirs", ["text", "zip", "folder", "link"])
def test_what_somebody_else_put_there_is_left_alone(tmp_path: Path, theirs: str) -> None:
    target = tmp_path / "site.zip"
    match theirs:
        case "text":
            target.write_text("mine", encoding="utf-8")
        case "zip":
            with zipfile.ZipFile(target, "w") as archive:
                archive.writestr("mine.txt", "mine")
        case "folder":
            target.mkdir()
        case _:
            target.symlink_to(tmp_path / "elsewhere.zip")
    before = sorted(path.name for path in tmp_path.iterdir())
    with pytest.raises(OutputError, match=r"site\.zip .*Move it away"):
        write_zip(written(tmp_path / "site"), "Club manual")
    assert sorted(path.name for path in tmp_path.iterdir() if path.name not in ("site", "library")) == before
