"""What stands in the way of writing: said in a sentence, and nothing of anybody else's is touched."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from procgen.cli import main
from procgen.output.error import OutputError
from procgen.output.write import write_site
from tests.output.builds import pages, python, snapshot
from tests.written import write

SITE = pages({"index.html": b"front", "pumps/raw.html": b"raw water pump"})

WRITES_AS_NOBODY = """
import sys
from pathlib import Path
from procgen.manual.page import Page
from procgen.output.error import OutputError
from procgen.output.write import write_site
# become nobody
try:
    write_site([Page("index.html", "front"), Page("pumps/raw.html", "raw")], Path(sys.argv[1]), Path(sys.argv[2]))
except OutputError as error:
    print(error)
"""


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return write(tmp_path / "library", "procedure: one\n")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 64 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)]
    try:
        mounted = subprocess.run(command, capture_output=True, text=True, check=False)
    except OSError as problem:
        pytest.skip(f"a small file system cannot be mounted here: {problem}")
    if mounted.returncode:
        pytest.skip(f"a small file system cannot be mounted here: {mounted.stderr.strip()}")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_is_said_and_the_next_build_makes_it_good(small_disk: Path, library: Path, tmp_path: Path) -> None:
    out, filler = small_disk / "site", small_disk / "filler"
    site = pages({"index.html": b"front", "a.html": b"a" * 9000, "b.html": b"b" * 9000})
    filler.write_bytes(b"." * 48_000)
    with pytest.raises(OutputError, match=r"No space left on device"):
        write_site(site, out, library)
    assert {path: len(content) for path, content in snapshot(out).items() if path.endswith(".html")} == {
        "index.html": 5
    }
    filler.unlink()
    write_site(site, out, library)
    write_site(site, tmp_path / "clean", library)
    assert snapshot(out) == snapshot(tmp_path / "clean")


def test_a_disk_that_is_full_from_the_start_stops_the_command_with_a_sentence(
    small_disk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = write(small_disk / "library", "procedure: one\nsteps:\n  - do: Wipe the lid.\n")
    with suppress(OSError):  # full is what it is to be
        (small_disk / "filler").write_bytes(b"." * 64_000)
    assert main(["build", str(library), "--out", str(small_disk / "site"), "--on", "2026-11-01"]) == 2
    assert "No space left on device" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only the superuser can become somebody else")
@pytest.mark.parametrize("guarded", ["parent", "folder", "page folder", "unreadable folder", "unreadable page"])
def test_a_lack_of_permission_is_said(guarded: str, library: Path, tmp_path: Path) -> None:
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(0o755)
    out = tmp_path / "shelf" / "site"
    write(out, {"pumps/mine.txt": "mine", "index.html": "front"})
    for folder in (out.parent, out, out / "pumps"):
        folder.chmod(0o777)
    match guarded:
        case "parent":
            out = tmp_path / "shelf" / "other"
            out.parent.chmod(0o755)
        case "folder":
            out.chmod(0o755)
        case "page folder":
            (out / "pumps").chmod(0o755)
        case "unreadable folder":
            out.parent.chmod(0o700)
        case "unreadable page":
            (out / "index.html").chmod(0o600)
    said, fault = python(WRITES_AS_NOBODY, out, library, as_nobody=True).communicate(timeout=60)
    assert fault == ""
    assert "Permission denied" in said
    assert str(out) in said
    for folder in (tmp_path / "shelf", tmp_path / "shelf" / "site"):
        folder.chmod(0o755)
    assert (tmp_path / "shelf" / "site" / "pumps" / "mine.txt").read_text(encoding="utf-8") == "mine"


def test_a_file_in_the_place_of_the_folder_is_left_alone(library: Path, tmp_path: Path) -> None:
    (tmp_path / "site").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputError, match="is a file"):
        write_site(SITE, tmp_path / "site", library)
    with pytest.raises(OutputError):
        write_site(SITE, tmp_path / "site" / "below", library)
    assert (tmp_path / "site").read_text(encoding="utf-8") == "mine"


def test_a_link_to_a_folder_is_followed_and_stays_a_link(library: Path, tmp_path: Path) -> None:
    (tmp_path / "served").mkdir()
    (tmp_path / "site").symlink_to("served")
    write_site(SITE, tmp_path / "site", library)
    assert (tmp_path / "site").is_symlink()
    assert (tmp_path / "served" / "index.html").read_bytes() == b"front"


@pytest.mark.parametrize("target", ["library", ".", "site"])
def test_a_link_to_the_library_or_round_in_a_ring_is_refused(target: str, library: Path, tmp_path: Path) -> None:
    (tmp_path / "site").symlink_to(target)
    before = snapshot(library)
    with pytest.raises(OutputError):
        write_site(SITE, tmp_path / "site", library)
    assert snapshot(library) == before


@pytest.mark.parametrize("name", [".procgen-manifest.json", ".procgen-journal", ".procgen-staged", "index.html"])
def test_nothing_is_written_through_a_link_inside_the_folder(name: str, library: Path, tmp_path: Path) -> None:
    (tmp_path / "precious").write_text("mine", encoding="utf-8")
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / name).symlink_to(tmp_path / "precious")
    with pytest.raises(OutputError, match="is a link"):
        write_site(SITE, tmp_path / "site", library)
    assert (tmp_path / "precious").read_text(encoding="utf-8") == "mine"


def test_nothing_is_written_or_removed_through_a_linked_folder(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site(SITE, out, library)
    (out / "pumps").rename(tmp_path / "elsewhere")
    (out / "pumps").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OutputError, match="is a link"):
        write_site(pages({"index.html": b"front", "pumps/raw.html": b"changed"}), out, library)
    write_site(pages({"index.html": b"front"}), out, library)
    assert (tmp_path / "elsewhere" / "raw.html").read_bytes() == b"raw water pump"


@pytest.mark.skipif(os.name != "posix", reason="named pipes are a thing of POSIX")
@pytest.mark.parametrize("name", ["index.html", ".procgen-journal", ".procgen-manifest.json"])
def test_a_pipe_in_the_place_of_a_file_is_not_waited_for(name: str, library: Path, tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    os.mkfifo(tmp_path / "site" / name)
    with pytest.raises(OutputError, match="is a device or a pipe"):
        write_site(SITE, tmp_path / "site", library)


def test_a_page_that_somebody_changed_is_neither_overwritten_nor_removed(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    write_site(SITE, out, library)
    (out / "pumps" / "raw.html").write_text("my own words", encoding="utf-8")
    with pytest.raises(OutputError, match="was changed after procgen wrote it"):
        write_site(pages({"index.html": b"new", "pumps/raw.html": b"new"}), out, library)
    assert write_site(pages({"index.html": b"new"}), out, library).kept == ("pumps/raw.html",)
    assert (out / "pumps" / "raw.html").read_text(encoding="utf-8") == "my own words"


def test_a_page_that_changes_in_its_capitals_alone_leaves_no_double(library: Path, tmp_path: Path) -> None:
    write_site(pages({"Pump.html": b"old"}), tmp_path / "site", library)
    write_site(pages({"pump.html": b"new"}), tmp_path / "site", library)
    assert {path: content for path, content in snapshot(tmp_path / "site").items() if path[0] != "."} == {
        "pump.html": b"new"
    }
