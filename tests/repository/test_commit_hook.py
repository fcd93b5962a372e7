"""The hook that people name in their own repositories: an error is refused at the commit, and nothing else is."""

import sys
from pathlib import Path

import pytest
import yaml

from tests.repository.checkout import PROJECT, Checkout, checkout, published
from tests.written import write

README = (PROJECT / "README.md").read_text(encoding="utf-8")
GOOD = "procedure: grease-hinge\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"
BAD = GOOD + "    colour: red\n"
PRE_COMMIT = (sys.executable, "-m", "pre_commit")


def test_the_definition_is_valid() -> None:
    pytest.importorskip("pre_commit")
    done = Checkout(folder=PROJECT, environment={}).run(*PRE_COMMIT, "validate-manifest", ".pre-commit-hooks.yaml")
    assert (done.returncode, done.stdout) == (0, "")


@pytest.fixture(scope="module")
def hook(
    tmp_path_factory: pytest.TempPathFactory,
    pip_installs: None,  # noqa: ARG001 - the hook's environment is made with it
) -> tuple[Path, str, Path]:
    """The project's repository, its commit, and where the hook is installed once for all tests."""
    pytest.importorskip("pre_commit")
    folder = tmp_path_factory.mktemp("published")
    return folder, published(folder), tmp_path_factory.mktemp("installed")


@pytest.fixture
def library(hook: tuple[Path, str, Path], tmp_path: Path) -> Checkout:
    """A repository with a library, a remark beside it, and the hook; all committed."""
    project, commit, installed = hook
    made = checkout(tmp_path / "mine", PRE_COMMIT_HOME=str(installed))
    write(made.folder, {"procedures/hinge.yaml": GOOD, "remark.txt": "Ours.\n"})
    use_hook(made, project, commit)
    assert made.run(*PRE_COMMIT, "install").returncode == 0
    done = made.commit()
    assert done.returncode == 0, done.stdout
    return made


def use_hook(made: Checkout, project: Path, commit: str, **settings: object) -> None:
    use = {"id": "procgen-check"} | settings
    config = {"repos": [{"repo": str(project), "rev": commit, "hooks": [use]}]}
    (made.folder / ".pre-commit-config.yaml").write_text(yaml.safe_dump(config), encoding="utf-8")


def test_a_commit_with_an_error_is_refused_with_the_finding_and_a_mended_one_passes(library: Checkout) -> None:
    before = library.git("rev-parse", "HEAD")
    write(library.folder, {"procedures/hinge.yaml": BAD})
    refused = library.commit()
    assert refused.returncode != 0
    assert "check procedures" in refused.stdout
    assert "hinge.yaml:4:5  error  unknown-key\n" in refused.stdout
    assert "colour" in refused.stdout
    assert library.git("rev-parse", "HEAD") == before
    write(library.folder, {"procedures/hinge.yaml": GOOD.replace("two", "three")})
    passed = library.commit()
    assert passed.returncode == 0
    assert "Passed" in passed.stdout


def test_what_is_not_in_the_library_does_not_ask_the_hook(library: Checkout) -> None:
    write(library.folder, {"remark.txt": "Still ours.\n", "other/procedures/bad.yaml": BAD})
    done = library.commit()
    assert done.returncode == 0
    assert "Skipped" in done.stdout


def test_what_is_not_staged_is_not_judged(library: Checkout) -> None:
    write(library.folder, {"procedures/hinge.yaml": GOOD.replace("two", "three")})
    library.git("add", "--all")
    write(library.folder, {"procedures/hinge.yaml": BAD})
    done = library.try_commit()
    assert done.returncode == 0, done.stdout
    assert (library.folder / "procedures" / "hinge.yaml").read_text(encoding="utf-8") == BAD


def test_a_library_in_another_folder_is_named_where_the_hook_is_used(
    library: Checkout, hook: tuple[Path, str, Path]
) -> None:
    project, commit, _ = hook
    use_hook(library, project, commit, args=["boats"], files="^boats/")
    write(library.folder, {"boats/hinge.yaml": BAD})
    refused = library.commit()
    assert refused.returncode != 0
    assert "boats: 1 error" in refused.stdout


def test_the_reader_is_told_a_use_that_is_valid(tmp_path: Path) -> None:
    pytest.importorskip("pre_commit")
    (shown,) = [block for block in blocks() if "procgen-check" in block]
    (tmp_path / "config.yaml").write_text(shown, encoding="utf-8")
    done = Checkout(folder=tmp_path, environment={}).run(*PRE_COMMIT, "validate-config", "config.yaml")
    assert (done.returncode, done.stdout) == (0, "")
    (defined,) = yaml.safe_load((PROJECT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    (repository,) = yaml.safe_load(shown)["repos"]
    assert [use["id"] for use in repository["hooks"]] == [defined["id"]]


def blocks() -> list[str]:
    """The YAML in README.md."""
    return [part.partition("```")[0] for part in README.split("```yaml\n")[1:]]
