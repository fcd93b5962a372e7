"""The format of a record: its schema is one, its examples fit it, and what departs from it is said."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from procgen.library.load import load
from procgen.library.schema import parts, schema_files
from procgen.sheet.read_record import RecordError, read_record
from tests.sheet.boat import BOAT
from tests.sheet.filled import filled
from tests.written import write

SCHEMA = dict(schema_files()["record.schema.json"])


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_key_is_described_with_an_example_that_fits() -> None:
    for part in parts(SCHEMA):
        for name, schema in part.get("properties", {}).items():
            if "$ref" in schema:
                continue
            assert schema["description"].endswith("."), name
            validator = jsonschema.Draft202012Validator({**schema, "$defs": SCHEMA["$defs"]})
            for example in schema["examples"]:
                validator.validate(example)


def test_a_second_validator_takes_what_a_filled_in_sheet_gives(tmp_path: Path) -> None:
    record = filled(load(write(tmp_path, BOAT)).library, job="belt-of-one")
    jsonschema.Draft202012Validator(SCHEMA).validate(record)
    assert read_record(json.dumps(record).encode()).subject == "belt-of-one"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"fingerprint": "nonsense"}, "fingerprint: "),
        ({"state": "done"}, "state: "),
        ({"procedure": "renew-belt"}, "the record: "),
        ({"colour": "red"}, "colour"),
        ({"steps": {"1": {"done": "yes"}}}, "steps › 1 › done: "),
        ({"steps": {"1": {"readings": {"play": "6"}}}}, "steps › 1 › readings › play: "),
    ],
)
def test_what_departs_from_the_format_is_named_by_its_place(change: dict[str, Any], said: str) -> None:
    record = {"record": "7KQ3-9FWM", "job": "a", "fingerprint": "DX4W-22QD", "state": "paused", "steps": {}}
    read_record(json.dumps(record).encode())
    with pytest.raises(RecordError, match=said):
        read_record(json.dumps({**record, **change}).encode())
