"""The board of the demo fleet, kept as it is read.

`GOLDEN=write pytest tests/upkeep/test_demo_board.py` writes it anew; read the difference before it is committed.
"""

import os
from datetime import date
from pathlib import Path

from procgen.library.load import load
from procgen.report.due_text import due_text
from procgen.upkeep.due import due

KEPT = Path(__file__).parent / "golden" / "demo-board.txt"
DEMO = Path(__file__).parent.parent.parent / "procedures"


def test_the_board_of_the_demo_fleet_reads_as_it_did() -> None:
    board = due_text("procedures", due(load(DEMO).library, date(2026, 11, 1)), colour=False)
    if os.environ.get("GOLDEN") == "write":
        KEPT.parent.mkdir(exist_ok=True)
        KEPT.write_text(board, encoding="utf-8", newline="\n")
    assert board == KEPT.read_text(encoding="utf-8")


def test_launch_twos_belt_is_due_by_its_years_long_before_it_is_due_by_its_hours() -> None:
    """What the demo library tells in words, in its job: 672 h on the belt, and five and a half years."""
    (launch,) = (each for each in due(load(DEMO).library, date(2026, 11, 1)) if each.logbook.address.id == "launch-two")
    belt = next(work for work in launch.work if work.item.address.id == "timing-belt")
    hours, years = belt.limits
    assert belt.bites is years
    assert belt.due_on == date(2026, 5, 9)
    assert hours.due_on is not None
    assert hours.due_on.year >= 2032
    assert [job.address.id for job in belt.planned] == ["launch-two-belt"]
