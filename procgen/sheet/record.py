"""A filled-in sheet as a value: what came out of the browser, before anybody has judged it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class SheetKind(StrEnum):
    """What a sheet is the sheet of; the word is its key in the record."""

    JOB = "job"
    PROCEDURE = "procedure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What was filled in at one step."""

    done: tuple[bool, ...] = ()
    """A tick for each time."""
    accepted: bool | None = None
    """None where nobody has decided, or the readings decide."""
    readings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By the id of the box, as typed."""
    run_down: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By the id of the fastener, as typed."""
    written: tuple[str, ...] = ()
    """In the order in which the sheet asks."""
    signed: Mapping[str, str] = field(default_factory=dict)
    """Who, by role."""
    note: str = ""
    at: str = ""
    """When the last box was filled in, as ISO 8601 has it."""
    mark: str = ""
    """The fingerprint of the step's own words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A time that the work went back, and what had been read until then."""

    step: str
    """Key of the step that was measured or looked at again."""
    readings: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRecord:
    """One filled-in sheet."""

    id: str
    """Its own, drawn when the first box was filled in."""
    kind: SheetKind
    subject: str
    """Id of the job or the procedure."""
    logbook: str
    """Of the individual machine; empty where nobody has said which."""
    revision: str
    fingerprint: str
    """Of the sheet that was filled in."""
    is_finished: bool
    """Whether whoever filled it in says so."""
    saved: str = ""
    choices: Mapping[str, bool | str] = field(default_factory=dict)
    """Options and variants, where the sheet asks for them."""
    steps: Mapping[str, Filled] = field(default_factory=dict)
    rounds: tuple[Round, ...] = ()
    on: str = ""
    """The day on which the work was finished."""
    meter: str = ""
    """As typed."""
    by: str = ""
    checked_by: str = ""
    note: str = ""

    @property
    def name(self) -> str:
        """How a logbook names it: sheet, fingerprint, own id."""
        return f"{self.subject} {self.fingerprint} {self.id}"
