"""A note is read where its reader looks: beside the rule, the figure, the choice, the reading that it is about."""

import pytest

from tests.manual.built import built
from tests.manual.reading import elements, texts, words

LIBRARY = {
    "winch.yaml": """\
        machine: winch
        meter: hours
        components:
          cover:
            remove: {note: "The gasket may *stick*.", steps: [{do: Lift the cover.}]}
            fit: {note: Mind the seal.}
        fasteners:
          bolts:
            torque: 22 N·m
            other-values: [{torque: 25 N·m, source: write-up, why-not: A guess., note: Heard of three boats.}]
        aids:
          pin: {where: behind the drum}
        specs:
          play: {of: cover, limits: 0.1 to 0.2 mm, unit: thou}
        rules:
          - {never: remove cover, while: bolts tight, note: "Seen twice on the {pin}."}
        figures:
          side: {file: side.svg, title: The winch, note: Drawn from port.}
    """,
    "side.svg": '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="10"/>',
    "sources.yaml": "sources:\n  write-up: {kind: write-up}\n",
    "terms.yaml": "terms:\n  play: {meaning: How far it moves., note: Not slack.}\n",
    "open.yaml": """\
        procedure: open
        machine: winch
        options:
          flush: {ask: "Flush it?", note: "Where the oil is milky, see the {cover}."}
        steps:
          - do: Flush it.
            when: flush
    """,
    "one.yaml": """\
        logbook: one
        machine: winch
        name: Winch One
        title: The old winch
        meter:
          - {on: 2026-01-02, hours: 120, note: "New counter, the old one stopped at 4410."}
          - {on: 2026-03-02, hours: 130}
        entries:
          - {on: 2026-02-01, hours: 125, did: open, record: open DX4W-22QD 7KQ3-9FWM}
    """,
}


@pytest.fixture(scope="module")
def manual() -> dict[str, str]:
    return built(LIBRARY)


def test_beside_a_rule(manual: dict[str, str]) -> None:
    (rule,) = elements(manual["machine/winch.html"], "ul", class_="rules")
    assert texts(rule, "div", class_="sub") == ["Seen twice on the pin."]


def test_under_the_title_of_a_figure(manual: dict[str, str]) -> None:
    assert texts(manual["machine/winch.html"], "figcaption") == ["The winch Drawn from port."]


@pytest.mark.parametrize(("page", "block"), [("procedure", "switches"), ("sheet", "which")])
def test_with_the_choice_that_it_helps_to_make(page: str, block: str, manual: dict[str, str]) -> None:
    asked = [each for each in elements(manual[f"{page}/open.html"], class_=block) if "Flush it?" in words(each)]
    assert [texts(each, "p", class_="sub") for each in asked] == [["Where the oil is milky, see the cover."]]


def test_with_how_a_component_comes_off_and_goes_back(manual: dict[str, str]) -> None:
    assert texts(manual["machine/winch/cover.html"], "div", class_="explain") == [
        "The gasket may stick.",
        "Mind the seal.",
    ]


def test_with_what_another_source_says(manual: dict[str, str]) -> None:
    for page in ("machine/winch/bolts.html", "sources.html"):
        assert "Heard of three boats." in texts(manual[page], "span", class_="sub")


def test_with_a_word_of_the_trade(manual: dict[str, str]) -> None:
    assert texts(manual["words.html"], "dd", class_="explain") == ["How far it moves. Not slack."]


def test_in_the_history_where_the_meter_was_read(manual: dict[str, str]) -> None:
    done, read = texts(manual["individual/one.html"], "li", class_="entry")
    assert done.startswith("2026-02-01 125 h")
    assert done.endswith("Sheet open DX4W-22QD 7KQ3-9FWM")
    assert read == "2026-01-02 120 h New counter, the old one stopped at 4410."


@pytest.mark.parametrize(
    ("page", "fact"),
    [
        ("machine/winch/pin", "Where behind the drum"),
        ("machine/winch/play", "Read in thou"),
        ("individual/one", "Title The old winch"),
    ],
)
def test_among_the_facts(page: str, fact: str, manual: dict[str, str]) -> None:
    (block,) = elements(manual[f"{page}.html"], "dl", class_="title-block")
    assert fact in texts(block, "div")
