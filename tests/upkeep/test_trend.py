"""Readings are parted where the part was renewed, and a line through them says when a limit is met."""

from datetime import date

from procgen.upkeep.trend import Axis, Trend
from tests.upkeep.judged import only_machine

PUMP = {
    "launch.yaml": """\
        machine: launch
        meter: hours
        components:
          impeller: {part: impeller}
          anode: {part: anode}
        specs:
          blade: {of: impeller, limits: ">= 3.2 mm"}
          rod: {of: anode, limits: ">= 25 mm"}
        schedule:
          impeller: {of: impeller, every: [300 h, 1 year], do: see-impeller, kind: inspect}
          anode: {of: anode, every: 6 months, do: see-anode, kind: inspect}
        """,
    "parts.yaml": """\
        parts:
          impeller: {title: Impeller}
          anode: {title: Anode}
        """,
    "see-impeller.yaml": """\
        procedure: see-impeller
        machine: launch
        steps:
          - measure: blade
            out-of-limits:
              - renew: impeller
                new: [impeller]
        """,
    "see-anode.yaml": """\
        procedure: see-anode
        machine: launch
        steps:
          - measure: rod
        """,
    "new-impeller.yaml": """\
        procedure: new-impeller
        machine: launch
        steps:
          - renew: impeller
            new: [impeller]
          - measure: blade
        """,
}


def trend_of(entries: str, on: str = "2026-11-01", files: dict[str, str] = PUMP) -> Trend:
    machine = only_machine({**files, "log.yaml": f"logbook: one\nmachine: launch\nentries: [{entries}]\n"}, on)
    (trend,) = machine.trends
    return trend


def figures(entries: str, files: dict[str, str] = PUMP) -> list[list[float]]:
    """The readings of each part."""
    trend = trend_of(entries, files=files)
    return [[float(reading.y) for reading in series.readings] for series in trend.series]


def entry(on: str, hours: int, reading: str, more: str = "did: see-impeller") -> str:
    return f"{{on: {on}, hours: {hours}, {more}, readings: {{{reading}}}}}"


WORN = ", ".join(
    [
        entry("2024-01-01", 0, "blade: 4.0 mm"),
        entry("2025-01-01", 366, "blade: 3.8 mm"),
        entry("2026-01-02", 732, "blade: 3.6 mm"),
    ]
)


def test_three_readings_make_a_line_and_the_line_meets_the_limit() -> None:
    trend = trend_of(WORN)
    projection = trend.current.projection
    assert projection is not None
    assert (trend.axis, float(projection.limit), projection.is_upper) == (Axis.METER, 3.2, False)
    # 0.2 mm in 366 h, so 3.2 mm at 1464 h, which is 732 h more, at an hour a day
    assert projection.due_on == date(2028, 1, 4)
    assert projection.earliest == projection.due_on == projection.latest  # they lie on the line


def test_two_readings_make_none() -> None:
    trend = trend_of(", ".join([entry("2024-01-01", 0, "blade: 4.0 mm"), entry("2025-01-01", 366, "blade: 3.8 mm")]))
    assert (trend.current.line, trend.current.projection) == (None, None)


def test_readings_that_move_away_from_their_only_limit_lead_nowhere() -> None:
    growing = WORN.replace("3.6 mm", "4.4 mm").replace("3.8 mm", "4.2 mm")
    assert trend_of(growing).current.projection is None


def test_a_reading_taken_before_the_renewal_closes_the_old_parts_series() -> None:
    """The procedure measures first, and renews what it finds worn: 3.3 mm is the old impeller, though still good."""
    renewed = entry("2026-02-01", 800, "blade: 3.3 mm", "did: see-impeller, parts: [impeller]")
    after = entry("2026-06-01", 900, "blade: 3.9 mm")
    assert figures(", ".join([WORN, renewed, after])) == [[4.0, 3.8, 3.6, 3.3], [3.9]]


def test_a_reading_taken_after_the_renewal_opens_the_new_parts_series() -> None:
    """The procedure always renews, and measures what it fitted; the entry need not list the part."""
    assert figures(f"{WORN}, {entry('2026-02-01', 800, 'blade: 4.0 mm', 'did: new-impeller')}") == [
        [4.0, 3.8, 3.6],
        [4.0],
    ]


def test_where_no_procedure_tells_the_limits_do() -> None:
    """Nobody leaves a new part outside its limits."""
    worn = entry("2026-02-01", 800, "blade: 3.0 mm", "parts: [impeller]")
    good = entry("2026-02-01", 800, "blade: 4.0 mm", "parts: [impeller]")
    assert figures(f"{WORN}, {worn}") == [[4.0, 3.8, 3.6, 3.0], []]
    assert figures(f"{WORN}, {good}") == [[4.0, 3.8, 3.6], [4.0]]


def test_a_procedure_that_renews_only_what_is_worn_starts_no_new_series_by_itself() -> None:
    assert figures(f"{WORN}, {entry('2026-02-01', 800, 'blade: 3.5 mm')}") == [[4.0, 3.8, 3.6, 3.5]]


def test_a_part_that_replaces_another_is_the_same_part() -> None:
    parts = "parts:\n  impeller: {title: Impeller, replaces: old-impeller}\n  old-impeller: {title: Old}\n  anode: {}\n"
    log = f"{WORN}, {{on: 2026-02-01, hours: 800, parts: [old-impeller]}}"
    assert figures(log, {**PUMP, "parts.yaml": parts}) == [[4.0, 3.8, 3.6], []]


def test_what_only_the_calendar_wears_is_set_against_the_calendar() -> None:
    readings = [entry(f"2026-0{month}-01", 100, f"rod: {50 - 4 * month} mm", "did: see-anode") for month in (1, 3, 5)]
    trend = trend_of(", ".join(readings))
    assert trend.axis is Axis.CALENDAR
    # 8 mm in 60 days, so the last 5 mm take 37.5
    assert trend.current.projection is not None
    assert trend.current.projection.due_on == date(2026, 6, 8)


def test_a_reading_in_another_unit_is_turned_into_the_unit_of_the_limits() -> None:
    assert figures(entry("2024-01-01", 0, "blade: 0.15 in")) == [[3.81]]


def test_readings_after_the_day_are_not_known_yet() -> None:
    assert len(trend_of(WORN, on="2025-06-01").readings) == 2
