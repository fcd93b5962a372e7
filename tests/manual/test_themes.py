"""Themes: a second one overrides file by file, and inherits the rest."""

from pathlib import Path

import pytest

from procgen.manual.page import Page
from procgen.manual.site import pages
from procgen.manual.theme import ThemeError, find_theme, themes_folder
from tests.manual.built import built, site_of
from tests.manual.reading import texts
from tests.written import write

PUMP = "procedure: grease-pump\ntitle: Grease the pump\nsteps:\n  - do: Grease it.\n"


def test_a_template_of_a_second_theme_wins_and_the_rest_is_inherited(tmp_path: Path) -> None:
    write(
        tmp_path / "house",
        {"templates/front.html": '{% extends "frame.html" %}{% block matter %}<h1>Ours</h1>{% endblock %}\n'},
    )
    manual = built(PUMP, theme=find_theme((tmp_path / "house",)))
    assert texts(manual["index.html"], "h1") == ["Ours"]
    assert texts(manual["procedure/grease-pump.html"], "h1") == ["Grease the pump"]


def test_a_style_of_a_second_theme_replaces_the_one_of_that_name(tmp_path: Path) -> None:
    write(tmp_path / "house", {"styles/tokens.css": ":root { --spot: #000; }\n"})
    write(tmp_path / "library", PUMP)
    made: dict[str, Page] = {}
    for page in pages(site_of(tmp_path / "library", theme=find_theme((tmp_path / "house",)))):
        made[page.path] = page
    assert made["theme/styles/tokens.css"].data == b":root { --spot: #000; }\n"
    assert made["theme/styles/screen.css"].data == (themes_folder() / "workshop/styles/screen.css").read_bytes()


def test_a_style_that_a_theme_adds_is_linked_last(tmp_path: Path) -> None:
    write(tmp_path / "house", {"styles/anchor.css": "h1 { color: green; }\n"})
    page = built(PUMP, theme=find_theme((tmp_path / "house",)))["index.html"]
    links = [line for line in page.splitlines() if line.startswith('<link rel="stylesheet"')]
    assert links[-1] == '<link rel="stylesheet" href="theme/styles/anchor.css">'
    assert len(links) == 8


def test_a_folder_that_would_change_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ThemeError, match="no templates, styles or scripts"):
        find_theme((tmp_path,))
    with pytest.raises(ThemeError, match="is not a folder"):
        find_theme((tmp_path / "no-such",))


@pytest.mark.parametrize("folder", sorted(folder.name for folder in themes_folder().iterdir() if folder.is_dir()))
def test_every_theme_that_comes_with_the_program_makes_a_manual(folder: str) -> None:
    theme = find_theme(() if folder == "workshop" else (themes_folder() / folder,))
    assert texts(built(PUMP, theme=theme)["procedure/grease-pump.html"], "h1") == ["Grease the pump"]


def test_a_name_that_a_template_gets_wrong_is_an_error(tmp_path: Path) -> None:
    write(tmp_path / "house", {"templates/front.html": "{{ view.titel }}\n"})
    with pytest.raises(ThemeError, match=r"front\.html: .*titel"):
        built(PUMP, theme=find_theme((tmp_path / "house",)))


def test_what_scripts_and_styles_weigh_is_little() -> None:
    assert sum(len(page.data) for page in find_theme().pages()) < 140_000
