"""Writing a manual: whole files, only what changed, and nothing that somebody else wrote."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from procgen.manual.page import Page
from procgen.output.error import OutputError
from procgen.output.folder import JOURNAL, MANIFEST
from procgen.output.write import write_site


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "procedures"
    root.mkdir()
    (root / "manual.yaml").write_text("manual: A manual\n", encoding="utf-8")
    return root


def files(folder: Path) -> dict[str, str]:
    """Every file below a folder but the program's own list."""
    found = (file for file in folder.rglob("*") if file.is_file() and file.name != MANIFEST)
    return {file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8") for file in found}


def test_pages_are_written_with_their_folders(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    result = write_site([Page("index.html", "front"), Page("machine/m40.html", b"engine")], out, library)
    assert files(out) == {"index.html": "front", "machine/m40.html": "engine"}
    assert result.written == ("index.html", "machine/m40.html")


def test_only_what_changed_is_written_again(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("a.html", "one"), Page("b.html", "two")], out, library)
    before = (out / "a.html").stat().st_mtime_ns
    result = write_site([Page("a.html", "one"), Page("b.html", "three")], out, library)
    assert (result.written, result.unchanged) == (("b.html",), ("a.html",))
    assert (out / "a.html").stat().st_mtime_ns == before


def test_a_page_that_is_gone_is_removed_with_its_empty_folder(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("index.html", "front"), Page("old/gone.html", "old")], out, library)
    result = write_site([Page("index.html", "front")], out, library)
    assert result.removed == ("old/gone.html",)
    assert not (out / "old").exists()


def test_a_page_that_is_gone_but_was_changed_by_hand_is_kept(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("gone.html", "old")], out, library)
    (out / "gone.html").write_text("my notes", encoding="utf-8")
    result = write_site([Page("index.html", "front")], out, library)
    assert (result.removed, result.kept) == ((), ("gone.html",))
    assert (out / "gone.html").read_text(encoding="utf-8") == "my notes"


def test_a_file_of_somebody_else_is_never_overwritten(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    out.mkdir()
    (out / "index.html").write_text("my own page", encoding="utf-8")
    with pytest.raises(OutputError, match=r"index\.html was not written by procgen"):
        write_site([Page("index.html", "front")], out, library)
    assert (out / "index.html").read_text(encoding="utf-8") == "my own page"


def test_a_page_changed_by_hand_is_not_overwritten(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("index.html", "front")], out, library)
    (out / "index.html").write_text("front, with a note", encoding="utf-8")
    with pytest.raises(OutputError, match=r"index\.html was changed after procgen wrote it"):
        write_site([Page("index.html", "new front")], out, library)


def test_a_build_that_was_cut_off_is_taken_up_again(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"

    def cut_off() -> Iterator[Page]:
        yield Page("index.html", "first try")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_site(cut_off(), out, library)
    assert not (out / MANIFEST).exists()
    write_site([Page("index.html", "second try")], out, library)
    assert files(out) == {"index.html": "second try"}
    assert not (out / JOURNAL).exists()


@pytest.mark.parametrize("where", ["procedures", ".", "procedures/machines"])
def test_a_folder_where_the_library_lies_is_refused(library: Path, tmp_path: Path, where: str) -> None:
    (library / "machines").mkdir()
    (library / "machines" / "pump.yaml").write_text("machine: pump\n", encoding="utf-8")
    before = files(tmp_path)
    with pytest.raises(OutputError, match="library"):
        write_site([Page("manual.yaml", "gone")], tmp_path / where, library)
    assert files(tmp_path) == before


def test_an_empty_folder_in_the_library_will_do(library: Path) -> None:
    write_site([Page("index.html", "front")], library / "site", library)
    assert files(library / "site") == {"index.html": "front"}


def test_nothing_is_written_through_a_link(library: Path, tmp_path: Path) -> None:
    elsewhere, out = tmp_path / "elsewhere", tmp_path / "site"
    elsewhere.mkdir()
    out.mkdir()
    (out / "machine").symlink_to(elsewhere, target_is_directory=True)
    with pytest.raises(OutputError, match="link to somewhere else"):
        write_site([Page("machine/m40.html", "engine")], out, library)
    assert not list(elsewhere.iterdir())


def test_a_file_where_a_folder_is_needed_is_named(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    out.mkdir()
    (out / "machine").write_text("not a folder", encoding="utf-8")
    with pytest.raises(OutputError, match="is a file where the manual needs a folder"):
        write_site([Page("machine/m40.html", "engine")], out, library)


def test_a_file_given_as_the_folder_is_refused(library: Path, tmp_path: Path) -> None:
    (tmp_path / "site").write_text("a file", encoding="utf-8")
    with pytest.raises(OutputError, match="is a file"):
        write_site([], tmp_path / "site", library)


def test_a_list_that_cannot_be_read_stops_the_build(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("index.html", "front")], out, library)
    (out / MANIFEST).write_text("{", encoding="utf-8")
    with pytest.raises(OutputError, match="Empty the folder and build again"):
        write_site([Page("index.html", "front")], out, library)


def test_a_list_that_names_files_outside_removes_none_of_them(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page("index.html", "front")], out, library)
    text = (out / MANIFEST).read_text(encoding="utf-8").replace("index.html", "../procedures/manual.yaml")
    (out / MANIFEST).write_text(text, encoding="utf-8")
    (library / "manual.yaml").write_text("front", encoding="utf-8")
    write_site([Page("index.html", "front")], out, library)
    assert (library / "manual.yaml").read_text(encoding="utf-8") == "front"


@pytest.mark.parametrize("path", ["../up.html", "/etc/x", "a//b", "a\\b", "c:x", "", ".", MANIFEST])
def test_a_path_that_leaves_the_folder_is_a_fault_of_the_program(library: Path, tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="not a plain relative path"):
        write_site([Page(path, "x")], tmp_path / "site", library)


def test_two_pages_that_differ_only_in_capitals_are_a_fault_of_the_program(library: Path, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="share one file"):
        write_site([Page("a.html", "x"), Page("A.html", "y")], tmp_path / "site", library)


def test_no_temporary_file_is_left_behind(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site([Page(f"{n}.html", "x" * n) for n in range(20)], out, library)
    assert not list(out.glob("*.tmp"))
    assert not list(out.glob(".*.tmp"))
