"""`procgen watch` as a person runs it: what it says, and how it ends."""

import http.client
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from procgen.cli import main
from tests.watch.watched import BAD, GOOD, TIME_OUT_S
from tests.written import write

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a signal cannot be sent to one process alone")


@contextmanager
def running(folder: Path, *options: str) -> Iterator[subprocess.Popen[str]]:
    """The command on the library in `folder`."""
    command = [sys.executable, "-c", "from procgen.cli import run; run()", "watch", "library", *options]
    process = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def said(process: subprocess.Popen[str], pattern: str) -> re.Match[str]:
    """Read what it says until a line matches."""
    assert process.stderr
    lines = []
    for line in process.stderr:
        lines.append(line)
        if match := re.search(pattern, line):
            return match
    raise AssertionError(lines)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_says_where_the_manual_is_and_ends_in_order_when_asked_to(number: signal.Signals, tmp_path: Path) -> None:
    write(tmp_path / "library", BAD)
    with running(tmp_path, "--on", "2026-11-01") as process:
        port = int(said(process, r"http://127\.0\.0\.1:(\d+)/")[1])
        said(process, r"\d\d:\d\d:\d\d  \d+ files of the manual changed")
        # A page that listens must not keep it.
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=TIME_OUT_S)
        connection.request("GET", "/-watch/news")
        assert connection.getresponse().readline() == b"event: build\n"
        process.send_signal(number)
        out, err = process.communicate(timeout=TIME_OUT_S)
        assert process.returncode == 0
        assert "unknown-key" in out
        assert err == ""


def test_it_can_be_stopped_while_it_builds(tmp_path: Path) -> None:
    write(tmp_path / "library", {f"p{n}.yaml": GOOD.replace("grease-hinge", f"grease-{n}") for n in range(150)})
    with running(tmp_path, "--on", "2026-11-01") as process:
        said(process, "Watching library")
        process.send_signal(signal.SIGTERM)
        _, err = process.communicate(timeout=TIME_OUT_S)
        assert (process.returncode, err) == (0, "")
    assert main(["build", str(tmp_path / "library"), "--out", str(tmp_path / "site"), "--on", "2026-11-01"]) == 0


def test_a_taken_port_and_an_unfit_folder_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    library = write(tmp_path / "library", GOOD)
    site = ["--out", str(tmp_path / "site")]
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["watch", str(library), *site, "--port", str(port)]) == 2
    assert f"Port {port} is taken by another program." in capsys.readouterr().err
    assert main(["watch", str(library), "--out", str(library)]) == 2
    assert "is the library itself" in capsys.readouterr().err
    assert main(["watch", str(library), *site, "--theme", "velvet"]) == 2
    assert capsys.readouterr().err.startswith('There is no theme and no folder "velvet".')
    assert main(["watch", str(library), *site, "--theme", str(library)]) == 2
    assert "has no templates, styles or scripts" in capsys.readouterr().err
    for port_ in ("0", "70000", "-1", "many"):
        assert main(["watch", str(library), *site, "--port", port_]) == 2
