"""A figure for all that is tightened, somebody who vouches for it, and no other figure beside it."""

import pytest

from tests.written import lines

M8 = '{thread: M8x1.25, class: "8.8", torque: 22 N·m}'


# torque-missing


def test_a_fastener_that_is_tightened_without_a_figure_is_reported_at_its_first_step_and_once() -> None:
    library = """\
        procedure: renew-pump
        fasteners:
          pump-bolts: {thread: M8x1.25}
        steps:
          - loosen: pump-bolts
          - tighten: pump-bolts
          - loosen: pump-bolts
          - tighten: pump-bolts
    """
    assert lines(library, "torque-missing") == [
        "library.yaml:6:5 error torque-missing: Step 2 tightens pump-bolts, and no torque is given."
    ]


def test_a_fastener_that_nobody_declares_has_no_torque_either() -> None:
    library = """\
        procedure: renew-pump
        steps:
          - loosen: pump-bolts
          - tighten: pump-bolts
    """
    assert lines(library, "torque-missing") == [
        "library.yaml:4:5 error torque-missing: Step 2 tightens pump-bolts, and no torque is given."
    ]


def test_what_goes_back_needs_a_figure_for_what_holds_it() -> None:
    library = """\
        procedure: renew-pump
        components:
          pump: {held-by: [pump-bolts]}
        fasteners:
          pump-bolts: {thread: M8x1.25}
        steps:
          - do: Look at the pump.
          - remove: pump
            do: Take it off.
          - fit: pump
            do: Put it back and hold it there.
    """
    found = lines(library, "torque-missing")
    assert [line.split(" error")[0] for line in found] == ["library.yaml:10:5"]


def test_words_in_place_of_a_figure_are_enough() -> None:
    library = """\
        procedure: renew-hose
        fasteners:
          clip: {head: clip, torque: {by-hand: Until the hose no longer turns}}
        steps:
          - loosen: clip
          - tighten: clip
    """
    assert lines(library, "torque-missing", "torque-not-judged", "torque-unsourced") == []


def test_a_missing_figure_can_be_accepted_where_the_fastener_is_declared() -> None:
    library = """\
        procedure: renew-hose
        fasteners:
          clip:
            head: clip
            accepting: {torque-missing: A plastic clip. No figure is published.}
        steps:
          - loosen: clip
          - tighten: clip
    """
    assert lines(library, "torque-missing", "unused-item") == []


# torque-unsourced


def test_in_a_library_with_sources_a_figure_needs_one() -> None:
    procedure = f"""\
        procedure: p
        fasteners:
          bolts: {M8}
        steps:
          - loosen: bolts
          - tighten: bolts
    """
    sources = "sources: {book: {title: The book}}"
    assert lines(procedure, "torque-unsourced") == []
    assert lines({"p.yaml": procedure, "s.yaml": sources}, "torque-unsourced") == [
        (
            "p.yaml:3:50 warning torque-unsourced: The torque of bolts, 22 N·m, has no source: nobody can tell "
            "how far to trust it, or look it up again."
        )
    ]
    cited = procedure.replace("22 N·m", "22 N·m, source: book p. 4")
    assert lines({"p.yaml": cited, "s.yaml": sources}, "torque-unsourced") == []


def test_a_source_that_cannot_be_found_is_not_called_missing() -> None:
    library = {
        "p.yaml": f"""\
            procedure: p
            fasteners:
              bolts: {M8.replace("22 N·m", "22 N·m, source: bok p. 4")}
            steps:
              - loosen: bolts
              - tighten: bolts
        """,
        "s.yaml": "sources: {book: {title: The book}}",
    }
    assert lines(library, "torque-unsourced") == []


# torque-differs


def two_procedures(first: str, second: str, machine: str = "") -> dict[str, str]:
    def written(name: str, facts: str) -> str:
        on = "machine: m\n" if machine else ""
        return (
            f"procedure: {name}\n{on}fasteners:\n  bolts: {{{facts}}}\nsteps:\n  - loosen: bolts\n  - tighten: bolts\n"
        )

    return {"a.yaml": written("a", first), "b.yaml": written("b", second)} | ({"m.yaml": machine} if machine else {})


KIND = 'thread: M8x1.25, class: "8.8", '


