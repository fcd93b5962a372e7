"""What the tests of watching bear with."""

from pathlib import Path

import pytest

HERE = Path(__file__).parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """An observer's thread ends with an error where a folder goes while it is taken up; it is made anew."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning"))
