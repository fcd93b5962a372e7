"""The workflow that README.md gives for people's own repositories: it is valid, and its commands do their part."""

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.repository.checkout import PROJECT, environment
from tests.written import write

README = (PROJECT / "README.md").read_text(encoding="utf-8")
SHOWN = re.search(r"<!-- test: workflow -->\n```yaml\n(.*?)```", README, re.DOTALL)
GOOD = "procedure: grease-hinge\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"
BAD = GOOD + "    colour: red\n"


def text() -> str:
    assert SHOWN
    return SHOWN[1]


def test_it_is_a_workflow(tmp_path: Path) -> None:
    pytest.importorskip("check_jsonschema")
    # The schema that its service publishes, as a package carries it.
    (tmp_path / "manual.yml").write_text(text(), encoding="utf-8")
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.github-workflows", "manual.yml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What became of the workflow's steps."""

    statuses: dict[str, int]
    """Exit status of each command that was run."""
    output: str
    uploaded: tuple[str, ...]
    """What was handed to the service."""


def run_workflow(folder: Path) -> Run:
    """Run the workflow's commands in `folder`, as the service does: after a failure only what is done even then."""
    program = folder.parent / "bin" / "procgen"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m procgen.cli "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    path = f"{program.parent}:/usr/bin:/bin"
    statuses: dict[str, int] = {}
    output, uploaded, failed = "", [], False
    for step in steps():
        if failed and step.get("if") != "${{ !cancelled() }}":
            continue
        settings = step.get("with", {})
        if handed := settings.get("sarif_file") or settings.get("path"):
            assert (folder / handed).exists(), handed
            uploaded.append(handed)
        command = step.get("run", "")
        if command.startswith("procgen "):
            ran = subprocess.run(
                ["bash", "-e", "-c", command],
                cwd=folder,
                env=environment(PATH=path, PYTHONPATH=str(PROJECT)),
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                check=False,
            )
            statuses[command] = ran.returncode
            output += ran.stdout
            failed = failed or ran.returncode != 0
    return Run(statuses=statuses, output=output, uploaded=tuple(uploaded))


def steps() -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = yaml.safe_load(text())["jobs"]["manual"]["steps"]
    return found


def findings(folder: Path) -> list[tuple[str, str, int]]:
    """Check, file and line of each finding that was uploaded."""
    (log,) = json.loads((folder / "findings.sarif").read_text(encoding="utf-8"))["runs"]
    return [
        (result["ruleId"], place["artifactLocation"]["uri"], place["region"]["startLine"])
        for result in log["results"]
        for place in [result["locations"][0]["physicalLocation"]]
    ]


def test_a_clean_library_passes_and_its_manual_is_kept(tmp_path: Path) -> None:
    write(tmp_path / "mine", {"procedures/hinge.yaml": GOOD})
    done = run_workflow(tmp_path / "mine")
    assert list(done.statuses.values()) == [0, 0]
    assert done.uploaded == ("findings.sarif", "manual")
    assert findings(tmp_path / "mine") == []
    assert (tmp_path / "mine" / "manual" / "index.html").is_file()


def test_a_faulty_library_fails_is_shown_at_its_line_and_no_manual_is_made(tmp_path: Path) -> None:
    write(tmp_path / "mine", {"procedures/hinge.yaml": BAD})
    done = run_workflow(tmp_path / "mine")
    assert list(done.statuses.values()) == [1]
    assert done.uploaded == ("findings.sarif",)
    # The address is from the top of the repository, as a code host looks it up.
    assert findings(tmp_path / "mine") == [("unknown-key", "procedures/hinge.yaml", 4)]
    assert "hinge.yaml:4:5  error  unknown-key" in done.output
    assert not (tmp_path / "mine" / "manual").exists()
