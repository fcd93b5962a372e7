"""Truth tables behave like sets of assignments."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from procgen.library.condition import All, Any, Condition, Is, Not, holds
from procgen.plan.cases import ALL, NONE, UNKNOWN, WIDEST, Cases, variable
from procgen.plan.choices import Choices

in_any_time = settings(deadline=None)
"""The machine that runs the tests may be busy."""

VARIABLES = 6
EVERY = tuple(product((False, True), repeat=VARIABLES))
Row = tuple[bool, ...]
Both = tuple[Cases, frozenset[Row]]
"""A table, and the assignments that belong to it."""

leaves = st.sampled_from(
    [(ALL, frozenset(EVERY)), (NONE, frozenset[Row]())]
    + [(variable(n), frozenset(row for row in EVERY if row[n])) for n in range(VARIABLES)]
)
pairs: st.SearchStrategy[Both] = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.builds(lambda a, b: (a[0] & b[0], a[1] & b[1]), inner, inner),
        st.builds(lambda a, b: (a[0] | b[0], a[1] | b[1]), inner, inner),
        st.builds(lambda a, b: (a[0] - b[0], a[1] - b[1]), inner, inner),
        st.builds(lambda a: (~a[0], frozenset(EVERY) - a[1]), inner),
    ),
    max_leaves=12,
)


def rows(cases: Cases) -> frozenset[Row]:
    return frozenset(row for row in EVERY if cases.bits >> sum(row[v] << p for p, v in enumerate(cases.on)) & 1)


@in_any_time
@given(pairs)
def test_a_table_holds_the_assignments_that_belong_to_it_and_depends_on_nothing_more(pair: Both) -> None:
    cases, expected = pair
    assert rows(cases) == expected
    for number in cases.on:
        assert {row[:number] + row[number + 1 :] for row in expected if row[number]} != {
            row[:number] + row[number + 1 :] for row in expected if not row[number]
        }


@in_any_time
@given(pairs, pairs)
def test_equal_sets_are_equal_tables(left: Both, right: Both) -> None:
    assert (left[0] == right[0]) is (left[1] == right[1])
    assert left[0].covers(right[0]) is (left[1] >= right[1])


@in_any_time
@given(pairs, st.integers(0, VARIABLES - 1), st.booleans())
def test_a_known_variable_is_put_in(pair: Both, number: int, value: bool) -> None:
    cases, expected = pair
    assert rows(cases.given(number, value)) == {
        row for row in EVERY if (*row[:number], value, *row[number + 1 :]) in expected
    }


def test_what_depends_on_too_much_is_unknown_and_stays_so_until_it_does_not_matter() -> None:
    wide = ALL
    for number in range(WIDEST + 1):
        wide = wide & variable(number)
    assert wide is UNKNOWN
    assert wide | variable(0) is UNKNOWN
    assert ~wide is UNKNOWN
    assert wide & NONE is NONE
    assert wide | ALL is ALL


CHOICES = {"flush": (True, False), "drive": ("hand", "belt", "motor"), "pump accepted": (True, False)}
atoms = st.sampled_from([Is(name, value) for name, values in CHOICES.items() for value in values])
conditions: st.SearchStrategy[Condition] = st.recursive(
    atoms,
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(lambda *parts: All(parts), inner, inner),
        st.builds(lambda *parts: Any(parts), inner, inner),
    ),
    max_leaves=6,
)


@in_any_time
@given(conditions)
def test_a_condition_holds_where_its_table_says(condition: Condition) -> None:
    choices = Choices(CHOICES)
    for values in product(*CHOICES.values()):
        assignment = dict(zip(CHOICES, values, strict=True))
        assert (choices.table(assignment) & choices.cases(condition) is not NONE) is holds(condition, assignment)


@in_any_time
@given(conditions, conditions)
def test_a_table_turned_into_a_condition_and_back_is_the_same_inside_what_is_known(
    one: Condition, known: Condition
) -> None:
    choices = Choices(CHOICES)
    cases, within = choices.cases(one), choices.cases(known)
    told = choices.cases(choices.condition(cases & within, within))
    assert told & within == cases & within
