"""Published tables for the tests: CSV files of tests/reference, whose # heads name the source."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

Rows = list[dict[str, str]]

REFERENCE = Path(__file__).parent.parent / "reference"


def published_rows(name: str) -> Rows:
    lines = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.fixture
def published() -> Callable[[str], Rows]:
    """Reads one table: a dict per row."""
    return published_rows
