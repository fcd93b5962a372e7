"""The author's text on a page: CommonMark, names in braces as links, nothing that could run."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.library.references import Reference
from procgen.manual.prose import Referent, block, is_safe_link, line, plain

KNOWN = {
    ("pump-bolts", ""): Referent("Coolant pump bolts", "../machine/m40/pump-bolts.html", is_common_noun=True),
    ("pump-bolts", "torque"): Referent("22 N·m (16 lbf·ft)", "../machine/m40/pump-bolts.html"),
    ("marks", ""): Referent("No. 1 marks", "marks.html", is_common_noun=True),
    ("nasty", ""): Referent('<script>alert(1)</script> & "quotes"', 'x.html?a="><script>', is_common_noun=True),
}


def resolve(reference: Reference) -> Referent | None:
    return KNOWN.get((reference.name, reference.value))


def test_a_name_becomes_a_link_with_a_small_letter_inside_a_sentence() -> None:
    assert line("Take out the {pump-bolts}.", resolve) == (
        'Take out the <a href="../machine/m40/pump-bolts.html">coolant pump bolts</a>.'
    )


def test_a_name_at_the_start_of_a_sentence_keeps_its_capital() -> None:
    assert plain("{pump-bolts} are short. {pump-bolts} are many.", resolve) == (
        "Coolant pump bolts are short. Coolant pump bolts are many."
    )


def test_an_abbreviation_keeps_its_capital_everywhere() -> None:
    assert plain("Look at the {marks}.", resolve) == "Look at the No. 1 marks."


def test_a_value_is_put_in_as_a_figure() -> None:
    assert plain("Tighten to {pump-bolts.torque}.", resolve) == "Tighten to 22 N·m (16 lbf·ft)."


def test_a_name_that_nothing_has_stays_and_is_marked() -> None:
    assert line("See {no-such}.", resolve) == 'See <span class="unknown">{no-such}</span>.'


def test_double_braces_are_plain_braces() -> None:
    assert plain("Write {{pump-bolts}} so.", resolve) == "Write {pump-bolts} so."


def test_braces_in_code_stay_as_they_are() -> None:
    assert line("Type `{pump-bolts}`.", resolve) == "Type <code>{pump-bolts}</code>."


def test_a_name_inside_a_link_is_text_since_links_do_not_nest() -> None:
    assert line("[the {pump-bolts}](https://example.org/)", resolve) == (
        '<a href="https://example.org/" rel="external noreferrer">the coolant pump bolts</a>'
    )


def test_a_name_in_emphasis_is_put_in() -> None:
    assert line("**{pump-bolts.torque}**", resolve) == (
        '<strong><a href="../machine/m40/pump-bolts.html">22 N·m (16 lbf·ft)</a></strong>'
    )


def test_a_title_with_markup_in_it_is_text() -> None:
    html = line("See {nasty}.", resolve)
    assert "<script>" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp;" in html


def test_raw_html_is_text() -> None:
    assert block("A <b>bold</b> <script>alert(1)</script> word", resolve) == (
        "<p>A &lt;b&gt;bold&lt;/b&gt; &lt;script&gt;alert(1)&lt;/script&gt; word</p>"
    )


def test_a_heading_of_the_author_is_no_heading_of_the_page() -> None:
    assert block("# Loud", resolve) == '<p class="subhead">Loud</p>'


def test_a_picture_in_a_text_is_not_fetched_from_anywhere() -> None:
    assert "<img" not in block("![alt](https://example.org/x.png)", resolve)


@pytest.mark.parametrize(
    "url",
    [
        "javascript:alert(1)",
        "JaVaScRiPt:alert(1)",
        " javascript:alert(1)",
        "java\tscript:alert(1)",
        "data:text/html,<script>alert(1)</script>",
        "vbscript:x",
        "file:///etc/passwd",
        "//example.org/x",
        "/etc/passwd",
        "page.html",
        "http:",
    ],
)
def test_only_links_that_are_safe_are_links(url: str) -> None:
    assert not is_safe_link(url)
    assert "<a" not in line(f"[x](<{url}>)", resolve)


@pytest.mark.parametrize("url", ["https://example.org/a?b=c#d", "http://example.org", "mailto:editor@example.org"])
def test_links_to_the_world_and_to_people_are_links(url: str) -> None:
    assert is_safe_link(url)
    assert f'<a href="{url}" rel="external noreferrer">' in line(f"[x]({url})", resolve)


@given(st.text(max_size=60))
def test_no_text_makes_any_element_but_those_of_commonmark(text: str) -> None:
    import re  # noqa: PLC0415

    allowed = {"p", "a", "em", "strong", "code", "pre", "ul", "ol", "li", "br", "hr", "blockquote", "span"}
    assert {tag.lower() for tag in re.findall(r"</?([A-Za-z!?][^\s/>]*)", block(text, resolve))} <= allowed
