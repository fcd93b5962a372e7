"""Edge cases of schedules that cannot be kept, and of readings that nobody answered."""

from tests.written import lines

PROCEDURES = {
    f"{name}.yaml": f"procedure: {name}\nmachine: winch\nsteps:\n  - do: Do it.\n"
    for name in ("renew-belt", "see-belt")
}


def test_miles_may_stand_on_a_machine_that_counts_kilometres() -> None:
    machine = """\
        machine: winch
        meter: km
        schedule:
          belt: {title: Belt, every: [6000 mi, 1 year], do: renew-belt}
          chain: {title: Chain, every: 40 h, do: see-belt}
        """
    assert lines({**PROCEDURES, "m.yaml": machine}, "interval-unmetered") == [
        "m.yaml:5:32 warning interval-unmetered: Chain is due after 40 h, and Winch cannot tell: its meter counts km."
    ]


def test_a_machine_without_a_meter_cannot_count_hours() -> None:
    machine = """\
        machine: winch
        schedule:
          belt: {title: Belt, every: [500 h, 1 year], do: renew-belt}
        """
    assert lines({**PROCEDURES, "m.yaml": machine}, "interval-unmetered") == [
        "m.yaml:3:30 warning interval-unmetered: Belt is due after 500 h, and Winch cannot tell: it has no meter."
    ]


def test_a_ring_is_told_once_and_what_only_leads_into_it_is_not_in_it() -> None:
    machine = """\
        machine: winch
        schedule:
          lead: {title: Lead, every-nth: {of: one, n: 2}, do: see-belt}
          one: {title: One, every-nth: {of: two, n: 2}, do: see-belt}
          two: {title: Two, every-nth: {of: three, n: 2}, do: see-belt}
          three: {title: Three, every-nth: {of: one, n: 2}, do: renew-belt}
        """
    assert lines({**PROCEDURES, "m.yaml": machine}, "interval-circular") == [
        "m.yaml:4:32 error interval-circular: One is counted by itself, one → two → three → one: it never falls due."
    ]


def test_work_that_is_counted_in_times_of_itself_is_a_ring() -> None:
    machine = "machine: winch\nschedule:\n  one: {title: One, every-nth: {of: one, n: 2}, do: see-belt}\n"
    assert len(lines({**PROCEDURES, "m.yaml": machine}, "interval-circular")) == 1


LOGGED = {
    **PROCEDURES,
    "m.yaml": """\
        machine: winch
        components:
          belt: {part: belt}
        specs:
          play: {title: Play, of: belt, limits: 5–7 mm}
        """,
    "parts.yaml": "parts:\n  belt: {title: Belt}\n",
}


def found(entry: str) -> list[str]:
    log = f"logbook: one\nmachine: winch\nname: Winch One\nentries:\n  - {{on: 2025-05-01, {entry}}}\n"
    return lines({**LOGGED, "log.yaml": log}, "reading-out-of-limits")


def test_a_reading_outside_its_limits_is_answered_by_a_note_or_by_a_new_part() -> None:
    (line,) = found("readings: {play: 9 mm}")
    assert line == (
        "log.yaml:5:32 advice reading-out-of-limits: Play of Winch One was 9 mm on 2025-05-01, outside 5–7 mm, "
        "and the entry does not say what was done about it."
    )
    assert found("readings: {play: 9 mm}, note: Tightened.") == []
    assert found("readings: {play: 9 mm}, parts: [belt]") == []


def test_a_reading_at_its_limit_is_good() -> None:
    assert found("readings: {play: 7.0 mm}") == []
    assert len(found("readings: {play: 7.1 mm}")) == 1
