"""Whatever a person types by mistake is answered by a sentence that says what to do, never by a traceback."""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from procgen.cli import main
from tests.written import write

GOOD = "procedure: grease-hinge\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"
BAD = GOOD + "    größe≥: 3\n"
LONG = "x" * 300


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write(Path("library"), GOOD)


def said(capsys: pytest.CaptureFixture[str], *argv: str) -> str:
    """What is said about a command that cannot run."""
    assert main(argv) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    return captured.err


COMMANDS = (("check",), ("build",), ("due",), ("watch",), ("plan", "belt"), ("record", "library/library.yaml"))


@pytest.mark.parametrize("command", COMMANDS)
def test_a_library_that_is_not_there(command: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, *command, "nowhere") == (
        "Error: There is no folder nowhere. Name the folder of your library; `procgen new FOLDER` starts a small one.\n"
    )
    assert said(capsys, *command).startswith("Error: There is no folder procedures.")
    assert said(capsys, *command, LONG).startswith(f"Error: There is no folder {LONG}.")


@pytest.mark.parametrize("command", COMMANDS)
def test_a_file_in_place_of_a_library(command: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, *command, "library/library.yaml") == (
        "Error: library/library.yaml is a file. A library is a folder: name the one that it lies in.\n"
    )


def test_a_folder_without_a_library_is_not_called_faultless(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("pictures"), {"a.png": b""})
    for command in COMMANDS:
        if command != ("watch",):
            assert said(capsys, *command, "pictures") == (
                "Error: There is no .yaml file in pictures. Name the folder of your library.\n"
            )
    # A watch waits for the first file: here it gets as far as the port.
    with socket.create_server(("127.0.0.1", 0)) as taken:
        assert "is taken by another program" in said(capsys, "watch", "pictures", "--port", str(taken.getsockname()[1]))


def test_a_library_that_may_not_be_read(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may read everything
    assert said(capsys, "check", "library") == (
        "Error: The folder library cannot be looked into: you have no permission.\n"
    )


@pytest.mark.parametrize("command", ["build", "watch"])
def test_a_theme_that_is_none(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("velvet", "nowhere/velvet", "library/library.yaml", LONG, ""):
        assert said(capsys, command, "library", "--theme", name) == (
            f'There is no theme and no folder "{name}". The program comes with: pocket, workshop.\n'
        )
    assert "would change nothing" in said(capsys, command, "library", "--theme", "library")


@pytest.mark.skipif(sys.platform == "win32", reason="links need a permission there")
@pytest.mark.parametrize("command", ["build", "watch"])
def test_a_manual_in_a_folder_that_leads_nowhere(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("ring").symlink_to("ring")
    assert said(capsys, command, "library", "--out", "ring") == (
        "ring cannot be looked into: its links lead round in a ring. Name another folder for the manual.\n"
    )
    assert "File name too long" in said(capsys, command, "library", "--out", LONG)


def test_a_job_that_is_none(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "plan", "belt", "library") == (
        'There is no job "belt": the library has none. Try: procgen explain job\n'
    )
    write(Path("library"), {"pump.yaml": "job: pump\n"})
    assert said(capsys, "plan", "belt", "library") == 'There is no job "belt": there is pump.\n'
    assert said(capsys, "plan", "pmup", "library") == 'There is no job "pmup": did you mean "pump"?\n'


def test_a_new_library_where_a_file_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "new", "library/library.yaml") == "library/library.yaml is a file. Name a new folder.\n"


def run(*argv: str, **settings: object) -> subprocess.CompletedProcess[bytes]:
    """The program by itself, with an output of its own."""
    command = [sys.executable, "-c", "from procgen.cli import run; run()", *argv]
    options: dict[str, object] = {"stdout": subprocess.PIPE, **settings}
    return subprocess.run(command, stderr=subprocess.PIPE, check=False, **options)  # type: ignore[call-overload,no-any-return]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
def test_an_answer_for_which_there_is_no_room() -> None:
    with Path("/dev/full").open("wb") as full:
        done = run("check", "library", stdout=full)
    assert (done.returncode, done.stderr) == (2, b"This cannot go on: No space left on device.\n")


def test_a_terminal_that_has_not_every_letter_gets_a_question_mark_and_a_program_gets_utf_8() -> None:
    write(Path("library"), BAD)
    old = dict(os.environ) | {"PYTHONIOENCODING": "cp1252"}
    done = run("check", "library", env=old)
    assert done.returncode == 1
    assert "größe?".encode("cp1252") in done.stdout
    assert done.stderr == b""
    for form in ("json", "sarif"):
        done = run("check", "library", "--format", form, env=old)
        assert "größe≥" in done.stdout.decode("utf-8")
        json.loads(done.stdout)
