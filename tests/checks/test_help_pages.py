"""Every check has a page of help whose examples do what the page says."""

import re
from functools import cache

import pytest

from procgen.checks import registry
from procgen.checks.registry import READING, every_check, help_page, slugs
from tests.written import lines

HEADINGS = ["What it looks at", "Why it hurts at the bench", "A library that fails", "The same, mended"]
_BLOCK = re.compile(r"^```yaml\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_NAME = re.compile(r"\A# file: (\S+)(?: in (\S+))?\n")


@cache
def sections(slug: str) -> dict[str, str]:
    parts = re.split(r"^## (.+)$\n", help_page(slug), flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def example(slug: str, heading: str) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for number, block in enumerate(_BLOCK.findall(sections(slug)[heading])):
        name = _NAME.match(block)
        encoding = name[2] if name and name[2] else "utf-8"
        files[name[1] if name else f"library-{number}.yaml"] = block.encode(encoding)
    return files


@pytest.mark.parametrize("slug", slugs())
def test_a_page_has_a_title_a_summary_and_the_four_headings(slug: str) -> None:
    page = help_page(slug)
    assert page.startswith(f"# {slug}\n\n")
    assert registry.summary(page).endswith((".", ")"))
    assert [heading for heading in sections(slug) if heading != "Known gaps"] == HEADINGS


@pytest.mark.parametrize("slug", slugs())
def test_the_failing_example_gives_exactly_the_one_finding(slug: str) -> None:
    found = lines(example(slug, "A library that fails"))
    assert [line.split(" ")[2].rstrip(":") for line in found] == [slug], "\n".join(found)


@pytest.mark.parametrize("slug", slugs())
def test_the_mended_example_gives_no_finding(slug: str) -> None:
    assert lines(example(slug, "The same, mended")) == []


def test_every_page_belongs_to_a_check() -> None:
    from importlib.resources import files  # noqa: PLC0415

    pages = {path.name.removesuffix(".md") for path in files("procgen.checks").joinpath("help").iterdir()}
    assert pages == set(slugs())


def test_a_slug_belongs_to_one_check() -> None:
    found = [*READING, *registry.LINKING, *(check.slug for check in every_check())]
    assert len(found) == len(set(found))


def test_the_severity_in_a_finding_is_that_of_the_table() -> None:
    for slug, (_, severity) in slugs().items():
        (line,) = lines(example(slug, "A library that fails"))
        assert line.split(" ")[1] == severity
