"""Which files are read, whatever else lies in a library's folder, and what is said of those that cannot be."""

import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from procgen.library.files import ReadLibrary, read_library
from procgen.library.origin import Kind
from tests.written import one_line, write

STEPS = "steps: [{do: Look at it.}]\n"


def told(library: ReadLibrary) -> list[str]:
    return [one_line(finding) for finding in library.findings]


def test_every_yaml_file_is_read_in_the_order_of_the_names(tmp_path: Path) -> None:
    write(
        tmp_path,
        {
            "b/two.yaml": f"procedure: two\n{STEPS}",
            "a.yaml": "tools: {rule: {}}\n",
            "b/deep/er/one.YML": f"procedure: one\n{STEPS}",
            "b.yaml": "manual: Ours\n",
            ".git/x.yaml": "nonsense",
            "b/.hidden.yaml": "nonsense",
            "b/notes.txt": "nonsense",
            "b/figures/x.svg": "<svg/>",
        },
    )
    library = read_library(tmp_path)
    assert told(library) == []
    assert [(file.path, file.outline.kind, file.outline.id) for file in library.files] == [
        ("a.yaml", Kind.TOOL, ""),
        ("b.yaml", Kind.MANUAL, "Ours"),
        ("b/deep/er/one.YML", Kind.PROCEDURE, "one"),
        ("b/two.yaml", Kind.PROCEDURE, "two"),
    ]


