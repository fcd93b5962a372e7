"""The demo library, whole: clean under every check, its deviations accepted with reasons, and built."""

from datetime import date
from pathlib import Path

from procgen.checks.examine import examine
from procgen.library.load import load
from tests.written import one_line

PROCEDURES = Path(__file__).parent.parent / "procedures"
DAY = date(2026, 11, 1)
EXAMINED = examine(load(PROCEDURES), DAY)
LIBRARY = EXAMINED.subject.library


def test_nothing_is_found() -> None:
    assert [one_line(finding) for finding in EXAMINED.findings] == []


def test_deviations_are_accepted_with_reasons() -> None:
    assert {deviation.accepted.check for deviation in EXAMINED.deviations} >= {"torque-missing"}
    assert all(len(deviation.accepted.reason) > 20 for deviation in EXAMINED.deviations)


def test_it_has_what_a_club_has() -> None:
    assert {"m40", "t2"} <= set(LIBRARY.machines)
    assert len(LIBRARY.procedures) >= 16
    assert len(LIBRARY.logbooks) == 3
    assert len(LIBRARY.jobs) == 3
    assert len(list(PROCEDURES.rglob("*.svg"))) >= 8


def test_every_procedure_is_planned_to_its_end() -> None:
    for procedure in LIBRARY.procedures.values():
        plan, findings = EXAMINED.subject.expanded(procedure)
        assert findings == ()
        assert len(plan.steps) >= len(procedure.steps) - len(plan.unreached), procedure.address.id
