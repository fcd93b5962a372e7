"""A build that is killed at any moment leaves whole files only, and the next one makes good exactly what it left."""

import json
import random
import signal
import subprocess
from pathlib import Path

import pytest

from procgen.output.write import write_site
from tests.output.builds import pages, python, snapshot

SEED = 20261101
MOMENTS = 24
"""How many of the moments are tried at which a build of the small site can die."""

WRITES = """
import json, os, signal, sys
from pathlib import Path
from procgen.manual.page import Page
from procgen.output.write import write_site

out, library, moment = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
files = json.loads(sys.argv[4])
seen = 0

def watch(event, arguments):
    # Every act on the file system announces itself here before it is done.
    global seen
    if event in ("open", "os.rename", "os.remove", "os.mkdir", "os.rmdir"):
        seen += 1
        if seen == moment:
            os.kill(os.getpid(), signal.SIGKILL)

pages = [Page(path, content) for path, content in files.items()]
sys.addaudithook(watch)
write_site(pages, out, library)
print(seen)
"""

BUILDS = """
import sys
from datetime import date
from pathlib import Path
from procgen import flow
from procgen.manual import site
from procgen.output import write
print("ready", flush=True)
flow.build(Path(sys.argv[1]), Path(sys.argv[2]), on=date(2026, 11, 1), draft=True)
"""

FIRST = {
    "index.html": "first front",
    "pumps/raw.html": "first raw water pump",
    "pumps/fresh.html": "fresh water pump",
    "old/gone.html": "only in the first edition",
    "theme/page.css": "first style",
}
SECOND = {
    "index.html": "second front",
    "pumps/raw.html": "second raw water pump",
    "pumps/fresh.html": "fresh water pump",
    "new/deep/er.html": "only in the second edition",
    "theme/page.css": "second style",
}


def write(out: Path, library: Path, files: dict[str, str], moment: int = 0) -> tuple[int, str]:
    """Write a site in a process that dies at that moment. Gives how it ended, and how many moments there were."""
    process = python(WRITES, out, library, str(moment), json.dumps(files))
    said, _ = process.communicate(timeout=60)
    return process.returncode, said


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "library").mkdir()
    return tmp_path / "library"


def moments(library: Path, scratch: Path) -> int:
    """How many acts on the file system a build of the second edition over the first is made of."""
    write_site(pages({path: text.encode() for path, text in FIRST.items()}), scratch, library)
    status, said = write(scratch, library, SECOND)
    assert status == 0
    return int(said)


def test_a_build_killed_at_any_act_leaves_whole_files_and_the_next_one_repairs(library: Path, tmp_path: Path) -> None:
    clean = tmp_path / "clean"
    write_site(pages({path: text.encode() for path, text in SECOND.items()}), clean, library)
    count = moments(library, tmp_path / "counted")
    assert count > MOMENTS
    for moment in sorted(random.Random(SEED).sample(range(1, count + 1), MOMENTS)):  # noqa: S311 - no secret
        out = tmp_path / f"killed-at-{moment}"
        write_site(pages({path: text.encode() for path, text in FIRST.items()}), out, library)
        (out / "pumps" / "notes.txt").write_text("mine", encoding="utf-8")

        assert write(out, library, SECOND, moment)[0] == -signal.SIGKILL
        for path, content in snapshot(out).items():
            if not path.startswith(".procgen-") and path != "pumps/notes.txt":
                assert content.decode() in (FIRST.get(path), SECOND.get(path)), (moment, path)

        write_site(pages({path: text.encode() for path, text in SECOND.items()}), out, library)
        assert snapshot(out) == snapshot(clean) | {"pumps/notes.txt": b"mine"}, moment


def test_a_killed_build_is_undone_by_a_build_of_the_edition_before(library: Path, tmp_path: Path) -> None:
    first = pages({path: text.encode() for path, text in FIRST.items()})
    write_site(first, tmp_path / "clean", library)
    staged = 0
    for moment in range(8, 20, 2):
        out = tmp_path / f"killed-at-{moment}"
        write_site(first, out, library)
        assert write(out, library, SECOND, moment)[0] == -signal.SIGKILL
        staged += (out / ".procgen-staged").exists()
        write_site(first, out, library)
        assert snapshot(out) == snapshot(tmp_path / "clean"), moment
    assert staged, "no build was killed while it wrote a file"


def test_builds_that_are_killed_one_after_the_other_are_repaired_by_the_first_that_ends(
    library: Path, tmp_path: Path
) -> None:
    out, clean = tmp_path / "out", tmp_path / "clean"
    write_site(pages({path: text.encode() for path, text in SECOND.items()}), clean, library)
    for moment in (9, 14, 12, 20):
        assert write(out, library, {**FIRST, "index.html": f"front {moment}"}, moment)[0] == -signal.SIGKILL
    write_site(pages({path: text.encode() for path, text in SECOND.items()}), out, library)
    assert snapshot(out) == snapshot(clean)


def test_a_journal_that_breaks_off_within_a_line_spoils_no_later_line(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert write(out, library, FIRST, 9)[0] == -signal.SIGKILL
    with (out / ".procgen-journal").open("ab") as journal:
        journal.write(b"0123456789abcdef")
    # This one dies too, so that only the journal knows what it wrote.
    assert write(out, library, SECOND, 12)[0] == -signal.SIGKILL
    write_site(pages({path: text.encode() for path, text in FIRST.items()}), out, library)
    assert snapshot(out).keys() - {".procgen-manifest.json"} == FIRST.keys()


def test_a_page_that_a_power_cut_left_empty_is_written_again(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    files = pages({path: text.encode() for path, text in FIRST.items()})
    write_site(files, out, library)
    (out / "index.html").write_bytes(b"")
    assert write_site(files, out, library).written == ("index.html",)
    assert snapshot(out)["index.html"] == b"first front"


def test_a_build_of_a_library_killed_at_any_time_is_repaired_by_the_next(tmp_path: Path) -> None:
    library = Path(__file__).parent.parent.parent / "procgen" / "starter" / "library"
    clean, out = tmp_path / "clean", tmp_path / "out"
    whole = python(BUILDS, library, clean)
    assert whole.communicate(timeout=60) == ("ready\n", "")
    random_ = random.Random(SEED)  # noqa: S311 - no secret
    for _ in range(6):
        process = python(BUILDS, library, out)
        assert process.stdout
        assert process.stdout.readline() == "ready\n"
        try:
            process.wait(timeout=random_.uniform(0.0, 0.6))
        except subprocess.TimeoutExpired:
            process.kill()
        process.communicate(timeout=60)
    last = python(BUILDS, library, out)
    assert last.communicate(timeout=60) == ("ready\n", "")
    assert snapshot(out) == snapshot(clean)
