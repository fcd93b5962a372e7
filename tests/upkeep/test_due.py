"""What is due, and why: by the meter or by the calendar, whichever comes first, counted from when it was last done."""

from datetime import date
from fractions import Fraction

import pytest

from procgen.upkeep.history import Basis
from tests.upkeep.judged import only_machine, said, work


def car(log: str, every: str = "[90000 mi, 6 years]", head: str = "") -> dict[str, str]:
    """A car whose belt has an interval (90 000 mi or 6 years is common practice, no source) and a logbook."""
    return {
        "car.yaml": f"""\
            machine: car
            meter: mi
            components:
              belt: {{part: belt}}
            schedule:
              belt: {{of: belt, every: {every}, do: renew-belt, kind: renew}}
            """,
        "parts.yaml": """\
            parts:
              belt: {title: Belt}
            """,
        "renew-belt.yaml": """\
            procedure: renew-belt
            machine: car
            steps:
              - do: Renew the belt.
            """,
        "log.yaml": f"""\
            logbook: old-red
            machine: car
            {head}
            entries: [{log}]
            """,
    }


DRIVEN = "{on: 2020-05-01, mi: 20000, did: renew-belt}, {on: 2023-05-01, mi: 50000}, {on: 2026-05-01, mi: 80000}"


def test_a_belt_is_due_by_its_six_years_at_60_000_of_its_90_000_miles_and_says_which_limit_bit() -> None:
    belt = work(car(DRIVEN), "2026-05-01")["belt"]
    assert said(belt) == "overdue 2026-05-01 100 % of 6 years"
    miles, years = belt.limits
    assert belt.bites is years
    assert miles.used_on(belt.on) == pytest.approx(60_000 / 90_000, abs=0.001)
    assert miles.due_on is not None
    assert miles.due_on.year == 2029


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2020-05-01", "fine 2026-05-01 0 % of 6 years"),
        ("2025-09-23", "fine 2026-05-01 90 % of 6 years"),
        ("2025-09-24", "due soon 2026-05-01 90 % of 6 years"),  # a tenth of six years before
        ("2026-04-30", "due soon 2026-05-01 100 % of 6 years"),
        ("2026-05-01", "overdue 2026-05-01 100 % of 6 years"),
        ("2029-05-01", "overdue 2026-05-01 150 % of 6 years"),
    ],
)
def test_it_is_fine_then_due_soon_then_overdue(on: str, expected: str) -> None:
    assert said(work(car(DRIVEN), on)["belt"]) == expected


