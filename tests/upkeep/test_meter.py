"""How fast a meter runs, and what it says on days on which nobody read it."""

from datetime import date
from fractions import Fraction

import pytest

from procgen.upkeep.due import MachineDue
from procgen.upkeep.meter import DAYS_IN_A_YEAR
from tests.upkeep.judged import only_machine


def machine(readings: str, on: str = "2026-11-01", head: str = "") -> MachineDue:
    """A launch with readings, as the flow of a list of maps."""
    return only_machine(
        {
            "launch.yaml": "machine: launch\nmeter: hours\n",
            "log.yaml": f"logbook: one\nmachine: launch\n{head}\nmeter: [{readings}]\n",
        },
        on,
    )


def yearly(readings: str, on: str = "2026-11-01") -> float | None:
    a_year = machine(readings, on).track.yearly
    return None if a_year is None else float(a_year)


STEADY = "{on: 2024-01-01, hours: 0}, {on: 2025-01-01, hours: 366}, {on: 2026-01-01, hours: 731}"


def test_a_steady_meter_runs_at_its_own_rate() -> None:
    assert yearly(STEADY) == float(DAYS_IN_A_YEAR)  # an hour a day


def test_one_misread_figure_hardly_moves_the_rate() -> None:
    """A figure with a nought too many: a least-squares line would say 500 h a year instead of 120."""
    months = [f"{{on: 2025-{month:02d}-01, hours: {month * 10}}}" for month in range(1, 13)]
    plain, misread = ", ".join(months), ", ".join(months).replace("hours: 110}", "hours: 1100}")
    steady, moved = yearly(plain), yearly(misread)
    assert steady is not None
    assert moved == pytest.approx(steady, rel=0.05)


def test_a_winter_ashore_is_averaged_over_the_year() -> None:
    """Forty hours a month from April to October, none in winter: 280 h a year, whenever the last reading was."""
    season = [(year, month) for year in (2023, 2024, 2025) for month in range(1, 13)]
    readings, hours = [], 0
    for year, month in season:
        readings.append(f"{{on: {year}-{month:02d}-01, hours: {hours}}}")
        hours += 40 if 4 <= month <= 10 else 0
    for last in (24, 28, 32, 36):
        assert yearly(", ".join(readings[:last])) == pytest.approx(280, rel=0.12), last


def test_only_the_last_three_years_count() -> None:
    """A launch that did 400 h a year and does 100 now."""
    busy = "{on: 2018-01-01, hours: 0}, {on: 2019-01-01, hours: 400}, {on: 2020-01-01, hours: 800}"
    quiet = "{on: 2023-01-01, hours: 900}, {on: 2024-01-01, hours: 1000}, {on: 2025-01-01, hours: 1100}"
    assert yearly(f"{busy}, {quiet}, {{on: 2025-12-31, hours: 1200}}") == pytest.approx(100, rel=0.01)


@pytest.mark.parametrize(
    ("readings", "why"),
    [
        ("", "none"),
        ("{on: 2026-01-01, hours: 100}", "one"),
        ("{on: 2026-01-01, hours: 100}, {on: 2026-03-31, hours: 200}", "89 days apart"),
    ],
)
def test_too_few_readings_tell_no_rate(readings: str, why: str) -> None:
    assert yearly(readings) is None, why


def test_a_meter_that_stands_still_has_the_rate_nought() -> None:
    assert yearly("{on: 2024-01-01, hours: 100}, {on: 2026-01-01, hours: 100}") == 0


def test_between_readings_the_meter_is_taken_in_proportion_and_after_them_by_the_rate() -> None:
    track = machine(STEADY).track
    assert track.at(date(2023, 12, 31)) is None
    assert track.at(date(2024, 7, 1)) == 182
    assert track.at(date(2026, 1, 11)) == 741
    assert track.day_of(Fraction(741)) == date(2026, 1, 11)


def test_a_figure_that_is_lower_than_an_earlier_one_is_passed_over() -> None:
    found = machine("{on: 2024-01-01, hours: 500}, {on: 2025-01-01, hours: 50}, {on: 2026-01-01, hours: 600}")
    assert [float(noted.value) for noted in found.track.noted] == [500, 600]
