"""Classes and grades against the published strengths and loads."""

from collections.abc import Callable

import pytest

from procgen.fasteners.nut_factor import proof_load_n
from procgen.fasteners.strength import StrengthError, class_names, strength_of
from procgen.fasteners.threads import parse_thread

Rows = list[dict[str, str]]

CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9")
PSI = 6894.757293168361e-6  # MPa


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("8.8", "8.8"),
        ("8,8", "8.8"),
        ("class 10.9", "10.9"),
        ("Grade 8.8", "8.8"),
        ("grade 8", "SAE grade 8"),
        ("SAE 5", "SAE grade 5"),
        ("SAE J429 gr. 2", "SAE grade 2"),
        ("A2-70", "A2-70"),
        ("a4 80", "A4-80"),
        ("A4L-80", "A4-80"),
    ],
)
def test_a_class_is_read_the_way_people_write_it(text: str, name: str) -> None:
    assert strength_of(text, 8).name == name


@pytest.mark.parametrize(
    ("text", "d_mm", "message"),
    [
        ("8", 8, '"8" alone may be a grade or a nut class: write "grade 8" (SAE J429).'),
        ("9.8", 20, "class 9.8 is made up to 16 mm only (ISO 898-1), and this thread has 20 mm."),
        (
            "A2-90",
            8,
            (
                "A2-90: no property class (8.8), SAE grade (grade 5) or stainless class (A2-70). "
                "Perhaps A2-80, A2-70, A2-50, A5-80?"
            ),
        ),
        (
            "hardened",
            8,
            "hardened: no property class (8.8), SAE grade (grade 5) or stainless class (A2-70).",
        ),
    ],
)
def test_what_is_no_class_is_refused_with_near_names(text: str, d_mm: float, message: str) -> None:
    with pytest.raises(StrengthError) as refusal:
        strength_of(text, d_mm)
    assert str(refusal.value) == message


def test_class_8_8_grows_stronger_above_16_mm() -> None:
    assert strength_of("8.8", 16).yield_mpa == 640
    assert strength_of("8.8", 18).yield_mpa == 660


def test_outside_the_sizes_of_its_standard_a_grade_says_so() -> None:
    screw = strength_of("grade 5", 4.826)
    assert screw.tensile_mpa == strength_of("grade 5", 6.35).tensile_mpa
    assert screw.note == ("SAE J429 gives SAE grade 5 from 6.35 to 38.1 mm; the figures of the nearest size are used.")


def test_strengths_are_those_of_iso_898_1_table_3(published: Callable[[str], Rows]) -> None:
    for row in published("iso898-1_classes.csv"):
        strength = strength_of(row["property_class"], 20 if row["d_range_mm"] == "d>16" else 12)
        assert (strength.tensile_mpa, strength.yield_mpa, strength.proof_mpa) == (
            float(row["Rm_min_MPa"]),
            float(row["yield_min_MPa"]),
            float(row["Sp_nominal_MPa"]),
        )


def test_loads_are_those_of_iso_898_1_tables_4_and_5_within_1_percent(
    published: Callable[[str], Rows],
) -> None:
    # tests/reference/iso898-1_coarse_loads.csv: proof loads of M30-M39 in it are from memory.
    checked = 0
    for row in published("iso898-1_coarse_loads.csv"):
        thread = parse_thread(row["thread"])
        for name in CLASSES:
            if not row[name]:
                with pytest.raises(StrengthError):
                    strength_of(name, thread.d_mm)
                continue
            strength = strength_of(name, thread.d_mm)
            load_n = (
                proof_load_n(thread, strength)
                if row["quantity"] == "Fp_N"
                else thread.stress_area_mm2 * strength.tensile_mpa
            )
            assert load_n == pytest.approx(float(row[name]), rel=0.01), (row["thread"], name)
            checked += 1
    assert checked == 342


def test_strengths_are_those_of_sae_j429(published: Callable[[str], Rows]) -> None:
    for row in published("sae_j429.csv"):
        strength = strength_of(f"grade {row['grade']}", float(row["thru_in"]) * 25.4)
        assert strength.proof_mpa == pytest.approx(float(row["proof_psi"]) * PSI)
        assert strength.yield_mpa == pytest.approx(float(row["yield_min_psi"]) * PSI)
        assert strength.tensile_mpa == pytest.approx(float(row["tensile_min_psi"]) * PSI)


def test_in_every_class_yield_lies_between_proof_and_tensile() -> None:
    for name in class_names():
        strength = strength_of(name, 12)
        assert strength.proof_mpa <= strength.yield_mpa < strength.tensile_mpa, name
