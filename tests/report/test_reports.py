"""The same findings in every format of report."""

import json
from textwrap import dedent

from sarif_pydantic import Sarif

from procgen.finding import Because, Finding, Place, Severity
from procgen.report.as_json import json_report
from procgen.report.report import Report, Rule
from procgen.report.sarif import sarif_report
from procgen.report.text import text_report

BLOCKED = Finding(
    check="blocked",
    severity=Severity.ERROR,
    place=Place("machines/m 40/renew-coolant-pump.yaml", 18, 5),
    message='Step 3, "remove coolant pump", cannot be done: the timing belt is still on.',
    when={"flush": False, "pump-face accepted": False, "cooling": "keel-cooler"},
    because=(Because(message="coolant-pump is behind timing-belt", place=Place("machines/m 40/timing.yaml", 33, 9)),),
    remedy='put "- open: coolant-pump" before step 3',
)
ADVICE = Finding(
    check="vague-word", severity=Severity.ADVICE, place=Place("oil.yaml", 4, 9), message='"securely" says nothing.'
)
REPORT = Report(library="procedures", findings=(BLOCKED, ADVICE), accepted=2)
RULES = (
    Rule(slug="blocked", family="order", severity=Severity.ERROR, summary="In the way.", help="# blocked"),
    Rule(slug="vague-word", family="prose", severity=Severity.ADVICE, summary="Vague.", help="# vague-word"),
)


def test_text_reads_like_a_good_colleague() -> None:
    assert text_report(REPORT, colour=False, width=100) == dedent("""\
        machines/m 40/renew-coolant-pump.yaml:18:5  error  blocked
          Step 3, "remove coolant pump", cannot be done: the timing belt is still on. This happens with
          flush off, pump-face not accepted, cooling = keel-cooler.
          because  coolant-pump is behind timing-belt   machines/m 40/timing.yaml:33:9
          try      put "- open: coolant-pump" before step 3

        oil.yaml:4:9  advice  vague-word
          "securely" says nothing.

        procedures: 1 error, 1 piece of advice; 2 accepted with a reason
    """)


def test_text_without_findings_says_so() -> None:
    assert text_report(Report(library="procedures", findings=()), colour=False) == "procedures: nothing found\n"


def test_colour_adds_nothing_but_colour() -> None:
    import re  # noqa: PLC0415

    coloured = text_report(REPORT, colour=True, width=100)
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == text_report(REPORT, colour=False, width=100)


def test_brackets_in_a_message_are_no_markup_of_the_terminal() -> None:
    finding = Finding(check="x", severity=Severity.ERROR, place=Place("a", 1, 1), message="[red]not[/red] [/]")
    assert "[red]not[/red] [/]" in text_report(Report(library="l", findings=(finding,)), colour=True)


def test_json_is_one_object_with_every_value() -> None:
    assert json.loads(json_report(REPORT)) == {
        "library": "procedures",
        "findings": [
            {
                "check": "blocked",
                "severity": "error",
                "file": "machines/m 40/renew-coolant-pump.yaml",
                "line": 18,
                "column": 5,
                "message": BLOCKED.message,
                "when": {"flush": False, "pump-face accepted": False, "cooling": "keel-cooler"},
                "because": [
                    {
                        "message": "coolant-pump is behind timing-belt",
                        "file": "machines/m 40/timing.yaml",
                        "line": 33,
                        "column": 9,
                    }
                ],
                "try": BLOCKED.remedy,
            },
            {
                "check": "vague-word",
                "severity": "advice",
                "file": "oil.yaml",
                "line": 4,
                "column": 9,
                "message": ADVICE.message,
                "when": {},
                "because": [],
                "try": "",
            },
        ],
        "counts": {"error": 1, "warning": 0, "advice": 1},
    }


def test_sarif_is_read_by_an_independent_model_of_the_standard() -> None:
    log = Sarif.model_validate_json(sarif_report(REPORT, RULES))
    (run,) = log.runs
    first, second = run.results or []
    assert log.version == "2.1.0"
    assert [(rule.id, rule.default_configuration.level) for rule in run.tool.driver.rules or []] == [
        ("blocked", "error"),
        ("vague-word", "note"),
    ]
    assert (first.rule_id, first.rule_index, first.level) == ("blocked", 0, "error")
    assert (second.rule_id, second.rule_index, second.level) == ("vague-word", 1, "note")


def test_sarif_places_count_from_one_and_are_addresses() -> None:
    (run,) = json.loads(sarif_report(REPORT, RULES))["runs"]
    place = run["results"][0]["locations"][0]["physicalLocation"]
    assert place == {
        "artifactLocation": {"uri": "procedures/machines/m%2040/renew-coolant-pump.yaml"},
        "region": {"startLine": 18, "startColumn": 5},
    }
    assert run["results"][0]["relatedLocations"][0]["message"] == {"text": "coolant-pump is behind timing-belt"}