def test_a_folder_can_be_left_out(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": "manual: Ours\n", "site/a.yaml": "nonsense"})
    assert told(read_library(tmp_path, [tmp_path / "site"])) == []


def test_a_folder_that_is_called_like_a_file_is_a_folder(tmp_path: Path) -> None:
    write(tmp_path, {"odd.yaml/a.yaml": "manual: Ours\n"})
    assert [file.path for file in read_library(tmp_path).files] == ["odd.yaml/a.yaml"]


def test_one_bad_file_hides_no_other(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes(b"\xff\x00\x00")
    write(tmp_path, {"b.yaml": "colour: red\n", "c.yaml": f"procedure: x\ntitle: 3\n{STEPS}", "d.yaml": ""})
    assert [line.split(" ")[0] for line in told(read_library(tmp_path))] == [
        "a.yaml:1:1",
        "a.yaml:1:2",
        "b.yaml:1:1",
        "c.yaml:2:8",
        "d.yaml:1:1",
    ]


def test_latin_1_is_reported_at_its_first_byte_and_read_as_it_was_meant(tmp_path: Path) -> None:
    text = f"procedure: x\r\ntitle: Vidange à café\r\nnote: 3\r\n{STEPS}"
    (tmp_path / "a.yaml").write_bytes(text.encode("latin-1"))
    library = read_library(tmp_path)
    assert told(library) == [
        'a.yaml:2:16 error file-unreadable: The byte 0xE0 is no UTF-8; "à" is meant?',
        'a.yaml:3:7 error wrong-type: "note" is the number 3, and it must be text.',
    ]
    assert library.files[0].data["title"] == "Vidange à café"


def test_the_column_of_a_bad_byte_counts_characters(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes("title: 22 N·m ".encode() + b"\xb0\n")
    assert "a.yaml:1:15 error file-unreadable" in " ".join(told(read_library(tmp_path)))


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_is_named_where_it_says_so(tmp_path: Path, encoding: str) -> None:
    mark = "" if encoding == "utf-16" else "\ufeff"
    (tmp_path / "a.yaml").write_bytes(f"{mark}procedure: x\n{STEPS}".encode(encoding))
    library = read_library(tmp_path)
    assert told(library) == ["a.yaml:1:1 error file-unreadable: The file is saved as UTF-16, and a library is UTF-8."]
    assert library.files[0].outline.id == "x"


def test_a_byte_order_mark_and_windows_line_ends_are_fine(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes(f"\ufeffprocedure: x\r\ntitle: 3\r\n{STEPS}".encode())
    assert told(read_library(tmp_path)) == [
        'a.yaml:2:8 error wrong-type: "title" is the number 3, and it must be text.'
    ]


def test_a_file_of_fifty_megabytes_is_refused_without_being_read(tmp_path: Path) -> None:
    with (tmp_path / "a.yaml").open("wb") as file:
        file.truncate(50_000_000)
    start = time.process_time()
    library = read_library(tmp_path)
    assert time.process_time() - start < 0.5
    assert told(library) == [
        "a.yaml:1:1 error file-unreadable: The file has 50 MB, and a file of a library has 2 MB at most."
    ]
    assert library.files[0].damaged


def test_a_ring_of_links_ends(tmp_path: Path) -> None:
    write(tmp_path, {"a/b/x.yaml": "manual: Ours\n"})
    (tmp_path / "a/b/again").symlink_to(tmp_path / "a", target_is_directory=True)
    (tmp_path / "self.yaml").symlink_to(tmp_path / "self.yaml")
    library = read_library(tmp_path)
    assert [file.path for file in library.files] == ["a/b/x.yaml"]
    assert told(library) == ["self.yaml:1:1 error file-unreadable: This is a link that leads nowhere."]


def test_a_link_to_another_file_of_the_library_is_passed_over(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": "manual: Ours\n"})
    (tmp_path / "b.yaml").symlink_to(tmp_path / "a.yaml")
    library = read_library(tmp_path)
    assert (told(library), len(library.files)) == ([], 1)


def test_a_link_that_leaves_the_library_is_not_followed(tmp_path: Path) -> None:
    write(tmp_path, {"outside/x.yaml": "manual: Theirs\n", "library/a.yaml": "manual: Ours\n"})
    (tmp_path / "library/out.yaml").symlink_to(tmp_path / "outside/x.yaml")
    (tmp_path / "library/folder").symlink_to(tmp_path / "outside", target_is_directory=True)
    library = read_library(tmp_path / "library")
    leaves = "error file-unreadable: This is a link that leads out of the library, and it is not followed: "
    assert told(library) == [
        f"folder:1:1 {leaves}a library must be whole.",
        f"out.yaml:1:1 {leaves}a library must be whole.",
    ]
    assert [file.outline.id for file in library.files] == ["Ours"]


def test_a_library_may_itself_be_reached_by_a_link(tmp_path: Path) -> None:
    write(tmp_path, {"real/a.yaml": "manual: Ours\n"})
    (tmp_path / "link").symlink_to(tmp_path / "real", target_is_directory=True)
    assert [file.path for file in read_library(tmp_path / "link").files] == ["a.yaml"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.yaml")
    assert told(read_library(tmp_path)) == [
        "a.yaml:1:1 error file-unreadable: This is no file that holds text, but a device or a pipe."
    ]


def test_a_library_that_is_not_there_is_said_not_to_be(tmp_path: Path) -> None:
    assert told(read_library(tmp_path / "nowhere")) == [
        ".:1:1 error file-unreadable: The folder cannot be looked into: it is not there."
    ]
    write(tmp_path, {"file.yaml": "manual: Ours\n"})
    assert told(read_library(tmp_path / "file.yaml")) == [
        ".:1:1 error file-unreadable: The folder cannot be looked into: it is no folder."
    ]


def test_a_name_that_is_no_text_can_still_be_shown(tmp_path: Path) -> None:
    path = os.fsencode(tmp_path) + b"/caf\xe9.yaml"
    with open(path, "w", encoding="utf-8") as file:  # noqa: PTH123 - a path of bytes
        file.write("colour: red\n")
    [line] = told(read_library(tmp_path))
    assert line.encode("utf-8").startswith(b"caf\\xe9.yaml:1:1 error unknown-key")


@contextmanager
def somebody_else() -> Iterator[None]:
    """Root may read everything; where the tests run as root, be nobody meanwhile."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


def test_what_may_not_be_read_is_reported() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = write(
            Path(name), {"a.yaml": "manual: Ours\n", "shut/b.yaml": "manual: Ours\n", "c.yaml": "manual: 3\n"}
        )
        folder.chmod(0o755)
        (folder / "a.yaml").chmod(0)
        (folder / "shut").chmod(0)
        with somebody_else():
            lines = told(read_library(folder))
        (folder / "shut").chmod(0o700)
    assert lines == [
        "a.yaml:1:1 error file-unreadable: The file cannot be read: you have no permission.",
        'c.yaml:1:9 error wrong-type: "manual" is the number 3, and it must be text.',
        "shut:1:1 error file-unreadable: The folder cannot be looked into: you have no permission.",
    ]
