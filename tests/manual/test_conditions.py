"""Path conditions on a page: in words, and as data for the switches."""

from hypothesis import given
from hypothesis import strategies as st

from procgen.library.condition import ALWAYS, All, Any, Condition, Is, Not, holds
from procgen.manual.conditions import as_data, in_words, may_hold, without

FLUSH, KEEL, PUMP = Is("flush"), Is("cooling", "keel-cooler"), Is("pump accepted")
CHOSEN = frozenset({"flush", "cooling"})


def word(atom: Is) -> str:
    return f"{atom.name}: {atom.value}"


def test_words_say_what_is_asked_for() -> None:
    assert in_words(All((FLUSH, Not(KEEL))), word) == "flush: True and not (cooling: keel-cooler)"
    assert in_words(Not(FLUSH), word) == "flush: False"
    assert in_words(All((Any((FLUSH, KEEL)), PUMP)), word) == (
        "(flush: True or cooling: keel-cooler) and pump accepted: True"
    )


def test_what_the_place_says_already_is_not_said_again() -> None:
    assert without(All((FLUSH, KEEL)), FLUSH) == KEEL
    assert without(FLUSH, FLUSH) == ALWAYS


def test_data_name_only_what_a_switch_sets() -> None:
    assert as_data(All((FLUSH, PUMP)), CHOSEN) == "flush=true"
    assert as_data(PUMP, CHOSEN) == ""
    assert as_data(ALWAYS, CHOSEN) == ""
    assert as_data(Not(All((FLUSH, PUMP))), CHOSEN) == "!1 &2 flush=true ?"


CONDITIONS = st.recursive(
    st.sampled_from([FLUSH, Is("flush", False), KEEL, Is("cooling", "heat-exchanger"), PUMP]),
    lambda inner: st.one_of(
        inner.map(Not),
        st.lists(inner, max_size=3).map(lambda parts: All(tuple(parts))),
        st.lists(inner, max_size=3).map(lambda parts: Any(tuple(parts))),
    ),
    max_leaves=6,
)
WAYS = [
    {"flush": flush, "cooling": cooling, "pump accepted": accepted}
    for flush in (True, False)
    for cooling in ("keel-cooler", "heat-exchanger")
    for accepted in (True, False)
]


def read(tokens: list[str], known: dict[str, bool | str]) -> bool | None:
    """What `switches.js` does with the data, in the plainest way."""
    mark = tokens.pop(0)
    if mark == "?":
        return None
    if mark[0] not in "&|!":
        name, value = mark.split("=")
        return str(known[name]).lower() == value if name in known else None
    answers = [read(tokens, known) for _ in range(int(mark[1:]))]
    if mark[0] == "!":
        return None if answers[0] is None else not answers[0]
    decisive = mark[0] == "|"
    return decisive if decisive in answers else None if None in answers else not decisive


@given(CONDITIONS, st.sampled_from(WAYS), st.sets(st.sampled_from(["flush", "cooling"])))
def test_a_step_is_hidden_exactly_where_the_choices_alone_rule_it_out(
    condition: Condition, way: dict[str, bool | str], set_by_reader: set[str]
) -> None:
    known = {name: value for name, value in way.items() if name in set_by_reader}
    data = as_data(condition, CHOSEN)
    hidden = bool(data) and read(data.split(" "), known) is False
    assert hidden == (may_hold(condition, known) is False)
    if hidden:
        possible = [each for each in WAYS if all(each[name] == value for name, value in known.items())]
        assert not any(holds(condition, each) for each in possible)
