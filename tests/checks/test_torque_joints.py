"""What is on the threads, whether the bolt is new, and in which order they are tightened."""

import pytest

from tests.written import lines

# threads-condition


def threads(facts: str, *steps: str) -> list[str]:
    written = "\n".join(f"  - {step}" for step in steps)
    library = (
        "procedure: p\ncomponents:\n  lid: {held-by: [bolts]}\nfasteners:\n"
        f'  bolts: {{thread: M8, class: "8.8", torque: 20 N·m, {facts}}}\nsteps:\n{written}\n'
    )
    return lines(library, "threads-condition")


OFF_AND_ON = ("{loosen: bolts, remove: lid}", "fit: lid")


@pytest.mark.parametrize(
    "tightening",
    [
        "{tighten: bolts, do: Oil the threads. Run them in.}",
        "{tighten: bolts, do: Put a smear of grease on every bolt.}",
        "{tighten: bolts, uses: {engine-oil: 5 mL}}",
        '{tighten: bolts, do: "Dip the {bolts} in oil."}',
    ],
)
def test_oil_on_a_bolt_with_a_figure_for_dry_threads_is_told(tightening: str) -> None:
    assert len(threads("threads: dry", *OFF_AND_ON, tightening)) == 1


def test_the_message_says_what_it_does_to_the_bolt() -> None:
    assert threads("threads: dry", *OFF_AND_ON, "lubricate: bolts", "tighten: bolts") == [
        (
            "library.yaml:10:5 warning threads-condition: The threads of bolts are oiled here, and 20 N·m is for dry "
            "threads: the same torque stretches an oiled bolt by half as much again."
        )
    ]


@pytest.mark.parametrize(
    "tightening",
    [
        "{tighten: bolts, do: Wipe oil and grease off the threads.}",
        "{tighten: bolts, do: Neither oil nor grease on the threads.}",
        "{tighten: bolts, do: Wet the new seal with oil. Run the lid down.}",
        "{tighten: bolts, do: The oil filter stands beside the bolts without harm.}",
    ],
)
def test_oil_elsewhere_or_wiped_off_is_not_oil_on_the_threads(tightening: str) -> None:
    assert threads("threads: dry", *OFF_AND_ON, tightening) == []


def test_a_figure_for_oiled_threads_wants_oil_where_the_bolt_comes_out() -> None:
    assert threads("threads: oiled", *OFF_AND_ON, "tighten: bolts") == [
        (
            "library.yaml:9:5 warning threads-condition: 20 N·m is for threads oiled, and no step puts anything "
            "on those of bolts: dry, the same torque clamps less."
        )
    ]
    assert threads("threads: oiled", *OFF_AND_ON, "lubricate: bolts", "tighten: bolts") == []
    assert threads("threads: oiled", *OFF_AND_ON, "{tighten: bolts, do: Put a drop of oil on each bolt.}") == []
    assert threads("threads: oiled", "loosen: bolts", "tighten: bolts") == []


def test_a_new_bolt_comes_with_its_locking_compound_on_it() -> None:
    facts = "threads: locking compound, part: bolt"
    assert len(threads(facts, *OFF_AND_ON, "tighten: bolts")) == 1
    assert threads(facts, *OFF_AND_ON, "{tighten: bolts, new: [bolt]}") == []
    assert threads(facts, *OFF_AND_ON, "{tighten: bolts, do: Put thread locking compound on the threads.}") == []


# reused-fastener


def reused(facts: str, *steps: str) -> list[str]:
    written = "\n".join(f"  - {step}" for step in steps)
    library = (
        f'procedure: p\nfasteners:\n  bolts: {{thread: M8, class: "8.8", torque: 20 N·m{facts}}}\nsteps:\n{written}\n'
    )
    return lines(library, "reused-fastener")


def test_a_bolt_for_one_use_must_be_new() -> None:
    facts = ", reusable: false, part: bolt"
    assert reused(facts, "loosen: bolts", "tighten: bolts") == [
        (
            "library.yaml:6:5 warning reused-fastener: bolts must be new every time, and no step brings new ones: "
            "an old one has stretched, or its locking is spent."
        )
    ]
    assert reused(facts, "loosen: bolts", "{tighten: bolts, new: [bolt]}") == []
    assert reused(facts, "loosen: bolts", "{do: Lay out new ones., new: [bolt]}", "tighten: bolts") == []
    assert reused(facts, "loosen: bolts", "renew: bolts", "tighten: bolts") == []
    assert len(reused(facts, "loosen: bolts", "{tighten: bolts, new: [gasket]}")) == 1
    assert reused(", part: bolt", "loosen: bolts", "tighten: bolts") == []


def test_a_bolt_that_is_renewed_with_what_it_holds_is_new() -> None:
    library = """\
        procedure: p
        components:
          lid: {held-by: [bolts], renew: [bolt]}
        fasteners:
          bolts: {thread: M8, class: "8.8", torque: 20 N·m, reusable: false, part: bolt}
        steps:
          - remove: lid
          - fit: lid
    """
    assert lines(library, "reused-fastener") == []


# tightening-order


def order(component: str, facts: str) -> list[str]:
    library = (
        f"procedure: p\ncomponents:\n  lid: {{held-by: [bolts]{component}}}\nfasteners:\n"
        f'  bolts: {{thread: M8, class: "8.8", torque: 20 N·m, {facts}}}\n'
        "steps:\n  - remove: lid\n  - fit: lid\n"
    )
    return lines(
        {"p.yaml": library, "q.yaml": "parts: {gasket: {title: Lid gasket}, bolt: {title: Bolt}}"}, "tightening-order"
    )


def test_four_bolts_of_a_joint_that_seals_or_is_vital_need_an_order() -> None:
    assert order(", renew: [gasket]", "count: 6") == [
        (
            "p.yaml:5:60 warning tightening-order: 6 of bolts draw lid down, and nothing says in which order: "
            "tightened round the edge, it sits askew and leaks or cracks."
        )
    ]
    assert len(order(", vital: true", "count: 4")) == 1
    assert order(", renew: [gasket]", "count: 3") == []
    assert order("", "count: 6") == []
    assert order(", renew: [bolt]", "count: 6") == []
    assert order(", renew: [gasket]", "count: 6, pattern: {circle: 6}") == []


@pytest.mark.parametrize(
    ("facts", "fault"),
    [
        ("count: 6, pattern: {circle: 5}", "the pattern has 5 places, and there are 6 of them"),
        ("count: 4, pattern: {circle: 4, order: [1, 3, 2, 2]}", "the order names bolt 2 more than once"),
        ("count: 4, pattern: {grid: 2x2, order: [1, 4, 2]}", "the order leaves out bolt 3"),
        ("count: 2, pattern: {points: [[1, 1], [1, 1]]}", "bolts 1 and 2 are in the same place"),
    ],
)
def test_a_pattern_or_an_order_that_cannot_be_followed_is_told(facts: str, fault: str) -> None:
    (line,) = order("", facts)
    assert fault in line


def test_a_stage_for_a_bolt_that_is_not_there_is_told() -> None:
    facts = "count: 4, pattern: {circle: 4}"
    library = (
        f'machine: m\nfasteners:\n  bolts: {{thread: M8, class: "8.8", {facts}, '
        "torque: [20 N·m, {turn: 30°, only: [2, 5]}]}\n"
    )
    (line,) = lines(library, "tightening-order")
    assert "a stage is only for number 5, and there are 4 of them" in line
