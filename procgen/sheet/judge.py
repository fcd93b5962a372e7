"""Holds a record against the sheet that it was filled in on: what is wrong with it, and what is still open.

The page in the browser follows the same rules while it is filled in, so that nobody learns at the end what was wrong
at step 3. This module is the authority: a record may come from anywhere.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from procgen.library.catalogue import Units
from procgen.library.condition import holds
from procgen.measure.error import MeasureError
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.sheet.boxes import Form, ReadingBox, StepBoxes
from procgen.sheet.reading import ReadingError, read_typed, scale_of
from procgen.sheet.record import Filled, SheetRecord

_NOTHING = Filled()


@dataclass(frozen=True, slots=True)
class Complaint:
    """Something in a record that cannot stand."""

    message: str
    remedy: str
    """What to do about it, as an order."""


@dataclass(frozen=True, slots=True)
class Open:
    """A step that is not finished."""

    step: StepBoxes
    missing: tuple[str, ...]
    """What it lacks: "the tick", "the signature of the checker"."""


@dataclass(frozen=True, kw_only=True)
class Judged:
    """A record, judged."""

    complaints: tuple[Complaint, ...]
    open: tuple[Open, ...]
    """In the order of the work."""
    done: tuple[StepBoxes, ...]
    """The steps that were to be done in this way through and are, in the order of the work."""
    readings: Mapping[tuple[str, str], tuple[Quantity, ...]] = field(default_factory=dict)
    """What was read, by the key of the step and the id of the box."""
    rejected: tuple[StepBoxes, ...] = ()
    """Steps that were not accepted, or not within their limits."""


def judge(record: SheetRecord, form: Form, units: Units, variants: Mapping[str, str]) -> Judged:
    """Judge a record of that form's sheet. units: those of the manual. variants: of the individual machine."""
    return _Judge(record, form, units, variants).judged()


