"""Where pages are: names that every system takes, and never two in one place."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.manual.paths import relative, safe_name


def test_a_plain_id_is_its_own_name() -> None:
    assert safe_name("renew-coolant-pump") == "renew-coolant-pump"


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "a/b", "Con", "con", "a b", "é", "", "x" * 300, "a--b", ".hidden"]
)
def test_any_other_id_gets_a_name_that_stays_in_its_folder(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9-]*--[0-9a-f]{8}", safe_name(name))


@given(st.lists(st.text(alphabet="aA-./é con1", max_size=8), unique=True, max_size=6))
def test_no_two_ids_share_a_name_where_capitals_do_not_count(names: list[str]) -> None:
    assert len({safe_name(name).casefold() for name in names}) == len(names)


@pytest.mark.parametrize(
    ("here", "there", "anchor", "link"),
    [
        ("index.html", "machine/m40.html", "", "machine/m40.html"),
        ("machine/m40.html", "index.html", "", "../index.html"),
        ("machine/m40/pump.html", "procedure/renew.html", "step-3", "../../procedure/renew.html#step-3"),
        ("machine/m40.html", "machine/m40.html", "due-belt", "#due-belt"),
        ("machine/m40.html", "machine/m40.html", "", "../machine/m40.html"),
        ("procedure/renew.html", "procedure/fit.html", "", "../procedure/fit.html"),
    ],
)
def test_links_are_relative_to_the_page_that_they_stand_on(here: str, there: str, anchor: str, link: str) -> None:
    assert relative(here, there, anchor) == link
