"""procgen record killed at any moment: the logbook is the old one or the new one, whole."""

import os
import random
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from procgen.library.load import load
from procgen.record.record_sheet import record_sheet
from tests.sheet.boat import BOAT
from tests.sheet.filled import filled, save
from tests.written import write

ROOT = Path(__file__).parents[2]
SEED = 20261101
KILLS = 12


def start(record: Path, boat: Path) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    process = subprocess.Popen(
        [sys.executable, str(Path(__file__).with_name("enter.py")), str(record), str(boat)],
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    )
    assert process.stdout
    assert process.stdout.readline() == "ready\n"
    return process


@pytest.fixture
def record(tmp_path: Path) -> Path:
    boat = write(tmp_path / "boat", BOAT)
    return save(filled(load(boat).library, job="belt-of-one", meter="120"), tmp_path / "record.json")


def test_a_logbook_is_old_or_new_and_whole_whenever_the_writer_is_killed(record: Path, tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    logbook = boat / "fleet/one.yaml"
    old = logbook.read_bytes()
    whole = start(record, boat)
    began = time.monotonic()
    assert whole.communicate(timeout=120)[0] == "Entered"
    takes = time.monotonic() - began
    new = logbook.read_bytes()
    draw = random.Random(SEED)  # noqa: S311 - no secret
    seen = []
    for _ in range(KILLS):
        logbook.write_bytes(old)
        process = start(record, boat)
        try:
            process.wait(timeout=draw.uniform(0.0, takes))
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
        process.communicate(timeout=120)
        seen.append(logbook.read_bytes())
        assert seen[-1] in (old, new)
        assert load(boat).findings == (), "what a killed writer leaves is no part of the library"
    assert old in seen, f"no writer was killed before it wrote; seed {SEED}"


def test_the_moment_between_staging_and_moving_leaves_the_old_one(
    record: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class KilledError(BaseException):
        """As a kill: nothing after it runs."""

    def killed(*_: object) -> None:
        raise KilledError

    boat = tmp_path / "boat"
    old = (boat / "fleet/one.yaml").read_bytes()
    monkeypatch.setattr(Path, "replace", killed)
    with pytest.raises(KilledError):
        record_sheet(record, boat, date(2026, 11, 1))
    assert (boat / "fleet/one.yaml").read_bytes() == old


def test_two_writers_at_once_leave_one_entry(record: Path, tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    both = [start(record, boat), start(record, boat)]
    said = sorted(process.communicate(timeout=120)[0].strip() for process in both)
    assert said == ["AlreadyThere", "Entered"]
    assert len(load(boat).library.logbooks["one"].entries) == 2
