"""How often work falls due, and on which day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procgen.measure.error import MeasureError
from procgen.measure.interval import CalendarLimit, CalendarUnit, Meter, MeterLimit, add_calendar, parse_interval


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("1500 h", "every 1\u202f500 h"),
        (["1500 h", "5 years"], "every 1\u202f500 h or 5 years, whichever comes first"),
        (
            ["10 000 km", "12 months", "500 cycles"],
            "every 10\u202f000 km, 12 months or 500 cycles, whichever comes first",
        ),
        ("1 year", "every 1 year"),
        ("2 weeks", "every 2 weeks"),
        ("6000 miles", "every 6\u202f000 mi"),
    ],
)
def test_an_interval_is_said_in_plain_words(written: object, said: str) -> None:
    assert str(parse_interval(written)) == said


def test_meters_and_the_calendar_are_told_apart() -> None:
    interval = parse_interval(["1500 h", "5 years"])

    assert interval.meter_limits == (MeterLimit(amount=1500, meter=Meter.HOURS, text="1\u202f500 h"),)  # type: ignore[arg-type]
    assert interval.calendar_limits == (CalendarLimit(amount=5, unit=CalendarUnit.YEARS, text="5 years"),)


EXAMPLES = '"1500 h", "10 000 km", "500 cycles" or "5 years"'


@pytest.mark.parametrize(
    ("written", "path", "message"),
    [
        (1500, (), f'"1500" has no unit; an interval is written as {EXAMPLES}.'),
        ([], (), f"the list has no limit; write at least one, as in {EXAMPLES}."),
        (None, (), f"an interval is written as {EXAMPLES}."),
        (["1500 h", "5 mm"], (1,), f'"5 mm" is a length; an interval is written as {EXAMPLES}.'),
        ("5–6 years", (), f'"5–6 years" is no interval; it needs one figure above 0, as in {EXAMPLES}.'),
        ("0 h", (), f'"0 h" is no interval; it needs one figure above 0, as in {EXAMPLES}.'),
        ("1.5 years", (), '"1.5 years" is not whole; write it in a smaller unit, as in "18 months".'),
        ("101 years", (), '"101 years" is longer than a machine lives.'),
        (["1 year", "5 months"], (1,), '"1 year" and "5 months" are both times by the calendar; keep one.'),
        (["10 km", "5 mi"], (1,), '"10 km" and "5 mi" are both distances; keep one.'),
        ("5 yaers", (), f'"yaers" is not a unit known here; did you mean year? An interval is written as {EXAMPLES}.'),
    ],
)
def test_an_interval_that_cannot_be_read_is_told_with_its_place(
    written: object, path: tuple[int, ...], message: str
) -> None:
    with pytest.raises(MeasureError) as caught:
        parse_interval(written)

    assert str(caught.value) == message
    assert caught.value.path == path


def due(start: str, interval: str) -> str:
    (limit,) = parse_interval(interval).calendar_limits
    return add_calendar(date.fromisoformat(start), limit).isoformat()


@pytest.mark.parametrize(
    ("start", "interval", "expected"),
    [
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2028-01-31", "1 month", "2028-02-29"),
        ("2026-08-31", "1 month", "2026-09-30"),
        ("2026-11-30", "3 months", "2027-02-28"),
        ("2026-12-15", "1 month", "2027-01-15"),
        ("2024-02-29", "1 year", "2025-02-28"),
        ("2024-02-29", "4 years", "2028-02-29"),
        ("2026-12-31", "2 weeks", "2027-01-14"),
        ("2028-02-28", "2 days", "2028-03-01"),
        ("9999-06-01", "1 year", "9999-12-31"),
        ("9999-12-30", "2 weeks", "9999-12-31"),
    ],
)
def test_the_day_on_which_work_is_due_again(start: str, interval: str, expected: str) -> None:
    assert due(start, interval) == expected


@given(st.dates(max_value=date(2200, 1, 1)), st.integers(1, 1200))
def test_months_move_the_month_by_as_many_and_keep_the_day_or_take_the_last(start: date, months: int) -> None:
    end = add_calendar(start, CalendarLimit(amount=months, unit=CalendarUnit.MONTHS, text=""))

    assert (end.year * 12 + end.month) - (start.year * 12 + start.month) == months
    is_last_of_month = (end + timedelta(days=1)).day == 1
    assert end.day == start.day or (end.day < start.day and is_last_of_month)
