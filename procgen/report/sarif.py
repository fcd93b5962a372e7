"""Findings as SARIF 2.1.0 (OASIS, errata 01), for code hosts and editors that show them beside the lines."""

import json
from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from procgen import __version__
from procgen.finding import Finding, Place, Severity
from procgen.report.report import Report, Rule, choices_in_words

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.ADVICE: "note"}


def sarif_report(report: Report, rules: Iterable[Rule]) -> str:
    """The whole report as a SARIF log with one run, one rule for each check, and a newline at its end.

    Addresses are relative to the library's folder, as `report.library` names it.
    """
    legend = tuple(rules)
    index = {rule.slug: number for number, rule in enumerate(legend)}
    base = quote(report.library.replace("\\", "/").rstrip("/"), safe="/:~._-")
    driver = {"name": "procgen", "version": __version__, "rules": [_rule(rule) for rule in legend]}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, index, base) for finding in report.findings],
    }
    return json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, ensure_ascii=False, indent=2) + "\n"


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.slug,
        "shortDescription": {"text": rule.summary},
        "help": {"text": rule.help, "markdown": rule.help},
        "defaultConfiguration": {"level": LEVELS[rule.severity]},
        "properties": {"tags": [rule.family]},
    }


def _result(finding: Finding, index: dict[str, int], base: str) -> dict[str, Any]:
    text = finding.message
    if finding.when:
        text += f" This happens {choices_in_words(finding.when)}."
    if finding.remedy:
        text += f" Try: {finding.remedy}."
    result: dict[str, Any] = {
        "ruleId": finding.check,
        "level": LEVELS[finding.severity],
        "message": {"text": text},
        "locations": [_location(finding.place, base)],
    }
    if finding.check in index:
        result["ruleIndex"] = index[finding.check]
    if finding.because:
        result["relatedLocations"] = [
            {**_location(because.place, base), "id": number, "message": {"text": because.message}}
            for number, because in enumerate(finding.because, start=1)
        ]
    return result


def _location(place: Place, base: str) -> dict[str, Any]:
    path = quote(place.file, safe="/._-~")
    address = f"{base}/{path}" if base not in ("", ".") else path
    return {
        "physicalLocation": {
            "artifactLocation": {"uri": address},
            "region": {"startLine": place.line, "startColumn": place.column},
        }
    }
