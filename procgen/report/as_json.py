"""Findings as one JSON object, for scripts."""

import json
from typing import Any

from procgen.finding import Finding, count
from procgen.report.report import Report


def json_report(report: Report) -> str:
    """The whole report as JSON text with a newline at its end."""
    counts = {str(severity): number for severity, number in count(report.findings).items()}
    whole = {"library": report.library, "findings": [_finding(each) for each in report.findings], "counts": counts}
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "check": finding.check,
        "severity": str(finding.severity),
        "file": finding.place.file,
        "line": finding.place.line,
        "column": finding.place.column,
        "message": finding.message,
        "when": dict(finding.when or {}),
        "because": [
            {
                "message": because.message,
                "file": because.place.file,
                "line": because.place.line,
                "column": because.place.column,
            }
            for because in finding.because
        ],
        "try": finding.remedy,
    }
