"""The manual of the demo library, whole: valid, linked, light, the same every time."""

import posixpath
import re
from collections import Counter
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree.ElementTree import Element

import pytest

from procgen.manual.page import Page
from procgen.manual.site import PAGE_TYPES, pages
from tests.manual.built import site_of
from tests.manual.reading import elements, name_of, tree

DEMO = Path(__file__).parents[2] / "procedures"
HEAVIEST = 100_000


@pytest.fixture(scope="module")
def manual() -> dict[str, Page]:
    return {page.path: page for page in pages(site_of(DEMO))}


@pytest.fixture(scope="module")
def trees(manual: dict[str, Page]) -> dict[str, Element]:
    """Every page as a tree; a page that breaks the HTML standard is an error here."""
    return {path: tree(page.data.decode("utf-8")) for path, page in manual.items() if path.endswith(".html")}


def target_of(path: str, link: str) -> tuple[str, str]:
    """Where a relative link on a page leads: a path, and an anchor or nothing."""
    url = urlsplit(link)
    there = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(url.path))) if url.path else path
    return there, url.fragment


def links(page: Element) -> list[str]:
    """What a page links to or shows, but for the world outside."""
    found = {element.get(key) for element in elements(page) for key in ("href", "src")}
    return sorted(link for link in found if link and not link.startswith(("https://", "http://", "mailto:")))


def test_every_page_keeps_to_the_html_standard_and_has_no_id_twice(trees: dict[str, Element]) -> None:
    for path, page in trees.items():
        ids = Counter(element.get("id") for element in elements(page) if element.get("id"))
        assert [id_ for id_, count in ids.items() if count > 1] == [], path


def test_every_link_and_anchor_leads_somewhere(manual: dict[str, Page], trees: dict[str, Element]) -> None:
    ids = {path: {element.get("id") for element in elements(page)} for path, page in trees.items()}
    broken = []
    for path, page in trees.items():
        for link in links(page):
            there, anchor = target_of(path, link)
            if there not in manual or (anchor and anchor not in ids.get(there, ())):
                broken.append(f"{path}: {link}")
    assert broken == []


def test_every_page_can_be_reached_from_the_front_page(trees: dict[str, Element]) -> None:
    reached, waiting = {"index.html"}, ["index.html"]
    while waiting:
        path = waiting.pop()
        new = {target_of(path, link)[0] for link in links(trees[path])} & trees.keys() - reached
        reached |= new
        waiting.extend(new)
    assert sorted(trees.keys() - reached) == []


def test_no_page_is_heavy(manual: dict[str, Page]) -> None:
    # Figures with their numbers and keys are not counted: a page has as many as its work needs.
    figure = re.compile(rb'<figure class="figure".*?</figure>', re.DOTALL)
    pages_only = {path: len(figure.sub(b"", page.data)) for path, page in manual.items() if path.endswith(".html")}
    assert {path: size for path, size in pages_only.items() if size > HEAVIEST} == {}


def test_nothing_may_be_fetched_from_outside_and_nothing_runs_inline(trees: dict[str, Element]) -> None:
    for path, page in trees.items():
        (policy,) = elements(page, "meta", **{"http-equiv": "Content-Security-Policy"})
        assert (policy.get("content") or "").startswith("default-src 'none'; style-src 'self'; script-src 'self'"), path
        for element in elements(page):
            assert not [key for key in element.attrib if key == "style" or str(key).startswith("on")], path
            assert urlsplit(element.get("src") or "").scheme == "", path


def test_every_picture_has_words_for_who_cannot_see_it(trees: dict[str, Element]) -> None:
    pictures = [(path, picture) for path, page in trees.items() for picture in elements(page, "img")]
    assert pictures
    assert [path for path, picture in pictures if not picture.get("alt")] == []


def test_headings_follow_each_other_without_a_gap(trees: dict[str, Element]) -> None:
    for path, page in trees.items():
        levels = [int(name_of(each)[1]) for each in elements(page) if name_of(each) in ("h1", "h2", "h3", "h4")]
        assert levels[0] == 1, path
        assert levels.count(1) == 1, path
        assert all(after <= before + 1 for before, after in pairwise(levels)), path


def test_the_same_library_gives_the_same_bytes_in_the_same_order(manual: dict[str, Page]) -> None:
    again = list(pages(site_of(DEMO)))
    assert [page.path for page in again] == list(manual)
    assert [page.path for page in again if page.data != manual[page.path].data] == []


def test_no_two_files_differ_only_in_capitals(manual: dict[str, Page]) -> None:
    assert len({path.casefold() for path in manual}) == len(manual)


def test_figures_are_copied_byte_for_byte(manual: dict[str, Page]) -> None:
    originals = {file.read_bytes() for file in DEMO.rglob("*.svg")}
    figures = [page for path, page in manual.items() if path.startswith("figures/")]
    assert figures
    assert all(page.data in originals for page in figures)


def test_every_kind_of_page_has_a_name_of_its_own() -> None:
    names = [page_type.name for page_type in PAGE_TYPES]
    assert len(names) == len(set(names))
