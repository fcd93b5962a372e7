"""The order of work: words, places, cases, and what is not remarked on."""

from procgen.checks import order as family
from tests.written import examined, lines

ORDER = tuple(check.slug for check in family.CHECKS)

ENGINE = """\
machine: m40
variants: {cooling: [heat-exchanger, keel-cooler]}
components:
  upper-cover: {title: Upper timing cover}
  timing-belt: {behind: [upper-cover]}
  coolant-pump: {behind: [timing-belt], held-by: [pump-bolts]}
  crankshaft: {title: Crankshaft}
fasteners:
  pump-bolts: {torque: 22 N·m}
conditions:
  at-tdc: {title: No. 1 at top dead centre, lost-by: turn crankshaft}
checks:
  two-turns: {title: Two full turns, of: [timing-belt]}
rules:
  - {after: fit timing-belt, must: check two-turns, before: fit upper-cover, because: A tooth out shows only here.}
  - {before: remove timing-belt, need: at-tdc, because: Nothing else tells where the shafts belong.}
"""


def order(steps: str, machine: str = ENGINE) -> list[str]:
    return lines({"m40.yaml": machine, "p.yaml": f"procedure: p\nmachine: m40\n{steps}"}, *ORDER)


def test_a_step_in_front_of_which_something_is_on_cannot_be_done() -> None:
    assert order("steps:\n  - remove: coolant-pump\n    do: Off.\n  - fit: coolant-pump\n") == [
        'p.yaml:4:5 error blocked: Step 1, "remove coolant-pump", cannot be done: the timing belt is still on.'
    ]


def test_one_cause_is_one_finding_until_it_changes() -> None:
    found = order(
        "steps:\n  - inspect: coolant-pump\n    accept: Dry.\n  - clean: coolant-pump\n  - mark: pump-bolts\n"
    )
    assert [line.split(":")[1] for line in found] == ["4"]


def test_a_finding_names_the_choices_that_make_it_happen_and_no_others() -> None:
    found = examined(
        {
            "m40.yaml": ENGINE,
            "p.yaml": """\
                procedure: p
                machine: m40
                options: {flush: {ask: Flush?}, wash: {ask: Wash?}}
                steps:
                  - remove: upper-cover
                  - {clean: timing-belt, when: wash}
                  - inspect: upper-cover
                    accept: No crack.
                    reject:
                      - {do: Lay out a new one., when: flush, id: new}
                      - fit: upper-cover
                  - {fit: upper-cover, when: flush}
                """,
        }
    ).findings
    told = [(finding.check, finding.when) for finding in found if finding.check in ORDER]
    assert told == [
        ("left-undone", {"flush": False, "upper-cover accepted": True}),
        ("already-so", {"flush": True, "upper-cover accepted": False}),
    ]
    (message,) = [finding.message for finding in found if finding.check == "left-undone"]
    assert message == (
        "At the end the upper timing cover is still off. It happens with flush off and upper-cover accepted."
    )


def test_the_steps_that_led_there_are_told_with_their_places() -> None:
    steps = "  - remove: upper-cover\n  - fit: upper-cover\n  - clean: timing-belt\n"
    files = {"m40.yaml": ENGINE, "p.yaml": f"procedure: p\nmachine: m40\nsteps:\n{steps}"}
    (finding,) = [finding for finding in examined(files).findings if finding.check == "blocked"]
    assert finding.message == 'Step 3, "clean timing-belt", cannot be done: the upper timing cover is on again.'
    assert [(because.message, str(because.place)) for because in finding.because] == [
        ("timing-belt is behind upper-cover", "m40.yaml:5:25"),
        ("step 2 fits the upper timing cover", "p.yaml:5:5"),
    ]
    assert finding.remedy == "move step 3 before step 2"


def test_a_response_rule_is_broken_by_what_comes_before_the_response() -> None:
    found = order(
        "steps:\n  - {turn: crankshaft, sets: at-tdc}\n  - open: coolant-pump\n  - inspect: coolant-pump\n"
        "    accept: Dry.\n  - close: coolant-pump\n"
    )
    assert found == [
        (
            'p.yaml:8:5 error rule-broken: Step 4, "close coolant-pump", where it fits the upper timing cover, '
            'comes before "check two-turns", which must follow "fit timing-belt".'
        )
    ]


def test_a_precedence_rule_is_broken_by_what_comes_without_it() -> None:
    found = order(
        "steps:\n  - remove: upper-cover\n  - remove: timing-belt\n  - fit: timing-belt\n  - check: two-turns\n"
        "  - fit: upper-cover\n"
    )
    assert found == [
        (
            'p.yaml:5:5 error rule-broken: Step 2, "remove timing-belt", breaks a rule: "remove timing-belt" needs '
            '"No. 1 at top dead centre", and that is not so.'
        )
    ]


