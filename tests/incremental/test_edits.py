"""Whatever is edited, a build that knows what was built before gives the manual that one from nothing gives.

Findings, accepted deviations and every byte of every file are compared after each build. The normal run makes each
kind of change once, and some at random; `PROCGEN_THOROUGH=20000 pytest tests/incremental` edits as often as that.
"""

import os
import tempfile
from pathlib import Path
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.incremental.bench import Bench, differences
from tests.incremental.edits import EDITS, TURNS, Edit, State, leave, turned
from tests.incremental.shop import shop

THOROUGH = int(os.environ.get("PROCGEN_THOROUGH", "60"))
"""How many edits are made at random, about."""
_IN_A_ROW = 15

ACTS = st.tuples(st.sampled_from(EDITS), st.integers(0, 2**16), st.sampled_from((True, True, True, False)))
"""An edit, what it hits, and whether there is a build after it."""


@settings(max_examples=max(1, THOROUGH // _IN_A_ROW))
@given(acts=st.lists(ACTS, min_size=_IN_A_ROW, max_size=2 * _IN_A_ROW), held=st.booleans())
def test_a_build_after_any_edits_is_a_build_from_nothing(acts: list[tuple[Edit, int, bool]], held: bool) -> None:
    with tempfile.TemporaryDirectory() as scratch, Bench(Path(scratch), held=held) as bench:
        state = State(files=shop())
        bench.again(state)
        for edit, number, builds in acts:
            state = edit(state, Random(number))  # noqa: S311 - no secret
            if builds and edit is not leave:
                assert differences(bench.again(state), bench.from_nothing(state)) == [], (edit.__name__, number)
        assert bench.checked_alike(state)


def test_after_each_kind_of_change_alone_a_build_is_one_from_nothing(tmp_path: Path) -> None:
    with Bench(tmp_path, held=True) as bench:
        state = State(files=shop())
        bench.again(state)
        for number in range(len(TURNS)):
            state = turned(state, number)
            assert differences(bench.again(state), bench.from_nothing(state)) == [], TURNS[number]
            # Every other change is taken back, so that what was known is met again, and things add up nevertheless.
            state = turned(state, number) if number % 2 else state
        assert bench.checked_alike(state)
