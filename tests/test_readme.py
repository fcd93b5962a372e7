"""What README.md says is true: its commands are in the program, its example library does what it says."""

import re
from pathlib import Path

import pytest

from procgen.cli import cli, main
from tests.written import lines

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
OIL = re.search(r"<!-- test: oil -->\n```yaml\n(.*?)```", README, re.DOTALL)


def oil() -> str:
    assert OIL
    return OIL[1]


def test_the_table_lists_every_command() -> None:
    named = re.findall(r"^\| `procgen (\w+)", README, re.MULTILINE)
    assert sorted(named) == sorted(cli.commands)


def test_the_first_procedure_is_clean_and_builds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("oil").mkdir()
    Path("oil/change-the-oil.yaml").write_text(oil(), encoding="utf-8")
    assert lines(oil()) == []
    assert main(["build", "oil", "--out", "oil-manual"]) == 0
    assert Path("oil-manual/index.html").is_file()


def test_forgetting_the_last_step_is_found_as_the_text_says() -> None:
    without_filling = oil()[: oil().index("  - fill: engine-oil")]
    (found,) = lines(without_filling)
    assert "left-undone" in found
    assert "drained" in found


def test_ten_times_the_torque_is_found_as_the_text_says() -> None:
    (found,) = lines(oil().replace("torque: 35 N·m", "torque: 350 N·m"))
    assert "torque-over-yield" in found
    assert "137 N·m is the most that it takes" in found
