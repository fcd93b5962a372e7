"""No regular expression of the program takes more than about linear time, whatever text it is given.

Each is run as the program runs it, over long texts made of its own letters, which is what makes an expression go back
over its steps: one letter repeated, two in turn, and each of them with an end that does not fit. Time is that of the
processor, so that a busy machine changes nothing.
"""

import re
import time
from collections.abc import Callable, Iterator
from itertools import product

import jsonschema_rs
import pytest

from tests.hostile.regular_expressions import Use, built_inside_functions, every_use, schema_patterns

LENGTH = 8_000
"""Of a first try. The cheapest quadratic expression takes some 20 ms for it, an exponential one takes for ever."""
SUSPICIOUS_S = 0.008
GROWTH = 6
"""A text that was slow is tried again, so many times as long."""
MOST = 3
"""A linear expression takes GROWTH times more, within this factor; a quadratic one takes GROWTH times that."""
COMMON = " 0a-\n"
"""Letters that are tried with every expression."""
MOST_LETTERS = 13

USES = every_use()


def letters(pattern: str) -> str:
    """Some of the letters that the expression speaks of, and some that it may not."""
    own = re.sub(r"\\[bBdDsSwWAZ]|\(\?[:=!<P>#]+|#.*", "", pattern)
    return "".join(dict.fromkeys((*COMMON, *re.findall(r"[^\w\\()|?^$]", own), *own)))[:MOST_LETTERS]


def texts(pattern: str) -> Iterator[Callable[[int], str]]:
    """Makers of texts of a length."""
    for one, other in product(letters(pattern), repeat=2):
        yield lambda length, unit=one + other: unit * (length // 2) + "!\0"  # type: ignore[misc]
        if one == other:
            yield lambda length, unit=one: unit * length  # type: ignore[misc]


def seconds(act: Callable[[str], object], text: str, tries: int = 3) -> float:
    """The least of some tries, so that a pause of the collector does not count."""
    taken: list[float] = []
    while len(taken) < tries and (not taken or taken[-1] >= SUSPICIOUS_S):
        began = time.process_time()
        act(text)
        taken.append(time.process_time() - began)
    return min(taken)


def assert_linear(pattern: str, act: Callable[[str], object]) -> None:
    for make in texts(pattern):
        short = seconds(act, make(LENGTH))
        if short >= SUSPICIOUS_S:
            long = seconds(act, make(LENGTH * GROWTH), tries=1)
            assert long < short * GROWTH * MOST, f"{make(12)!r}: {short:.3f} s, then {long:.3f} s: {pattern}"


@pytest.mark.parametrize("use", USES.values(), ids=USES)
def test_time_grows_no_faster_than_the_text(use: Use) -> None:
    assert_linear(use.pattern.pattern, use.run)


@pytest.mark.parametrize("pattern", sorted(schema_patterns()))
def test_the_expressions_of_the_schemas_are_quick_in_the_validator_that_runs_them(pattern: str) -> None:
    assert_linear(pattern, jsonschema_rs.validator_for({"type": "string", "pattern": pattern}).is_valid)


def test_expressions_put_together_inside_functions_are_known() -> None:
    # That of torque_joints is a choice of plain words; that of torque_compared is kept in a cache, where it is found;
    # that of prune is the schemas' own for ids, and tried above with theirs.
    known = {"checks/torque_joints.py", "checks/torque_compared.py", "library/prune.py"}
    assert built_inside_functions() <= known
