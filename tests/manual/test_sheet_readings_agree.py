"""The page judges a typed reading exactly as `procgen record` does."""

import random
from fractions import Fraction
from pathlib import Path

import pytest

from procgen.library.catalogue import Units
from procgen.manual.sheet_steps import scale_data
from procgen.measure.quantity import parse_quantity
from procgen.measure.units import find_unit
from procgen.sheet.reading import ReadingError, Scale, open_scale, read_typed, scale_of
from tests.manual.sheets import bench, build, opened
from tests.sheet.boat import BOAT
from tests.written import write

pytestmark = pytest.mark.browser

SEED = 20261101
LIMITS = (
    "5–7 mm",
    ">= 3.5 mm",
    "<= 0.008 in",
    "0.20 ± 0.02 mm",
    "1.1–1.3 bar",
    "−5 to 5 °C",
    "800–900 rpm",
    "1/4 in",
    "3/16–5/16 in",
)
PIECES = (
    *"0123456789",
    *"0123456789",
    ".",
    ",",
    "-",
    "−",
    "+",
    "/",
    "/8",
    "/16 in",
    " ",
    "\u00a0",
    "\u202f",
    "mm",
    "in",
    " mm",
    "bar",
    "°C",
    "x",
    "\t",
)
WRITTEN = (
    "",
    "5",
    "7",
    "7.0",
    "7,0",
    "7.0000001",
    "1,500",
    "0,500",
    "1,5000",
    "5mm",
    "5 MM",
    "5 in",
    ".5",
    "5.",
    "٣",
    "5\n",
    "1e3",
    "00005",
    "3/16 in",
    "1 3/8 in",
    "-1\u00a03/8in",
    "−3/16 in",
    "1/4 in",
    "1/4",
    "2/8 in",
    "9/8 in",
    "1 9/8 in",
    "0 3/8 in",
    "03/08 in",
    "0/8 in",
    "7/10 in",
    "3/8 mm",
    "1-3/8 in",
    "1 3/8/2 in",
)


def python_says(typed: str, scale: Scale) -> list[str | bool] | None:
    try:
        reading = read_typed(typed, scale)
    except ReadingError:
        return None
    return [reading.numeral, reading.unit.symbol, reading.is_good]


def test_page_and_program_judge_every_reading_alike(tmp_path: Path) -> None:
    draw = random.Random(SEED)  # noqa: S311 - no secret
    scales = [scale_of(parse_quantity(text), Units(first="metric", second="imperial")) for text in LIMITS]
    scales += [open_scale(find_unit(unit), Units(first="metric", second="imperial")) for unit in ("mm", "in", "rpm")]
    cases = [(typed, scale) for typed in WRITTEN for scale in scales]
    for _ in range(6000):
        typed = "".join(draw.choices(PIECES, k=draw.randint(1, 7)))
        cases.append((typed, draw.choice(scales)))
    # The very edges, and one ten-thousandth to either side of them.
    for scale in scales:
        for unit in scale.units:
            ends = [end for end in scale.limits_in(unit) if end is not None]
            moves = (Fraction(0), Fraction(1, 10000), Fraction(-1, 10000))
            cases.extend((f"{float(end + move):.4f} {unit.symbol}", scale) for end in ends for move in moves)
    site = build(write(tmp_path / "boat", BOAT), tmp_path / "site")
    with bench(tmp_path / "profile") as context:
        page = opened(context, site / "job/belt-of-one.html")
        found = page.evaluate(
            """cases => cases.map(([typed, scale]) => {
                const read = Sheet.readTyped(typed, Sheet.scale(scale));
                return read.fault ? null : [read.numeral, read.unit, read.good];
            })""",
            [[typed, scale_data(scale)] for typed, scale in cases],
        )
    wanted = [python_says(typed, scale) for typed, scale in cases]
    differ = [
        (case[0], case[1].words, want, got) for case, want, got in zip(cases, wanted, found, strict=True) if want != got
    ]
    assert differ == [], f"seed {SEED}"
    assert sum(want is not None for want in wanted) > 500
