"""Logbooks as people write them: any layout that YAML allows and that somebody might use, drawn at random."""

from dataclasses import dataclass

from hypothesis import strategies as st

WORDS = st.sampled_from(
    [
        "Pump inspected",
        "she ran well",
        "it's dry",
        "3 mm left",
        "yes: twice",
        "# not a comment",
        "Öl, 40 °C",
        "- no",
        "a\tb",
    ]
)
COMMENTS = st.sampled_from(["", "  # by hand", " # entries: none"])
OWN_LINE = st.sampled_from(["", "# a comment\n", "\n", "\n# entries: follow\n\n", "    # far in\n"])


def quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


@st.composite
def notes(draw: st.DrawFn, indent: str) -> str:
    """A note in any of YAML's ways to write text; `indent` is where its lines may begin."""
    lines = draw(st.lists(WORDS, min_size=1, max_size=3))
    match draw(st.sampled_from(["single", "double", "literal", "folded", "plain"])):
        case "single":
            return quoted(" ".join(lines)) + "\n"
        case "double":
            return '"' + "\\n".join(line.replace("\t", " ") for line in lines) + '"\n'
        case "plain":
            return f"Engine ran\n{indent}well today\n"
        case "literal":
            head = "|" + draw(st.sampled_from(["", "-", "+"]))
        case _:
            head = ">" + draw(st.sampled_from(["", "-", "+"]))
    tail = draw(st.sampled_from(["", "\n", "\n\n"]))
    return f"{head}{draw(COMMENTS)}\n" + "".join(f"{indent}{line}\n" for line in lines) + tail


@st.composite
def block_entries(draw: st.DrawFn) -> str:
    """`entries:` as a block, its dashes at any depth."""
    dash = " " * draw(st.integers(0, 5))
    text = f"entries:{draw(COMMENTS)}\n"
    for number in range(draw(st.integers(1, 3))):
        text += draw(OWN_LINE)
        if draw(st.booleans()):
            text += f"{dash}- {{on: 2021-05-0{number + 1}, by: {quoted('A, B')}}}{draw(COMMENTS)}\n"
            continue
        inside = dash + "  "
        text += f"{dash}- on: 2021-05-0{number + 1}{draw(COMMENTS)}\n"
        if draw(st.booleans()):
            text += f"{inside}did: [renew-belt,\n{inside}  oil-change]{draw(COMMENTS)}\n"
        if draw(st.booleans()):
            text += f"{inside}readings:\n{inside}  play: 0.1 mm{draw(COMMENTS)}\n"
        if draw(st.booleans()):
            text += f"{inside}note: {draw(notes(inside + '  '))}"
    return text


FLOW_ENTRIES = st.sampled_from(
    [
        "entries: []\n",
        "entries: [] # none yet\n",
        "entries: [{on: 2021-05-09}]\n",
        "entries: [{on: 2021-05-09}, {on: 2021-06-01, by: 'A, ]'}] # all\n",
        "entries:\n  [\n    {on: 2021-05-09}, # first\n    {on: 2021-06-01, by: me},\n  ]\n",
        "entries: [\n{on: 2021-05-09\n}\n]\n",
        "entries:\n",
        "entries: # to come\n",
    ]
)


@dataclass(frozen=True)
class Written:
    """A logbook file."""

    text: str


@st.composite
def logbooks(draw: st.DrawFn) -> Written:
    """The text of a logbook, with entries in any place and layout, or without any."""
    if draw(st.integers(0, 9)) == 0:
        return Written("{logbook: boat, machine: m, entries: [{on: 2021-05-09}]}\n")
    entries = draw(st.one_of(block_entries(), block_entries(), FLOW_ENTRIES, st.just("")))
    parts = [
        draw(OWN_LINE) + f"machine: m{draw(COMMENTS)}\n",
        draw(OWN_LINE) + f"name: {quoted(draw(WORDS))}\n",
        draw(OWN_LINE) + f"note: {draw(notes('  '))}",
        draw(OWN_LINE) + "meter:\n- {on: 2020-01-01, hours: 3}\n",
    ]
    kept = draw(st.lists(st.sampled_from(parts[1:]), unique=True, max_size=3))
    order = draw(st.permutations([parts[0], *kept, *([draw(OWN_LINE) + entries] if entries else [])]))
    text = draw(st.sampled_from(["", "# The boat\n", "---\n"])) + "logbook: boat\n" + "".join(order)
    text += draw(st.sampled_from(["", "\n", "# end\n", "...\n"]))
    if draw(st.booleans()):
        text = text.rstrip("\n")
    if draw(st.booleans()):
        text = text.replace("\n", "\r\n")
    return Written(draw(st.sampled_from(["", "\ufeff"])) + text)
