"""The package as people get it: built once, installed alone in an empty environment, with its themes and schemas."""

import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

PROJECT = Path(__file__).parent.parent


def run(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run([str(part) for part in command], cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, PROJECT, cwd=folder)
    (found,) = folder.glob("*.whl")
    return found


def test_the_wheel_carries_themes_schemas_help_and_starter(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for wanted in (
        "procgen/py.typed",
        "procgen/themes/workshop/templates/procedure.html",
        "procgen/themes/workshop/styles/print.css",
        "procgen/library/schemas/procedure.schema.json",
        "procgen/checks/help/blocked.md",
        "procgen/starter/library/pump/renew-impeller.yaml",
    ):
        assert wanted in names
    assert [name for name in names if not name.startswith(("procgen/", "procgen-"))] == []


def test_the_installed_wheel_starts_checks_and_builds_a_library(wheel: Path, tmp_path: Path) -> None:
    venv.create(tmp_path / "env", with_pip=True)
    programs = tmp_path / "env" / ("Scripts" if sys.platform == "win32" else "bin")
    run(programs / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", wheel, cwd=tmp_path)
    run(programs / "procgen", "new", "mine", cwd=tmp_path)
    assert run(programs / "procgen", "check", "mine", cwd=tmp_path) == "mine: nothing found\n"
    run(programs / "procgen", "build", "mine", "--out", "manual", cwd=tmp_path)
    assert (tmp_path / "manual" / "index.html").is_file()
    assert (tmp_path / "manual" / "theme" / "styles" / "print.css").is_file()


def test_two_builds_of_the_wheel_are_the_same_bytes(wheel: Path, tmp_path: Path) -> None:
    run(sys.executable, "-m", "build", "--wheel", "--outdir", tmp_path, PROJECT, cwd=tmp_path)
    assert (tmp_path / wheel.name).read_bytes() == wheel.read_bytes()