def test_one_fastener_with_two_figures_in_two_procedures_is_told() -> None:
    assert lines(two_procedures(KIND + "torque: 22 N·m", KIND + "torque: 27 N·m"), "torque-differs") == [
        (
            "b.yaml:3:50 warning torque-differs: bolts is tightened to 27 N·m here and to 22 N·m elsewhere: "
            "one of the two is wrong, or they are not the same joint."
        )
    ]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("torque: 22 N·m", "torque: 16 lbf·ft"),  # rounded by its author
        ("torque: 22 N·m", "torque: [10 N·m, 22 N·m]"),  # another way to the same end
        ("torque: 22 N·m + 90°", "torque: 22 N·m + 90°"),
    ],
)
def test_figures_that_are_one_but_for_rounding_agree(first: str, second: str) -> None:
    assert lines(two_procedures(KIND + first, KIND + second), "torque-differs") == []


def test_another_angle_is_another_figure() -> None:
    assert (
        len(lines(two_procedures(KIND + "torque: 15 N·m + 90°", KIND + "torque: 15 N·m + 60°"), "torque-differs")) == 1
    )


def test_another_thread_or_another_machine_is_another_joint() -> None:
    assert (
        lines(two_procedures(KIND + "torque: 22 N·m", 'thread: M10, class: "8.8", torque: 45 N·m'), "torque-differs")
        == []
    )
    machines = {
        "m.yaml": f"machine: m\nfasteners: {{bolts: {{{KIND}torque: 22 N·m}}}}",
        "n.yaml": f"machine: n\nfasteners: {{bolts: {{{KIND}torque: 27 N·m}}}}",
    }
    assert lines(machines, "torque-differs") == []


def test_one_title_in_two_assemblies_of_a_machine_is_one_fastener() -> None:
    library = {
        "m.yaml": "machine: m",
        "a.yaml": f"assembly: a\nmachine: m\nfasteners: {{cover-bolts: {{title: Cover bolts, {KIND}torque: 22 N·m}}}}",
        "b.yaml": f"assembly: b\nmachine: m\nfasteners: {{lid-bolts: {{title: Cover bolts, {KIND}torque: 27 N·m}}}}",
    }
    assert [line.split(": ")[0] for line in lines(library, "torque-differs")] == ["b.yaml:3:84 warning torque-differs"]


# torque-number-in-prose


def says(text: str, facts: str = "torque: 22 N·m", key: str = "do") -> list[str]:
    library = (
        f"procedure: p\nfasteners:\n  bolts: {{{KIND}{facts}}}\nsteps:\n"
        f"  - loosen: bolts\n  - tighten: bolts\n    {key}: {text}\n"
    )
    return lines(library, "torque-number-in-prose", "tightening-in-prose")


def test_a_figure_that_the_text_gets_wrong_is_told_with_the_right_one() -> None:
    assert says("Tighten them to 20 N·m.") == [
        "library.yaml:7:9 warning torque-number-in-prose: The text says 20 N·m, and the torque of bolts is 22 N·m."
    ]


@pytest.mark.parametrize("figure", ["22 N·m", "22 Nm", "16 ft-lb", "195 lbf·in", "2.2 kgf·m", "22 newton metres"])
def test_a_figure_that_is_right_today_is_told_in_whatever_unit_it_is_typed(figure: str) -> None:
    (line,) = says(f"Tighten them to {figure}.")
    assert "is typed in the text; when bolts gets another figure, the text keeps this one." in line


def test_a_reference_in_place_of_the_figure_is_as_it_should_be() -> None:
    assert says("Tighten them to {bolts.torque}.") == []
    assert says("Wait 22 min at 5 mm.") == []


def test_a_note_may_tell_of_another_sources_figure_but_a_step_may_not() -> None:
    other = 'torque: 22 N·m, other-values: [{torque: 27 N·m, why-not: "It strips the block."}]'
    assert says("At 27 N·m the block strips.", other, key="note") == []
    assert len(says("Tighten them to 27 N·m.", other)) == 1


def test_a_step_that_names_no_fastener_is_told_once_only() -> None:
    library = "procedure: p\nsteps:\n  - do: Tighten the bolts to 22 N·m.\n"
    found = lines(library, "torque-number-in-prose", "tightening-in-prose")
    assert [line.split()[2] for line in found] == ["tightening-in-prose:"]


def test_a_figure_in_a_reason_is_told_even_where_no_fastener_is_near() -> None:
    library = "procedure: p\nsteps:\n  - do: Look at the lid.\n    why: It has 22 N·m on its bolts.\n"
    assert lines(library, "torque-number-in-prose") == [
        (
            "library.yaml:4:10 warning torque-number-in-prose: 22 N·m is typed in the text, and no fastener is "
            "named that it could belong to."
        )
    ]
