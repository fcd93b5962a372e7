"""What falls due, what logbooks say, and who says so."""

from tests.written import TODAY, lines

MACHINE = "machine: winch\nmeter: hours\n"


def log(*rows: str) -> dict[str, str]:
    text = "logbook: one\nmachine: winch\nname: One\nin-service: 2020-01-01\nmeter:\n"
    return {"m.yaml": MACHINE, "one.yaml": text + "".join(f"  - {{{row}}}\n" for row in rows)}


def test_a_meter_that_runs_backwards_is_reported_where_it_does() -> None:
    assert lines(log("on: 2024-05-01, hours: 310", "on: 2025-05-01, hours: 290"), "log-inconsistent") == [
        "one.yaml:7:5 error log-inconsistent: The meter of One runs backwards: 310 on 2024-05-01, 290 on 2025-05-01."
    ]


def test_the_order_in_which_readings_are_written_does_not_matter() -> None:
    assert lines(log("on: 2025-05-01, hours: 310", "on: 2024-05-01, hours: 290"), "log-inconsistent") == []


def test_entries_count_with_the_readings() -> None:
    files = log("on: 2024-05-01, hours: 310")
    files["one.yaml"] += "entries:\n  - {on: 2024-06-01, hours: 300, note: Greased.}\n"
    assert [line.split(" ")[0] for line in lines(files, "log-inconsistent")] == ["one.yaml:8:5"]


def test_today_is_not_the_future_and_tomorrow_is() -> None:
    assert lines(log(f"on: {TODAY}, hours: 310"), "log-inconsistent") == []
    tomorrow = TODAY.replace(day=TODAY.day + 1)
    assert len(lines(log(f"on: {tomorrow}, hours: 310"), "log-inconsistent")) == 1


def test_nothing_was_done_before_the_machine_was_there() -> None:
    assert len(lines(log("on: 2019-12-31, hours: 1"), "log-inconsistent")) == 1


def test_a_meter_in_another_unit_is_reported_once() -> None:
    assert [line.split(" ")[0] for line in lines(log("on: 2024-05-01, km: 310"))] == ["one.yaml:6:26"]


SOURCES = """\
sources:
  first: {title: First edition, kind: maker, date: 1998}
  second: {title: Second edition, kind: maker, date: 2004, replaces: first}
"""


def spec(rest: str) -> dict[str, str]:
    return {
        "sources.yaml": SOURCES,
        "m.yaml": f"machine: winch\ncomponents:\n  drum: {{title: Drum}}\nspecs:\n  play:\n    of: drum\n{rest}",
    }


def test_a_replaced_edition_may_be_cited_where_the_later_one_is_answered() -> None:
    cited = "    limits: 0.1–0.4 mm\n    source: first p. 3\n"
    assert len(lines(spec(cited), "source-superseded")) == 1
    answered = cited + "    other-values:\n      - {limits: 0.1–0.5 mm, source: second p. 3, why-not: A misprint.}\n"
    assert lines(spec(answered), "source-superseded") == []


def test_the_same_figure_in_another_unit_is_no_disagreement() -> None:
    figure = "    limits: 1–2 in\n    source: second p. 3\n    other-values:\n"
    assert lines(spec(figure + "      - {limits: 25.4–50.8 mm, source: first p. 3}\n"), "sources-disagree") == []
    assert len(lines(spec(figure + "      - {limits: 25–50 mm, source: first p. 3}\n"), "sources-disagree")) == 1


def test_a_library_without_sources_is_not_asked_for_them() -> None:
    files = spec("    limits: 0.1–0.4 mm\n")
    del files["sources.yaml"]
    assert lines(files, "unsourced") == []
    assert len(lines(spec("    limits: 0.1–0.4 mm\n"), "unsourced")) == 1
