"""How instructions are worded. The limits are those of ASD-STE100, section 5; lists of words are common practice."""

import pytest

from procgen.checks.language import commands, is_instruction, sentences, words
from tests.written import lines


def found(check: str, **step: str) -> list[str]:
    text = "procedure: p\nsteps:\n  - " + "\n    ".join(f"{key}: {value!r}" for key, value in step.items()) + "\n"
    return [line.partition(": ")[2] for line in lines(text, check)]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Open the tap. Catch the oil.", ["Open the tap.", "Catch the oil."]),
        ("Bring No. 1 to the top. Look at the marks.", ["Bring No. 1 to the top.", "Look at the marks."]),
        ("Turn to 22.5 mm.", ["Turn to 22.5 mm."]),
        ("- Open the lid\n- Close the lid", ["Open the lid", "Close the lid"]),
        ("**Stop.** Read the [notice](https://example.org).", ["Stop.", "Read the notice."]),
        ("", []),
    ],
)
def test_sentences(text: str, parts: list[str]) -> None:
    assert list(sentences(text)) == parts


@pytest.mark.parametrize(
    ("sentence", "is_one"),
    [
        ("Open the tap.", True),
        ("Do not turn the crankshaft.", True),
        ("Never lean on the pins.", True),
        ("The tap is stiff.", False),
        ("If the tap is stiff, warm it.", False),
        ("Opening the tap takes both hands.", False),
        ("", False),
    ],
)
def test_what_is_an_instruction(sentence: str, is_one: bool) -> None:
    assert is_instruction(sentence) is is_one


@pytest.mark.parametrize(
    ("sentence", "verbs"),
    [
        ("Open the drain tap and catch the coolant.", ["open", "catch"]),
        ("Open the lid, wipe the pin and oil it.", ["open", "wipe", "oil"]),
        ("Wipe the pin, the washer and the nut.", ["wipe"]),
        ("Set the pin and washer aside.", ["set"]),
        ("The lid opens and the pin shows.", []),
    ],
)
def test_the_commands_of_a_sentence(sentence: str, verbs: list[str]) -> None:
    assert commands(sentence) == verbs


def test_a_name_in_braces_is_one_word() -> None:
    assert words("Tighten the {coolant-pump-bolts} to {coolant-pump-bolts.torque}.") == [
        "Tighten",
        "the",
        "{coolant-pump-bolts}",
        "to",
        "{coolant-pump-bolts.torque}",
    ]


@pytest.mark.parametrize("count", [20, 21])
def test_twenty_words_are_short_enough_and_twenty_one_are_not(count: int) -> None:
    text = "Put " + "oil " * (count - 2) + "here."
    assert len(found("long-sentence", do=text)) == (1 if count > 20 else 0)


def test_a_long_sentence_that_explains_is_no_instruction() -> None:
    assert found("long-sentence", do="The " + "oil " * 30 + "runs.") == []


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Open the drain tap and catch the coolant.", 0),
        ("Open the tap, then close it.", 1),
        ("Open the tap and then close it.", 1),
        ("Open the lid, wipe the pin and oil it.", 1),
        ("Open the lid. Wipe the pin. Oil it.", 0),
    ],
)
def test_one_instruction_in_a_sentence(text: str, count: int) -> None:
    assert len(found("several-instructions", do=text)) == count


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Tighten the lid bolts.", 1),
        ("Re-tighten the clamp by a quarter turn.", 1),
        ("Set the torque wrench aside.", 0),
        ("The bolts were tightened at the works.", 0),
    ],
)
def test_tightening_in_words_alone(text: str, count: int) -> None:
    assert len(found("tightening-in-prose", do=text)) == count


def test_a_step_that_tightens_a_named_fastener_says_so_in_words_too() -> None:
    text = """\
        procedure: p
        fasteners:
          lid-bolts: {thread: M6, class: "8.8", torque: 9 N·m}
        steps:
          - loosen: lid-bolts
            do: Loosen the {lid-bolts}.
          - tighten: lid-bolts
            do: Tighten the {lid-bolts} to {lid-bolts.torque}.
    """
    assert lines(text, "tightening-in-prose") == []


@pytest.mark.parametrize("note", ["Wipe off what runs down.", "Do not use grease.", "The oil is thin. Never heat it."])
def test_a_note_that_instructs(note: str) -> None:
    assert len(found("instruction-in-note", do="Oil the pin.", note=note)) == 1


def test_a_note_that_informs() -> None:
    assert found("instruction-in-note", do="Oil the pin.", note="The pin is hollow; oil reaches both ends.") == []


@pytest.mark.parametrize("word", ["as required", "securely", "sufficient", "If necessary", "properly"])
def test_vague_words(word: str) -> None:
    (message,) = found("vague-word", do=f"Oil the pin, {word}, twice.")
    assert message.startswith(f'"{word}"')


def test_a_word_that_only_contains_a_vague_one_is_not_vague() -> None:
    assert found("vague-word", do="Oil the pin of the insufficiently named lid.") == []


def test_words_inside_a_components_own_steps_are_looked_at_once() -> None:
    files = {
        "m.yaml": """\
            machine: winch
            components:
              lid:
                remove: {steps: [{remove: lid, do: "Lift the lid off securely."}]}
        """,
        "p.yaml": "procedure: p\nmachine: winch\nsteps:\n  - remove: lid\n  - fit: lid\n",
        "q.yaml": "procedure: q\nmachine: winch\nsteps:\n  - remove: lid\n  - fit: lid\n",
    }
    assert [line.split(" ")[0] for line in lines(files, "vague-word")] == ["m.yaml:4:40"]
