"""The package as people get it: built the same each time, installed alone in an empty environment, and used there."""

import os
import shutil
import subprocess
import sys
import venv
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

PROJECT = Path(__file__).parent.parent


def run(*command: str | Path, cwd: Path) -> str:
    """What a command says on its output. Fails where it does."""
    done = subprocess.run(
        [str(part) for part in command], cwd=cwd, env=environment(), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def environment() -> Mapping[str, str]:
    """The test's own, without what would lead Python to the project's folder."""
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """What is given out."""

    source: Path
    wheel: Path


def build(project: Path, folder: Path) -> Package:
    """The source archive of `project`, and the wheel that is built from that archive."""
    folder.mkdir(exist_ok=True)
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", folder, project, cwd=folder)
    (source,), (wheel,) = folder.glob("*.tar.gz"), folder.glob("*.whl")
    return Package(source=source, wheel=wheel)


@pytest.fixture(scope="module")
def package(tmp_path_factory: pytest.TempPathFactory) -> Package:
    return build(PROJECT, tmp_path_factory.mktemp("package"))


def test_the_wheel_carries_themes_schemas_help_and_starter(package: Package) -> None:
    names = zipfile.ZipFile(package.wheel).namelist()
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


def test_two_builds_are_the_same_bytes_and_so_is_one_from_the_source_archive(package: Package, tmp_path: Path) -> None:
    again = build(PROJECT, tmp_path / "again")
    assert again.source.read_bytes() == package.source.read_bytes()
    assert again.wheel.read_bytes() == package.wheel.read_bytes()
    # Whoever unpacks the source has what it takes to make it again.
    shutil.unpack_archive(package.source, tmp_path, filter="data")
    unpacked = build(tmp_path / package.source.name.removesuffix(".tar.gz"), tmp_path / "from-source")
    assert unpacked.source.read_bytes() == package.source.read_bytes()
    assert unpacked.wheel.read_bytes() == package.wheel.read_bytes()


def test_the_source_archive_installs_as_the_wheel_does(
    package: Package,
    tmp_path: Path,
    pip_installs: None,  # noqa: ARG001 - what builds it is installed
) -> None:
    pip = (sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check")
    for name, archive in (("source", package.source), ("wheel", package.wheel)):
        run(*pip, "--no-deps", "--no-compile", "--target", tmp_path / name, archive, cwd=tmp_path)
    assert installed(tmp_path / "source") == installed(tmp_path / "wheel")


def installed(folder: Path) -> dict[str, bytes]:
    files = (path for path in (folder / "procgen").rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.fixture(scope="module")
def programs(
    package: Package,
    tmp_path_factory: pytest.TempPathFactory,
    pip_installs: None,  # noqa: ARG001 - what the program needs is installed
) -> Path:
    """Where the programs are of an environment with the wheel and what it asks for, and nothing else."""
    folder = tmp_path_factory.mktemp("empty")
    venv.create(folder / "env", with_pip=True)
    found = folder / "env" / ("Scripts" if sys.platform == "win32" else "bin")
    pip = (found / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check")
    run(*pip, package.wheel, cwd=folder)
    return found


def test_the_installed_wheel_needs_nothing_of_the_project(programs: Path, tmp_path: Path) -> None:
    where = "import procgen.manual.theme as theme; print(theme.__file__); print(theme.themes_folder())"
    for path in run(programs / "python", "-c", where, cwd=tmp_path).splitlines():
        assert programs.parent in Path(path).parents
    run(programs / "python", "-m", "pip", "check", cwd=tmp_path)


def test_the_installed_wheel_starts_checks_and_builds_a_library(programs: Path, tmp_path: Path) -> None:
    run(programs / "procgen", "new", "mine", cwd=tmp_path)
    assert run(programs / "procgen", "check", "mine", cwd=tmp_path) == "mine: nothing found\n"
    run(programs / "procgen", "build", "mine", "--out", "manual", "--theme", "pocket", cwd=tmp_path)
    assert (tmp_path / "manual" / "index.html").is_file()
    assert (tmp_path / "manual" / "theme" / "styles" / "print.css").is_file()
    assert (tmp_path / "manual" / "theme" / "styles" / "pocket.css").is_file()


def test_the_installed_wheel_builds_the_manual_of_the_demo_as_the_project_does(programs: Path, tmp_path: Path) -> None:
    shutil.copytree(PROJECT / "procedures", tmp_path / "procedures")
    here = (
        sys.executable,
        "-c",
        f"import sys; sys.path.insert(0, {str(PROJECT)!r}); from procgen.cli import run; run()",
    )
    on = ("--on", "2026-11-01")
    run(programs / "procgen", "build", "procedures", "--out", "installed", *on, cwd=tmp_path)
    run(*here, "build", "procedures", "--out", "project", *on, cwd=tmp_path)
    assert pages(tmp_path / "installed") == pages(tmp_path / "project")


def pages(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
