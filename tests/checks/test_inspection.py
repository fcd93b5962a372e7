"""Inspections that can be decided, and vital work that is looked at."""

from tests.written import lines

FAMILY = ("limits-missing", "limits-inverted", "gauge-too-coarse", "accept-missing", "vital-unchecked")


def found(machine: str, steps: str, **files: str) -> list[str]:
    written = {"m.yaml": f"machine: m\n{machine}", "p.yaml": f"procedure: p\nmachine: m\nsteps:\n{steps}", **files}
    return [line.split(" ", 2)[2] for line in lines(written, *FAMILY)]


GAP = "components: {shaft: {title: Shaft}}\nspecs: {gap: {of: shaft, limits: 0.1–0.3 mm, with: [feeler, rule]}}\n"
TOOLS = "tools:\n  feeler: {title: Feeler, resolution: 0.02 mm}\n  rule: {title: Rule, resolution: 0.5 mm}\n"


def test_the_finest_gauge_counts_and_exactly_a_tenth_will_do() -> None:
    assert found(GAP, "  - measure: gap\n", **{"t.yaml": TOOLS}) == []


def test_a_gauge_in_another_unit_is_converted() -> None:
    tools = TOOLS.replace("0.02 mm", "0.002 in")
    assert found(GAP, "  - measure: gap\n", **{"t.yaml": tools}) == [
        (
            'gauge-too-coarse: Step 1, "measure gap", has limits of 0.1–0.3 mm, and feeler reads to 0.002 in: '
            "that is over a tenth of the width."
        )
    ]


def test_a_limit_with_one_end_has_no_width_to_compare() -> None:
    assert found(GAP.replace("0.1–0.3 mm", '">= 0.3 mm"'), "  - measure: gap\n", **{"t.yaml": TOOLS}) == []


def test_a_single_figure_is_no_limit() -> None:
    assert found("components: {shaft: {title: Shaft}}\n", "  - measure: shaft\n    limits: 5 mm\n") == [
        'limits-missing: Step 1, "measure shaft", has 5 mm for its limits, and no reading is exactly that.'
    ]


def test_a_reading_that_is_only_noted_needs_no_limits() -> None:
    assert found("components: {shaft: {title: Shaft}}\n", "  - measure: shaft\n    record: Run-out\n") == []


def test_limits_of_a_step_that_are_tighter_than_those_of_the_spec_are_the_authors_own_affair() -> None:
    assert found(GAP, "  - measure: gap\n    limits: 0.15–0.25 mm\n", **{"t.yaml": TOOLS.replace("0.02", "0.01")}) == []


def test_limits_beside_those_of_the_spec_leave_nothing() -> None:
    (line,) = found(GAP, "  - measure: gap\n    limits: 0.4–4.5 mm\n", **{"t.yaml": TOOLS})
    assert line.startswith("limits-inverted: ")


WHEEL = """\
components: {wheel: {vital: true, held-by: [nuts]}, cap: {title: Hub cap}}
fasteners: {nuts: {torque: 110 N·m}}
checks: {wheel-holds: {of: wheel}}
"""


def test_a_check_before_the_last_bolt_is_tight_does_not_count() -> None:
    steps = "  - loosen: nuts\n  - check: wheel-holds\n  - tighten: nuts\n"
    assert found(WHEEL, steps) == [
        "vital-unchecked: At the end nobody has checked the wheel since it was last changed, and it is vital."
    ]
    assert found(WHEEL, "  - loosen: nuts\n  - tighten: nuts\n  - check: wheel-holds\n") == []


def test_what_is_vital_is_checked_before_it_is_covered_and_told_once() -> None:
    machine = WHEEL.replace("wheel: {vital", "wheel: {behind: [cap], vital")
    steps = "  - remove: cap\n  - loosen: nuts\n  - tighten: nuts\n  - fit: cap\n"
    assert found(machine, steps) == [
        (
            'vital-unchecked: Step 4, "fit cap", covers the wheel, which is vital and has not been checked since it '
            "was last changed."
        )
    ]


def test_what_was_not_touched_needs_no_check() -> None:
    assert found(WHEEL, "  - clean: wheel\n") == []


def test_an_inspection_in_how_a_component_goes_back_is_told_once_for_all_procedures() -> None:
    machine = "components: {wheel: {fit: {steps: [{fit: wheel, do: Push it on.}, {inspect: wheel}]}}}\n"
    other = "procedure: q\nmachine: m\nsteps:\n  - remove: wheel\n  - fit: wheel\n"
    assert found(machine, "  - remove: wheel\n  - fit: wheel\n", **{"q.yaml": other}) == [
        (
            'accept-missing: Step 2 of how the wheel goes back, "inspect wheel", does not say what is good: two '
            "people will judge it differently."
        )
    ]