class _Judge:
    def __init__(self, record: SheetRecord, form: Form, units: Units, variants: Mapping[str, str]) -> None:
        self.record = record
        self.form = form
        self.units = units
        self.complaints: list[Complaint] = []
        self.open: list[Open] = []
        self.readings: dict[tuple[str, str], tuple[Quantity, ...]] = {}
        self.choices: dict[str, bool | str] = self._chosen(variants)

    def judged(self) -> Judged:
        """The whole verdict."""
        self._unknown_steps()
        done, rejected = [], []
        for step in self.form.steps:
            filled = self.record.steps.get(step.key, _NOTHING)
            if not holds(step.when, self.choices):
                self._not_to_be_done(step, filled)
                continue
            missing = tuple(self._step(step, filled))
            if missing:
                self.open.append(Open(step, missing))
            else:
                done.append(step)
            if step.outcome and self.choices[step.outcome] is False:
                rejected.append(step)
        return Judged(
            complaints=tuple(self.complaints),
            open=tuple(self.open),
            done=tuple(done),
            readings=self.readings,
            rejected=tuple(rejected),
        )

    def _complain(self, message: str, remedy: str) -> None:
        self.complaints.append(Complaint(message, remedy))

    def _chosen(self, variants: Mapping[str, str]) -> dict[str, bool | str]:
        """A value for every choice: as the record has it, else as the machine is, else as it is usual.

        An inspection that nobody has decided counts as passed: its step is open, and its branch is not.
        """
        chosen: dict[str, bool | str] = {}
        for name, values in self.form.choices.items():
            option = self.form.asked.get(name)
            usual = option.default if option else values[0]
            known = variants.get(name)
            given = self.record.choices.get(name, usual)
            if known in values:
                given = known or given
            elif given not in values:
                said = ", ".join(str(value) for value in values)
                self._complain(f'"{given}" is no choice for {name.replace("-", " ")}.', f"choose one of {said}")
                given = usual
            chosen[name] = given
        for step in self.form.steps:
            if step.outcome:
                chosen[step.outcome] = self._outcome(step, self.record.steps.get(step.key, _NOTHING))
        return chosen

    def _outcome(self, step: StepBoxes, filled: Filled) -> bool:
        if not step.by_reading:
            return filled.accepted is not False
        return not any(
            self._is_outside(box, typed) for box in step.readings for typed in filled.readings.get(box.id, ())
        )

    def _is_outside(self, box: ReadingBox, typed: str) -> bool:
        if box.limits is None or not typed:
            return False
        try:
            return not read_typed(typed, scale_of(box.limits, self.units)).is_good
        except ReadingError:
            return False

    def _unknown_steps(self) -> None:
        for key in self.record.steps:
            if key not in self.form.by_key:
                self._complain(
                    f'The record has something filled in for a step "{key}", and the sheet has no such step.',
                    "open the sheet as it is now, and carry the record over",
                )

    def _not_to_be_done(self, step: StepBoxes, filled: Filled) -> None:
        if any(filled.done):
            self._complain(
                f"Step {step.number} ({step.words}) is ticked, and in this way through it is not done at all.",
                "take the tick out, or mend the choice that leads there",
            )

    def _step(self, step: StepBoxes, filled: Filled) -> Iterator[str]:
        """What a step lacks. What cannot stand at all is complained about."""
        self._unknown_boxes(step, filled)
        if filled.done.count(True) < step.ticks:
            yield "the tick" if step.ticks == 1 else f"{step.ticks - filled.done.count(True)} of {step.ticks} ticks"
        if step.outcome and not step.by_reading and filled.accepted is None:
            yield "whether it was good"
        for box in step.readings:
            yield from self._read(step, box, filled.readings.get(box.id, ()))
        for run_down in step.run_downs:
            typed = filled.run_down.get(run_down.fastener, ())
            for figure in (text for text in typed if text):
                self._torque(step, figure, run_down.figures[0])
            if sum(map(bool, typed)) < run_down.count:
                yield f"the run-down torque of the {run_down.title}"
        for place, words in enumerate(step.words_to_write):
            if not "".join(filled.written[place : place + 1]):
                yield f'what was found ("{words}")'
        yield from self._signatures(step, filled)

    def _unknown_boxes(self, step: StepBoxes, filled: Filled) -> None:
        known = {box.id for box in step.readings}
        for id_ in filled.readings.keys() - known:
            self._complain(
                f"Step {step.number} has a reading of {id_}, which is not measured there.",
                "open the sheet as it is now, and carry the record over",
            )
        for role in filled.signed.keys() - set(step.signs):
            if filled.signed[role]:
                self._complain(
                    f"Step {step.number} is signed in the role of {role}, and nobody asked for that.",
                    f"have it signed by {' and '.join(step.signs) or 'nobody'}",
                )

    def _read(self, step: StepBoxes, box: ReadingBox, typed: tuple[str, ...]) -> Iterator[str]:
        given = [text for text in typed if text]
        found = tuple(quantity for text in given if (quantity := self._reading(step, box, text)))
        if found:
            self.readings[step.key, box.id] = found
        if len(given) < box.count:
            left = box.count - len(given)
            yield f"the reading of {box.title}" if box.count == 1 else f"{left} readings of {box.title}"

    def _reading(self, step: StepBoxes, box: ReadingBox, typed: str) -> Quantity | None:
        scale = box.scale(self.units)
        if scale is None:
            try:
                return parse_quantity(typed)
            except MeasureError as error:
                self._complain(f"Step {step.number}, {box.title}: {error}", "type a figure with its unit")
                return None
        try:
            reading = read_typed(typed, scale)
        except ReadingError as error:
            self._complain(f"Step {step.number}, {box.title}: {error}.", "mend the reading on the sheet")
            return None
        if not reading.is_good and not step.by_reading:
            self._complain(
                f"Step {step.number}: {box.title} reads {reading.numeral} {reading.unit.symbol}, and its limits are "
                f"{scale.words}.",
                "bring it within its limits, or write the deviation into the logbook by hand",
            )
        return reading.quantity

    def _torque(self, step: StepBoxes, typed: str, figure: Quantity) -> None:
        try:
            read_typed(typed, scale_of(figure, self.units))
        except ReadingError as error:
            self._complain(f"Step {step.number}, run-down torque: {error}.", "mend it on the sheet")

    def _signatures(self, step: StepBoxes, filled: Filled) -> Iterator[str]:
        signed: dict[str, str] = {}
        for role in step.signs:
            name = filled.signed.get(role, "")
            if not name:
                yield f"the signature of the {role}"
            elif other := signed.get(name.casefold()):
                self._complain(
                    f"Step {step.number} ({step.words}) is signed by {name} as {other} and as {role}.",
                    "have a second person look at it and sign",
                )
            signed.setdefault(name.casefold(), role)
