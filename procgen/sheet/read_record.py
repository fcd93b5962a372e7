"""Reads a record as the page exports it: JSON, held against `record.schema.json`, with messages for people."""

import json
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from procgen.library.schema import schema_files
from procgen.sheet.record import Filled, Round, SheetKind, SheetRecord

if TYPE_CHECKING:
    from jsonschema_rs import Draft202012Validator

_SCHEMA = "record.schema.json"
_BIGGEST = 5_000_000
_MOST = 5
"""Departures from the schema that a message names."""


class RecordError(Exception):
    """A file is no record; the message says to a person what is wrong and what to do."""


def read_record(content: bytes) -> SheetRecord:
    """The record in a file. Raises RecordError."""
    if len(content) > _BIGGEST:
        raise RecordError("It is far too big for a record of one sheet.")
    try:
        data = json.loads(content.decode("utf-8-sig"), parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise RecordError("It is no text. Name the .json file that the sheet has exported.") from error
    except (ValueError, RecursionError) as error:
        where = f" at line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise RecordError(f"It is no JSON{where}: the download may be cut off. Export it again.") from error
    _hold_against_schema(data)
    return _record(data)


def _no_number(word: str) -> float:
    raise ValueError(word)


@cache
def _validator() -> "Draft202012Validator":
    from jsonschema_rs import Draft202012Validator  # noqa: PLC0415 - only where a record is read

    return Draft202012Validator(dict(schema_files()[_SCHEMA]))


def _hold_against_schema(data: object) -> None:
    if not isinstance(data, dict) or not {"record", "steps"} & data.keys():
        raise RecordError("It is no record of a sheet. Name the .json file that the sheet has exported.")
    errors = list(_validator().iter_errors(data))
    if not errors:
        return
    said = []
    for error in errors[:_MOST]:
        path = " › ".join(str(part) for part in error.instance_path) or "the record"
        said.append(f"  {path}: {error.message}")
    more = f"\n  and {len(errors) - _MOST} more" if len(errors) > _MOST else ""
    raise RecordError("It is no record of a sheet as the format has it. Export it again.\n" + "\n".join(said) + more)


def _record(data: Mapping[str, Any]) -> SheetRecord:
    kind = SheetKind.JOB if "job" in data else SheetKind.PROCEDURE
    return SheetRecord(
        id=data["record"],
        kind=kind,
        subject=data[kind.value],
        logbook=data.get("logbook", ""),
        revision=data.get("revision", ""),
        fingerprint=data["fingerprint"],
        is_finished=data["state"] == "finished",
        saved=data.get("saved", ""),
        choices=data.get("choices", {}),
        steps={key: _filled(step) for key, step in data["steps"].items()},
        rounds=tuple(
            Round(step=each["step"], readings=_lists(each.get("readings"))) for each in data.get("rounds", ())
        ),
        on=data.get("on", "").strip(),
        meter=data.get("meter", "").strip(),
        by=data.get("by", "").strip(),
        checked_by=data.get("checked-by", "").strip(),
        note=data.get("note", "").strip(),
    )


def _filled(step: Mapping[str, Any]) -> Filled:
    return Filled(
        done=tuple(step.get("done", ())),
        accepted=step.get("accepted"),
        readings=_lists(step.get("readings")),
        run_down=_lists(step.get("run-down")),
        written=tuple(text.strip() for text in step.get("written", ())),
        signed={role: name.strip() for role, name in step.get("signed", {}).items()},
        note=step.get("note", "").strip(),
        at=step.get("at", ""),
        mark=step.get("mark", ""),
    )


def _lists(value: Mapping[str, list[str]] | None) -> Mapping[str, tuple[str, ...]]:
    return {key: tuple(text.strip() for text in texts) for key, texts in (value or {}).items()}
