"""A git repository with a library in it, as people have one, and the project as a repository that theirs may name."""

import os
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

PROJECT = Path(__file__).parent.parent.parent
PUBLISHED = ("procgen", "themes", "pyproject.toml", "README.md", "LICENSE", ".pre-commit-hooks.yaml")
"""What of the project is needed to install it."""


def environment(**more: str) -> Mapping[str, str]:
    """The test's own, without a word of the repository in which the tests run or of how its owner sets up git."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return kept | {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"} | more


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkout:
    """A git repository that somebody works in."""

    folder: Path
    environment: Mapping[str, str]

    def run(self, *command: str | Path) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [str(part) for part in command],
            cwd=self.folder,
            env=self.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )

    def git(self, *arguments: str) -> str:
        """What git says. Fails where git does."""
        done = self.run("git", "-c", "user.name=A", "-c", "user.email=a@example.org", *arguments)
        assert done.returncode == 0, done.stdout
        return done.stdout.strip()

    def commit(self) -> subprocess.CompletedProcess[str]:
        """Try to commit everything that there is."""
        self.git("add", "--all")
        return self.try_commit()

    def try_commit(self) -> subprocess.CompletedProcess[str]:
        """Try to commit what is staged."""
        return self.run("git", "-c", "user.name=A", "-c", "user.email=a@example.org", "commit", "--message=a")


def checkout(folder: Path, **more: str) -> Checkout:
    """A new repository in `folder`."""
    folder.mkdir(exist_ok=True)
    made = Checkout(folder=folder, environment=environment(**more))
    made.git("init", "--quiet", "--initial-branch=main")
    return made


def published(folder: Path) -> str:
    """The project as it is now, as a repository of its own in `folder`. Gives the id of its one commit."""
    repository = checkout(folder)
    for name in PUBLISHED:
        source = PROJECT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, folder / name)
    assert repository.commit().returncode == 0
    return repository.git("rev-parse", "HEAD")