@pytest.mark.parametrize(
    ("every", "log", "on", "expected"),
    [
        pytest.param(
            "[90000 mi, 6 years]",
            "{on: 2024-01-01, mi: 0, did: renew-belt}, {on: 2025-01-01, mi: 60000}, {on: 2025-07-02, mi: 90000}",
            "2025-07-02",
            "overdue 2025-07-02 100 % of 90\u202f000 mi",
            id="driven hard, the miles bite",
        ),
        pytest.param(
            "[90000 mi, 6 years]",
            "{on: 2024-01-01, mi: 0, did: renew-belt}, {on: 2025-01-01, mi: 36600}",
            "2025-01-01",
            "fine 2026-06-19 41 % of 90\u202f000 mi",  # 100 mi a day: 534 days more
            id="a day on which the meter will say so",
        ),
        pytest.param(
            "1000 mi",
            "{on: 2024-01-01, mi: 0, did: renew-belt}, {on: 2025-01-01, mi: 3660}",
            "2025-01-01",
            "overdue 2024-04-10 366 % of 1\u202f000 mi",  # 10 mi a day
            id="the day on which the meter passed the limit, between two readings",
        ),
        pytest.param(
            "1000 km",
            "{on: 2024-01-01, mi: 0, did: renew-belt}, {on: 2025-01-01, mi: 366}",
            "2025-01-01",
            "fine 2025-09-14 59 % of 1\u202f000 km",  # 621.37 mi at 1 mi a day: the 622nd day
            id="kilometres on a meter that counts miles",
        ),
        pytest.param(
            "6 months",
            "{on: 2026-01-01, did: renew-belt}",
            "2026-05-16",
            "fine 2026-07-01 75 % of 6 months",
            id="a short interval is not due soon before three quarters of it",
        ),
        pytest.param(
            "6 months",
            "{on: 2026-01-01, did: renew-belt}",
            "2026-05-17",
            "due soon 2026-07-01 75 % of 6 months",
            id="from three quarters on it is",
        ),
        pytest.param(
            "1 year",
            "{on: 2025-01-01, did: renew-belt}",
            "2025-10-03",
            "due soon 2026-01-01 75 % of 1 year",
            id="90 days before",
        ),
        pytest.param("1 year", "", "2026-01-01", "never done - ? of -", id="nothing tells"),
        pytest.param(
            "500 mi",
            "{on: 2026-01-01, mi: 100, did: renew-belt}, {on: 2026-02-01, mi: 200}",
            "2026-06-01",
            "unknown - 20 % of 500 mi",
            id="too few readings for a rate",
        ),
        pytest.param(
            "500 mi",
            "{on: 2026-01-01, mi: 100, did: renew-belt}, {on: 2026-02-01, mi: 700}",
            "2026-06-01",
            "overdue 2026-01-27 120 % of 500 mi",
            id="too few readings for a rate, and over nevertheless",
        ),
        pytest.param(
            "500 mi",
            "{on: 2026-01-01, did: renew-belt}",
            "2026-06-01",
            "unknown - ? of -",
            id="a meter that nobody read",
        ),
        pytest.param(
            "[500 mi, 1 year]",
            "{on: 2026-01-01, did: renew-belt}",
            "2026-06-01",
            "fine 2027-01-01 41 % of 1 year",
            id="a meter that nobody read, and a year that one can tell",
        ),
        pytest.param(
            "500 mi",
            "{on: 2024-01-01, mi: 100, did: renew-belt}, {on: 2025-02-01, mi: 100}",
            "2026-06-01",
            "fine - 0 % of 500 mi",
            id="laid up: at this rate it never falls due",
        ),
    ],
)
def test_table_of_cases(every: str, log: str, on: str, expected: str) -> None:
    assert said(work(car(log, every), on)["belt"]) == expected


def test_work_that_was_never_done_counts_from_the_day_the_machine_came_into_service() -> None:
    files = car("{on: 2026-01-01, mi: 54000}", head="in-service: 2020-01-01")
    belt = work(files, "2026-01-01")["belt"]
    assert said(belt) == "overdue 2026-01-01 100 % of 6 years"
    assert belt.is_never_done
    assert belt.since is not None
    assert (belt.since.basis, belt.since.on, belt.since.meter) == (
        Basis.IN_SERVICE,
        date(2020, 1, 1),
        Fraction(0),
    )
    assert belt.limits[0].used_on(belt.on) == pytest.approx(0.6)


def test_a_limit_that_cannot_be_told_says_why() -> None:
    files = car("{on: 2026-01-01, did: renew-belt}", "[500 h, 1 year]")
    belt = work(files, "2026-02-01")["belt"]
    assert [use.trouble for use in belt.limits] == ["the machine's meter counts mi", ""]


def test_entries_and_readings_after_the_day_are_not_known_yet() -> None:
    log = "{on: 2020-05-01, mi: 20000, did: renew-belt}, {on: 2026-05-20, mi: 80000, did: renew-belt}"
    assert said(work(car(log), "2026-05-19")["belt"]) == "overdue 2026-05-01 101 % of 6 years"
    assert said(work(car(log), "2026-05-20")["belt"]) == "fine 2032-05-20 0 % of 6 years"


def test_a_renewal_counts_where_the_log_lists_its_part_whatever_procedure_it_names() -> None:
    belt = work(car("{on: 2020-05-01, did: renew-belt}, {on: 2024-03-02, parts: [belt]}"), "2026-05-01")["belt"]
    assert belt.since is not None
    assert (belt.since.on, belt.since.basis) == (date(2024, 3, 2), Basis.PARTS)


PUMP = {
    "launch.yaml": """\
        machine: launch
        meter: hours
        variants: {cooling: [heat-exchanger, keel-cooler]}
        components:
          pump: {part: pump}
        schedule:
          look: {of: pump, every: 1 year, do: look-at-pump, kind: inspect}
          renewal: {of: pump, every: 5 years, do: renew-pump, resets: look, kind: renew}
          overhaul: {every: 10 years, do: overhaul, resets: renewal, kind: service}
        """,
    "parts.yaml": """\
        parts:
          pump: {title: Pump}
        """,
    **{
        f"{name}.yaml": f"""\
            procedure: {name}
            machine: launch
            steps:
              - do: Do it.
            """
        for name in ("look-at-pump", "renew-pump", "overhaul")
    },
}


