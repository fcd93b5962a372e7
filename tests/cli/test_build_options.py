"""What `procgen build` can do beside the folder: another look, one file to hand on, a book."""

from pathlib import Path

import pytest

from procgen.cli import main
from procgen.manual import bound
from tests.written import write

GOOD = "procedure: grease-hinge\nsteps:\n  - do: Put two drops of oil on the hinge pin.\n"


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write(Path("procedures"), GOOD)


def test_a_theme_of_the_program_is_known_by_its_name() -> None:
    assert main(["build", "--theme", "pocket"]) == 0
    assert "Pocket edition" in Path("site/index.html").read_text(encoding="utf-8")
    assert Path("site/theme/styles/pocket.css").is_file()


def test_a_folder_is_a_theme_too() -> None:
    write(Path("house"), {"styles/house.css": "h1 { color: green; }\n"})
    assert main(["build", "--theme", "house"]) == 0
    assert "theme/styles/house.css" in Path("site/index.html").read_text(encoding="utf-8")


def test_the_theme_in_a_library_is_used_without_being_asked_for() -> None:
    write(Path("procedures/theme"), {"styles/own.css": "h1 { color: green; }\n"})
    assert main(["build"]) == 0
    assert "theme/styles/own.css" in Path("site/index.html").read_text(encoding="utf-8")


def test_a_theme_that_is_not_there_is_said_with_those_that_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "--theme", "velvet"]) == 2
    assert capsys.readouterr().err == (
        'There is no theme and no folder "velvet". The program comes with: pocket, workshop.\n'
    )


def test_a_zip_stands_beside_the_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "--zip"]) == 0
    first = Path("site.zip").read_bytes()
    assert "site.zip: " in capsys.readouterr().out
    assert main(["build", "--zip"]) == 0
    assert Path("site.zip").read_bytes() == first


def test_without_weasyprint_a_book_is_refused_before_anything_is_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing() -> None:
        raise bound.BookError("A book needs WeasyPrint.")

    monkeypatch.setattr(bound, "ready", missing)
    assert main(["build", "--book"]) == 2
    assert capsys.readouterr().err == "A book needs WeasyPrint.\n"
    assert not Path("site").exists()


def test_a_book_lies_in_the_folder_and_the_front_page_leads_there() -> None:
    assert main(["build", "--book"]) == 0
    assert Path("site/book.pdf").read_bytes().startswith(b"%PDF-")
    assert 'href="book.pdf"' in Path("site/index.html").read_text(encoding="utf-8")
    assert main(["build"]) == 0
    assert not Path("site/book.pdf").exists()
