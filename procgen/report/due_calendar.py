"""What is due as an iCalendar file (RFC 5545): one all-day event for each piece of work that has a day.

Work that is overdue stands on the day of the export, so that whoever opens the calendar sees it. The same work keeps
its UID from export to export: a calendar that reads the file again moves the event.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from procgen import __version__
from procgen.upkeep.due import Due, MachineDue
from procgen.upkeep.gauge import Standing
from procgen.upkeep.wording import bites_first, last_done, limit_used, plans, remarks

_LONGEST = 75
"""Octets of a line, its break not counted (RFC 5545, 3.1)."""


def due_calendar(on: date, machines: Sequence[MachineDue]) -> bytes:
    """The calendar, UTF-8 with CRLF. The same library and day give the same bytes."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//procgen//procgen {__version__}//EN",
        "CALSCALE:GREGORIAN",
    ]
    for machine in machines:
        for due in machine.work:
            if due.due_on is not None:
                lines.extend(_event(due, due.due_on, machine, on))
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(due: Due, due_on: date, machine: MachineDue, on: date) -> Iterator[str]:
    day = max(due_on, on)
    logbook = machine.logbook
    yield "BEGIN:VEVENT"
    yield f"UID:{logbook.address.id}.{due.item.address.id}.due@procgen"
    yield f"DTSTAMP:{on:%Y%m%d}T000000Z"
    yield f"DTSTART;VALUE=DATE:{_date(day)}"
    if day < date.max:
        yield f"DTEND;VALUE=DATE:{_date(day + timedelta(days=1))}"  # the day after the last (3.6.1)
    said = f"overdue since {due_on}" if due.standing is Standing.OVERDUE else "due"
    yield f"SUMMARY:{_escaped(f'{logbook.name}: {due.item.title}, {said}')}"
    yield f"DESCRIPTION:{_escaped(_description(due, machine))}"
    if logbook.where:
        yield f"LOCATION:{_escaped(logbook.where)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _description(due: Due, machine: MachineDue) -> str:
    limits = ", ".join(limit_used(use, due.on) for use in bites_first(due))
    return "\n".join(
        (
            f"{machine.machine.title}, {machine.logbook.serial}".rstrip(", "),
            f"Used on {due.on}: {limits}",
            f"Last done: {last_done(due, machine.machine.meter)}",
            *remarks(due, machine),
            *plans(due),
        )
    )


def _date(day: date) -> str:
    return day.isoformat().replace("-", "")


def _escaped(text: str) -> str:
    """A TEXT value (3.3.11)."""
    for character in ("\\", ";", ","):
        text = text.replace(character, f"\\{character}")
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")


def _folded(line: str) -> bytes:
    """A content line with its breaks: no piece over 75 octets, no character torn apart."""
    pieces: list[bytearray] = [bytearray()]
    for character in line:
        octets = character.encode("utf-8")
        if len(pieces[-1]) + len(octets) > _LONGEST:
            pieces.append(bytearray(b" "))
        pieces[-1] += octets
    return b"\r\n".join(bytes(piece) for piece in pieces) + b"\r\n"
