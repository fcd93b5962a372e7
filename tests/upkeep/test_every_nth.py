"""Work that is due at every nth time of other work."""

import pytest

from tests.upkeep.judged import said, work

ENGINE = {
    "engine.yaml": """\
        machine: engine
        meter: hours
        schedule:
          belt: {title: Belt, every: [1500 h, 5 years], do: renew-belt, kind: renew}
          rollers: {title: Rollers, every-nth: {of: belt, n: 2}, do: renew-rollers, kind: renew}
          bracket: {title: Bracket, every-nth: {of: rollers, n: 2}, do: renew-bracket, kind: renew}
        """,
    **{
        f"renew-{name}.yaml": f"""\
            procedure: renew-{name}
            machine: engine
            steps:
              - do: Renew it.
            """
        for name in ("belt", "rollers", "bracket")
    },
}


def judged(entries: str, on: str, head: str = "in-service: 2000-01-01") -> dict[str, str]:
    files = {**ENGINE, "log.yaml": f"logbook: one\nmachine: engine\n{head}\nentries: [{entries}]\n"}
    return {name: said(each) for name, each in work(files, on).items()}


def test_the_second_belt_after_the_rollers_is_theirs() -> None:
    entries = "{on: 2010-01-01, did: [renew-belt, renew-rollers]}"
    assert judged(entries, "2012-07-02")["rollers"] == "fine 2020-01-01 25 % of every 2nd Belt"
    assert judged(f"{entries}, {{on: 2014-01-01, did: renew-belt}}", "2014-01-01")["rollers"] == (
        "fine 2019-01-01 50 % of every 2nd Belt"
    )


def test_when_the_belt_was_renewed_twice_without_them_they_are_overdue_since_the_second_time() -> None:
    entries = "{on: 2010-01-01, did: [renew-belt, renew-rollers]}, {on: 2014-01-01, did: renew-belt}"
    assert judged(f"{entries}, {{on: 2018-06-01, did: renew-belt}}", "2018-06-01")["rollers"] == (
        "overdue 2018-06-01 100 % of every 2nd Belt"
    )


def test_renewing_them_early_starts_a_new_count() -> None:
    entries = "{on: 2010-01-01, did: renew-belt}, {on: 2012-01-01, did: renew-rollers}"
    assert judged(entries, "2012-01-01")["rollers"] == "fine 2020-01-01 20 % of every 2nd Belt"


def test_done_while_the_belt_is_overdue_they_wait_for_the_belt_after_the_next() -> None:
    entries = "{on: 2010-01-01, did: renew-belt}, {on: 2019-06-01, did: renew-rollers}"
    assert judged(entries, "2020-06-01")["rollers"] == "fine 2024-06-01 20 % of every 2nd Belt"


def test_never_done_they_are_counted_from_the_day_the_machine_came_into_service() -> None:
    assert judged("", "2005-01-01")["rollers"] == "fine 2010-01-01 50 % of every 2nd Belt"


def test_never_done_on_a_machine_of_unknown_age_only_the_nth_time_tells() -> None:
    once = "{on: 2010-01-01, did: renew-belt}"
    assert judged(once, "2011-01-01", head="")["rollers"] == "fine 2015-01-01 60 % of every 2nd Belt"
    assert judged("", "2011-01-01", head="")["rollers"] == "never done - ? of -"


def test_every_second_of_every_second_is_every_fourth() -> None:
    entries = "{on: 2010-01-01, did: [renew-belt, renew-rollers, renew-bracket]}"
    assert judged(entries, "2010-01-01")["bracket"] == "fine 2030-01-01 0 % of every 2nd Rollers"
    later = f"{entries}, {{on: 2015-01-01, did: renew-belt}}, {{on: 2020-01-01, did: [renew-belt, renew-rollers]}}"
    assert judged(later, "2022-07-02")["bracket"] == "fine 2030-01-01 62 % of every 2nd Rollers"


@pytest.mark.parametrize("of", ["rollers", "bracket"])
def test_work_that_is_counted_by_itself_is_unknown_and_not_endless(of: str) -> None:
    ring = ENGINE["engine.yaml"].replace("{of: belt, n: 2}", f"{{of: {of}, n: 2}}")
    files = {**ENGINE, "engine.yaml": ring, "log.yaml": "logbook: one\nmachine: engine\nin-service: 2000-01-01\n"}
    assert said(work(files, "2011-01-01")["rollers"]) == "unknown - ? of -"
