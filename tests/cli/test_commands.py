"""The commands as a person types them: exit status, what goes where, and that nothing is lost."""

import json
from pathlib import Path

import pytest

from procgen import __version__
from procgen.cli import main
from tests.written import write

GOOD = """\
    procedure: grease-hinge
    steps:
      - do: Put two drops of oil on the hinge pin.
"""
BAD = """\
    procedure: grease-hinge
    steps:
      - do: Put two drops of oil on the hinge pin.
        colour: red
"""


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_the_version_is_the_packages(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"procgen {__version__}\n"


def test_a_clean_library_exits_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), GOOD)
    assert main(["check"]) == 0
    assert capsys.readouterr().out == "procedures: nothing found\n"


def test_errors_exit_with_1_and_go_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), BAD)
    assert main(["check"]) == 1
    captured = capsys.readouterr()
    assert captured.out.startswith("library.yaml:4:5  error  unknown-key\n")
    assert captured.err == ""


def test_json_and_sarif_are_nothing_but_json(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), BAD)
    assert main(["check", "--format", "json"]) == 1
    assert json.loads(capsys.readouterr().out)["counts"] == {"error": 1, "warning": 0, "advice": 0}
    assert main(["check", "--format", "sarif"]) == 1
    assert len(json.loads(capsys.readouterr().out)["runs"][0]["results"]) == 1


@pytest.mark.parametrize(
    "argv",
    [["check", "nowhere"], ["build", "nowhere"], ["check", "--format", "xml"], ["check", "--on", "soon"], ["nod"]],
)
def test_a_command_that_cannot_run_exits_with_2_and_says_why(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    write(Path("procedures"), GOOD)
    assert main(argv) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.strip()
    assert "Traceback" not in captured.err


def test_a_build_writes_a_manual_and_a_second_one_changes_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), GOOD)
    assert main(["build", "--on", "2026-11-01"]) == 0
    first = {path: path.read_bytes() for path in Path("site").rglob("*") if path.is_file()}
    assert Path("site/index.html") in first
    capsys.readouterr()
    assert main(["build", "--on", "2026-11-01"]) == 0
    assert " 0 files written" in capsys.readouterr().out
    assert {path: path.read_bytes() for path in Path("site").rglob("*") if path.is_file()} == first


def test_two_builds_in_two_folders_are_the_same_bytes() -> None:
    write(Path("procedures"), GOOD)
    for out in ("one", "two"):
        assert main(["build", "--out", out, "--on", "2026-11-01"]) == 0
    one, two = (
        {path.relative_to(out): path.read_bytes() for path in Path(out).rglob("*") if path.is_file()}
        for out in ("one", "two")
    )
    assert one == two


def test_errors_stop_a_build_before_anything_is_written(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), BAD)
    assert main(["build"]) == 1
    assert not Path("site").exists()
    assert "--draft" in capsys.readouterr().err


def test_a_draft_says_so_on_every_page() -> None:
    write(Path("procedures"), BAD)
    assert main(["build", "--draft"]) == 0
    pages = list(Path("site").rglob("*.html"))
    assert pages
    assert [page for page in pages if "DRAFT" not in page.read_text(encoding="utf-8")] == []


def test_a_draft_without_errors_is_no_draft() -> None:
    write(Path("procedures"), GOOD)
    assert main(["build", "--draft"]) == 0
    assert "DRAFT" not in Path("site/index.html").read_text(encoding="utf-8")


def test_a_build_refuses_a_folder_that_holds_the_library(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("all/procedures"), GOOD)
    for out in ("all", "all/procedures"):
        assert main(["build", "all/procedures", "--out", out]) == 2
        assert capsys.readouterr().err.strip()
    assert [path.name for path in Path("all").rglob("*") if path.is_file()] == ["library.yaml"]


def test_a_build_never_touches_what_it_did_not_write(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("procedures"), GOOD)
    write(Path("site"), {"notes.txt": "mine"})
    assert main(["build"]) == 0
    assert Path("site/notes.txt").read_text(encoding="utf-8") == "mine"
    write(Path("other"), {"index.html": "my own page"})
    capsys.readouterr()
    assert main(["build", "--out", "other"]) == 2
    assert "index.html" in capsys.readouterr().err
    assert Path("other/index.html").read_text(encoding="utf-8") == "my own page"


def test_a_new_library_checks_and_builds_clean(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "my library"]) == 0
    assert "procgen check 'my library'" in capsys.readouterr().out
    assert main(["check", "my library"]) == 0
    assert capsys.readouterr().out == "my library: nothing found\n"
    assert main(["build", "my library", "--out", "manual"]) == 0
    assert Path("manual/index.html").is_file()


def test_a_new_library_brings_its_schemas_for_the_editor() -> None:
    main(["new", "mine"])
    for file in Path("mine").rglob("*.yaml"):
        first = file.read_text(encoding="utf-8").splitlines()[0]
        assert first.startswith("# yaml-language-server: $schema=")
        assert (file.parent / first.partition("=")[2]).is_file(), file


def test_a_new_library_overwrites_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    write(Path("mine"), {"manual.yaml": "mine"})
    assert main(["new", "mine"]) == 2
    assert "not empty" in capsys.readouterr().err
    assert [path.name for path in Path("mine").iterdir()] == ["manual.yaml"]


def test_every_check_every_kind_and_every_key_is_explained(capsys: pytest.CaptureFixture[str]) -> None:
    from procgen.checks.registry import slugs  # noqa: PLC0415
    from procgen.library.explain import every_entry, kinds  # noqa: PLC0415

    for name in {*slugs(), *kinds(), *(entry.name for entry in every_entry())}:
        assert main(["explain", name]) == 0, name
        assert f"`{name}`" in (out := capsys.readouterr().out) or f"# {name}" in out or f"`{name}:`" in out


def test_what_nothing_explains_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "unused-itm"]) == 2
    assert 'did you mean "unused-item"' in capsys.readouterr().err


def test_the_record_that_a_sheet_saves_is_explained_though_nobody_writes_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "record"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("# The record file that a sheet saves\n")
    assert "- `fingerprint`: The fingerprint of the sheet that was filled in." in out


def test_explain_alone_lists_everything(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain"]) == 0
    out = capsys.readouterr().out
    assert "- `unknown-name` (error): " in out
    assert "- `procedure`: " in out
    assert "`held-by`" in out


@pytest.mark.parametrize("template", ["{% if %}", "{{ nobody.knows }}", "{% extends 'nowhere.html' %}"])
def test_a_broken_template_of_a_theme_is_named_without_a_traceback(
    template: str, capsys: pytest.CaptureFixture[str]
) -> None:
    write(Path("procedures"), GOOD)
    write(Path("mine"), {"templates/front.html": template})
    assert main(["build", "--theme", "mine"]) == 2
    said = capsys.readouterr().err
    assert "front.html" in said or "nowhere.html" in said
    assert "Traceback" not in said