def pump_log(entries: str, head: str = "") -> dict[str, str]:
    return {**PUMP, "log.yaml": f"logbook: one\nmachine: launch\n{head}\nentries: [{entries}]\n"}


def test_a_renewal_resets_the_inspection_and_an_inspection_does_not_put_off_the_renewal() -> None:
    log = pump_log("{on: 2020-01-01, did: renew-pump}, {on: 2024-06-01, did: look-at-pump}")
    found = work(log, "2024-07-10")
    assert said(found["look"]) == "fine 2025-06-01 11 % of 1 year"
    assert said(found["renewal"]) == "due soon 2025-01-01 90 % of 5 years"
    found = work(pump_log("{on: 2024-06-01, did: look-at-pump}, {on: 2024-06-30, did: renew-pump}"), "2024-07-01")
    assert said(found["look"]) == "fine 2025-06-30 0 % of 1 year"
    assert found["look"].since is not None
    assert (found["look"].since.basis, found["look"].since.by) == (Basis.RESET, "renewal")


def test_a_reset_reaches_on_through_what_it_resets() -> None:
    found = work(pump_log("{on: 2024-06-01, did: overhaul}"), "2024-06-01")
    assert {name: said(each) for name, each in found.items()} == {
        "look": "fine 2025-06-01 0 % of 1 year",
        "renewal": "fine 2029-06-01 0 % of 5 years",
        "overhaul": "fine 2034-06-01 0 % of 10 years",
    }


def test_work_for_another_variant_is_not_due_on_this_machine() -> None:
    only = {"look-at-pump.yaml": PUMP["look-at-pump.yaml"] + "only-for: cooling = keel-cooler\n"}
    entry = "{on: 2024-06-01, did: renew-pump}"
    exchanger = {**pump_log(entry, "variants: {cooling: heat-exchanger}"), **only}
    keel = {**pump_log(entry, "variants: {cooling: keel-cooler}"), **only}
    unstated = {**pump_log(entry), **only}
    assert set(work(exchanger, "2024-07-01")) == {"renewal", "overhaul"}
    assert set(work(keel, "2024-07-01")) == {"look", "renewal", "overhaul"}
    assert set(work(unstated, "2024-07-01")) == {"look", "renewal", "overhaul"}


def test_a_job_that_will_do_it_is_named_until_it_is_done() -> None:
    files = {
        **pump_log("{on: 2020-01-01, did: renew-pump}"),
        "job.yaml": "job: spring\nlogbook: one\ndate: 2025-03-01\ndo: [renew-pump]\n",
    }
    found = work(files, "2025-01-01")
    planned = {name: [job.address.id for job in each.planned] for name, each in found.items()}
    assert planned == {"look": ["spring"], "renewal": ["spring"], "overhaul": []}
    done = {**files, "log.yaml": pump_log("{on: 2025-03-02, did: renew-pump}")["log.yaml"]}
    assert [each.planned for each in work(done, "2025-03-05").values()] == [(), (), ()]


def test_the_most_urgent_work_comes_first() -> None:
    log = pump_log("{on: 2019-01-01, did: renew-pump}, {on: 2024-06-01, did: look-at-pump}")
    machine = only_machine(log, "2024-07-01")
    assert [f"{each.item.address.id} {each.standing}" for each in machine.work] == [
        "renewal overdue",
        "overhaul never done",
        "look fine",
    ]


@pytest.mark.parametrize("slip", ["1e308", "99999999999999999", "1e-300"])
def test_a_figure_that_no_meter_shows_is_not_reckoned_with(slip: str) -> None:
    log = f"{{on: 2024-01-01, mi: 0, did: renew-belt}}, {{on: 2025-01-01, mi: 3660}}, {{on: 2025-02-01, mi: {slip}}}"
    assert said(work(car(log, "100000 mi"), "2025-03-01")["belt"]).startswith("fine 2051-")