def test_what_is_off_lies_on_the_bench_and_can_be_touched() -> None:
    steps = (
        "steps:\n  - {turn: crankshaft, sets: at-tdc}\n  - remove: upper-cover\n  - remove: timing-belt\n"
        "  - fit: upper-cover\n  - inspect: timing-belt\n    accept: No crack.\n  - remove: upper-cover\n"
        "  - fit: timing-belt\n  - check: two-turns\n  - fit: upper-cover\n"
    )
    assert [line.split(" ")[2] for line in order(steps)] == ["covered-early:"]


def test_what_is_handed_on_disturbed_is_not_left_undone() -> None:
    assert order("leaves: [upper-cover off]\nsteps:\n  - remove: upper-cover\n") == []


def test_what_is_never_handed_on_so_is_told() -> None:
    assert order("leaves: [upper-cover off]\nsteps:\n  - remove: upper-cover\n  - fit: upper-cover\n") == [
        (
            "p.yaml:3:9 warning left-otherwise: The procedure says that it leaves the upper timing cover off, and at "
            "the end that is never so."
        )
    ]


def test_what_is_handed_on_so_in_some_ways_or_from_the_beginning_is_not_told() -> None:
    options = 'options: {inside: {ask: "Look inside?", default: false}}\n'
    assert order(f"{options}leaves: [upper-cover off]\nsteps:\n  - {{remove: upper-cover, when: inside}}\n") == []
    assert order("starts-with: [upper-cover off]\nleaves: [upper-cover off]\nsteps:\n  - do: Look.\n") == []


def test_what_it_starts_with_is_taken_as_so() -> None:
    assert order("starts-with: [upper-cover off]\nsteps:\n  - clean: timing-belt\n  - fit: upper-cover\n") == []


def test_steps_that_no_variant_reaches_are_told_once_with_their_branch() -> None:
    found = order(
        "only-for: cooling = keel-cooler\nsteps:\n  - when: cooling = heat-exchanger\n    inspect: upper-cover\n"
        "    accept: Dry.\n    reject: [{clean: upper-cover}]\n"
    )
    assert found == ["p.yaml:5:11 warning never-reached: Step 1 is never done: no choice and no outcome leads to it."]


def test_a_loop_that_comes_back_to_the_same_state_is_no_fault() -> None:
    assert (
        order(
            "steps:\n  - remove: upper-cover\n  - id: look\n    inspect: timing-belt\n    accept: Tight.\n"
            "    reject:\n      - adjust: timing-belt\n      - {do: Again., go-back-to: look}\n  - fit: upper-cover\n"
        )
        == []
    )


def test_a_jump_ahead_is_no_going_back() -> None:
    found = order(
        "steps:\n  - inspect: upper-cover\n    accept: Dry.\n    reject: [{do: On., go-back-to: end}]\n"
        "  - {id: end, clean: upper-cover}\n"
    )
    assert found == [
        'p.yaml:6:36 error loop-changes-state: Step 1.1 goes back to "end", and the work has not been there yet.'
    ]


# A beginner, without a machine


def bare(steps: str) -> list[str]:
    return [line.split(" ", 2)[2] for line in lines(f"procedure: p\nsteps:\n{steps}")]


def test_a_beginner_hears_of_what_is_taken_apart_and_not_put_back() -> None:
    assert bare(
        "  - loosen: cover-bolts\n  - remove: cover\n  - disconnect: hose\n  - drain: oil\n  - do: Look inside.\n"
    ) == [
        "left-undone: At the end the cover bolts are still loose.",
        "left-undone: At the end the cover is still off.",
        "left-undone: At the end the hose is still parted.",
        "left-undone: At the end the oil is still drained.",
    ]


def test_a_beginner_who_puts_everything_back_hears_nothing() -> None:
    assert bare("  - remove: cover\n  - drain: oil\n  - fit: cover\n  - fill: oil\n") == []


def test_what_plain_text_took_apart_may_be_put_back() -> None:
    assert bare("  - do: Take the cover off.\n  - fit: cover\n") == []


def test_a_beginner_who_takes_the_same_off_twice_is_asked() -> None:
    assert bare("  - remove: cover\n  - do: Wipe it.\n  - remove: cover\n  - fit: cover\n") == [
        'already-so: Step 3, "remove cover", has nothing to do: the cover is off already.'
    ]
