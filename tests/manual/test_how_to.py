"""Each procedure's page carries the procedure as schema.org's HowTo, within the words of that vocabulary."""

import csv
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from procgen.manual.how_to import iso_duration
from procgen.manual.site import pages
from tests.manual.built import built, site_of
from tests.manual.reading import elements

ROOT = Path(__file__).parents[2]
DURATION = re.compile(r"PT(?=\d)(\d+H)?(\d+M)?")
"""ISO 8601, to the minute."""


def vocabulary() -> Mapping[tuple[str, str], frozenset[str]]:
    lines = (ROOT / "tests/reference/schema_org_how_to.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return {(row["type"], row["property"]): frozenset(row["values"].split("|")) for row in rows}


def how_to(html: str) -> dict[str, object]:
    (script,) = elements(html, "script", type="application/ld+json")
    data: dict[str, object] = json.loads(script.text or "")
    return data


def faults(thing: Mapping[str, object]) -> Iterator[str]:
    """Where a thing, or one in it, leaves the vocabulary."""
    known = vocabulary()
    kind = str(thing["@type"])
    for name, value in thing.items():
        if name.startswith("@"):
            continue
        allowed = known.get((kind, name))
        if allowed is None:
            yield f"{kind} has no {name}"
            continue
        for each in value if isinstance(value, list) else [value]:
            if isinstance(each, dict):
                if each["@type"] not in allowed:
                    yield f"{kind}.{name} holds no {each['@type']}"
                yield from faults(each)
            elif "Duration" in allowed and not DURATION.fullmatch(str(each)):
                yield f"{kind}.{name} is no duration: {each}"
            elif not allowed & {"Text", "Duration"} or not isinstance(each, str) or not each:
                yield f"{kind}.{name} is no text: {each!r}"


def texts(thing: object) -> Iterator[str]:
    match thing:
        case str():
            yield thing
        case {"step": list(inner)} | {"itemListElement": list(inner)}:
            for each in inner:
                yield from texts(each)


def test_every_procedure_of_the_demo_keeps_to_the_vocabulary() -> None:
    made = {page.path: page.data.decode() for page in pages(site_of(ROOT / "procedures")) if "procedure/" in page.path}
    sheets = {path: html for path, html in made.items() if path.count("/") == 1}
    assert len(sheets) > 20
    assert {path: found for path, html in sheets.items() if (found := list(faults(how_to(html))))} == {}


def test_what_a_procedure_says_is_in_its_data() -> None:
    library = """\
        procedure: change-belt
        title: Change the belt
        summary: Half an hour, cold.
        notices: []
        fasteners: {lid-bolts: {title: Lid bolts, thread: M6, class: "8.8", torque: 9 N·m, threads: dry}}
        steps:
          - do: Pull the plug.
            notices: [starts]
            tools: [gloves]
            time: 5 min
          - loosen: lid-bolts
            do: Undo the bolts.
          - do: Look at the belt.
            accept: No crack.
            reject:
              - do: Throw it away.
            time: 65 min
          - tighten: lid-bolts
            do: Do the bolts up.
            uses: {grease: 2 ml}
        """
    shelves = {
        "tools.yaml": "tools:\n  gloves: {title: Gloves}\n",
        "parts.yaml": "parts:\n  grease: {title: Grease, kind: consumable, unit: ml}\n",
        "notices.yaml": "notices:\n  starts: {level: warning, title: It starts by itself, hazard: It starts.}\n",
    }
    data = how_to(built({"belt.yaml": library, **shelves}, draft=True)["procedure/change-belt.html"])
    assert {key: data[key] for key in ("@context", "name", "description", "totalTime", "supply")} == {
        "@context": "https://schema.org",
        "name": "Change the belt",
        "description": "Half an hour, cold.",
        "totalTime": "PT1H10M",
        "supply": ["Grease, 2 mL (0.068 US fl oz)"],
    }
    tools = data["tool"]
    assert isinstance(tools, list)
    assert "Gloves" in tools
    assert list(texts(data)) == [
        "WARNING: It starts by itself. Pull the plug.",
        "Undo the bolts.",
        "Look at the belt. Good if: No crack.",
        "Throw it away.",
        "Do the bolts up. 9 N·m (80 lbf·in).",
    ]


@pytest.mark.parametrize(("minutes", "written"), [(0, "PT0M"), (45, "PT45M"), (60, "PT1H"), (192.4, "PT3H12M")])
def test_a_time_is_written_as_iso_8601_has_it(minutes: float, written: str) -> None:
    assert iso_duration(minutes) == written


def test_the_test_knows_a_word_that_schema_org_does_not() -> None:
    wrong = {"@type": "HowTo", "steps": [], "totalTime": "3 h", "step": [{"@type": "HowToTool"}]}
    assert sorted(faults(wrong)) == [
        "HowTo has no steps",
        "HowTo.step holds no HowToTool",
        "HowTo.totalTime is no duration: 3 h",
    ]
