"""What a finished record becomes in the logbook: one entry, by the keys of the format."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from procgen.library.origin import PartId, ProcedureId
from procgen.measure.numeral import decimal_of
from procgen.measure.quantity import Quantity
from procgen.sheet.boxes import Form
from procgen.sheet.judge import Complaint, Judged
from procgen.sheet.logbook_text import Value
from procgen.sheet.record import SheetRecord


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry, and what keeps it from being written."""

    fields: Mapping[str, Value]
    complaints: tuple[Complaint, ...]


def draft(record: SheetRecord, form: Form, judged: Judged, did: tuple[ProcedureId, ...]) -> Draft:
    """The entry for a finished record of work that did those procedures."""
    fields: dict[str, Value] = {}
    complaints: list[Complaint] = []
    if not record.on:
        complaints.append(Complaint("The record does not say on which day the work was finished.", "fill in the day"))
    elif not _is_day(record.on):
        complaints.append(Complaint(f'"{record.on}" is no date.', "write it as year-month-day: 2026-04-01"))
    fields["on"] = record.on
    if form.meter != "none":
        meter = _meter(record.meter)
        if meter is None:
            said = (
                f'"{record.meter}" is no reading of the meter'
                if record.meter
                else "The reading of the meter is missing"
            )
            complaints.append(Complaint(f"{said}.", f"fill in the {form.meter} that it shows, as a number"))
        else:
            fields[form.meter] = meter
    fields["did"] = did[0] if len(did) == 1 else list(did)
    complaints.extend(_names(record, form))
    optional: dict[str, Value] = {
        "by": record.by,
        "checked-by": record.checked_by,
        "parts": list(_parts(judged)),
        "readings": _readings(form, judged),
        "note": _plain("\n".join(text for text in (record.note, " ".join(_notes(record, form, judged))) if text)),
    }
    fields.update({key: value for key, value in optional.items() if value})
    fields["record"] = record.name
    return Draft(fields, tuple(complaints))


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _meter(typed: str) -> int | float | None:
    """A plain number, a comma for a point allowed."""
    plain = "".join(typed.split()).replace(",", ".")
    if not plain.replace(".", "", 1).isascii() or not plain.replace(".", "", 1).isdigit():
        return None
    value = float(plain)
    return int(value) if value.is_integer() else value


def _names(record: SheetRecord, form: Form) -> Iterator[Complaint]:
    if not record.by:
        yield Complaint("The record does not say who did the work.", f"fill in the {form.roles[0]}'s name at the end")
    if len(form.roles) > 1 and not record.checked_by:
        message = f"The record does not say who checked the work as {form.roles[1]}."
        yield Complaint(message, f"fill in the {form.roles[1]}'s name at the end")
    if record.by and record.by.casefold() == record.checked_by.casefold():
        yield Complaint(f"{record.by} did the work and checked it.", "have a second person check it and sign")


def _parts(judged: Judged) -> Iterator[PartId]:
    yield from dict.fromkeys(part for step in judged.done for part in step.parts)


def _readings(form: Form, judged: Judged) -> Mapping[str, str]:
    """Each spec as it was read last: one figure, or from the least to the most."""
    found: dict[str, str] = {}
    for step in form.steps:
        for box in step.readings:
            values = judged.readings.get((step.key, box.id), ())
            if box.is_spec and values:
                found[box.id] = spanned(values)
    return found


def spanned(values: tuple[Quantity, ...]) -> str:
    """Several readings as one figure of the format: "0.30 mm", "0.28–0.32 mm"."""
    unit = values[0].unit
    ordered = sorted(values, key=lambda value: value.to(unit).middle)
    low, high = ordered[0], ordered[-1]
    if low.to(unit).middle == high.to(unit).middle:
        return values[0].text
    if low.unit is high.unit:
        return f"{low.numerals[0]}–{high.numerals[0]} {low.unit.symbol}"
    # One read in millimetres and one in inches: a range of the format has one unit.
    decimals = max(_decimals(value) for value in values if value.unit is unit) + 1
    ends = (decimal_of(end.to(unit).middle, decimals) for end in (low, high))
    return f"{'–'.join(ends)} {unit.symbol}"


def _decimals(value: Quantity) -> int:
    """How many a figure has; of a fraction of an inch so many that no line of the rule is lost."""
    return 2 if any("/" in numeral for numeral in value.numerals) else value.decimals


def _notes(record: SheetRecord, form: Form, judged: Judged) -> Iterator[str]:
    """What the steps leave behind, in the order of the work."""
    rejected = {step.key for step in judged.rejected}
    for step in form.steps:
        filled = record.steps.get(step.key)
        for each in record.rounds:
            if each.step == step.key and (
                before := ", ".join(text for texts in each.readings.values() for text in texts)
            ):
                yield f"Step {step.number}, {_lowered(step.words)}: {before} before it was put right."
        if step.key in rejected:
            good = "within limits" if step.by_reading else "accepted"
            yield f"Step {step.number}, {_lowered(step.words)}: not {good}."
        for words, written in zip(step.words_to_write, filled.written if filled else (), strict=False):
            if written:
                yield f"{words}: {written}{'' if written.endswith('.') else '.'}"
        if filled and filled.note:
            yield f"Step {step.number}: {filled.note}{'' if filled.note.endswith('.') else '.'}"


def _plain(text: str) -> str:
    """Words that nobody typed as names of the format: braces are braces."""
    return text.replace("{", "{{").replace("}", "}}")


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:]
