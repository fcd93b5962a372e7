"""The tightening physics against published tables: what the torque checks stand on."""

from collections.abc import Callable

import pytest

from procgen.fasteners.bearing import bearing_under
from procgen.fasteners.friction import ThreadCondition
from procgen.fasteners.head_sizes import Head
from procgen.fasteners.nut_factor import (
    NUT_FACTORS,
    preload_from_torque_n,
    proof_load_n,
    torque_from_preload_nm,
    usual_torque_nm,
)
from procgen.fasteners.strength import strength_of
from procgen.fasteners.threads import Thread, parse_thread
from procgen.fasteners.tightening import (
    TORSION_ELASTIC,
    TORSION_PLASTIC,
    Verdict,
    assembly_preload_n,
    assembly_torque_nm,
    tightening_band,
    verdict,
)

Rows = list[dict[str, str]]

LBF = 4.4482216152605
LBF_FT = 1.3558179483314004
LBF_IN = 0.1129848290276167
MPA_PER_PSI = 6894.757293168361e-6

# VDI 2230 was reckoned with its own roundings of dw, dh and As: over half a printed unit,
# the heads of vdi2230_*.csv count up to 0.20 % (forces) and 0.13 % (torques) of that.
BEYOND_PRINT = 0.002


def _printed_half_unit(text: str) -> float:
    return 0.5 * 10.0 ** -len(text.partition(".")[2])


def _at_90_percent(thread: Thread, class_text: str, mu: float, torsion: float = TORSION_PLASTIC) -> tuple[float, float]:
    """Preload in N and torque in N·m of a hexagon bolt."""
    yield_mpa = strength_of(class_text, thread.d_mm).yield_mpa
    preload_n = assembly_preload_n(thread, yield_mpa, mu, torsion=torsion)
    arm_mm = bearing_under(thread, Head.HEX).friction_diameter_mm
    return preload_n, assembly_torque_nm(thread, preload_n, mu, arm_mm)


def _cells_beyond_rounding(rows: Rows, *, leave_out: set[tuple[str, str, str]]) -> tuple[int, list[str]]:
    checked, wrong = 0, []
    for row in rows:
        for name in ("8.8", "10.9", "12.9"):
            force_n, torque_nm = _at_90_percent(parse_thread(row["thread"]), name, float(row["mu"]))
            for column, value in ((f"FM_{name}_kN", force_n / 1000), (f"MA_{name}_Nm", torque_nm)):
                if (row["thread"], row["mu"], column) in leave_out:
                    continue
                printed = row[column]
                allowed = _printed_half_unit(printed) + BEYOND_PRINT * float(printed)
                checked += 1
                if abs(value - float(printed)) > allowed:
                    wrong.append(f"{row['thread']} mu {row['mu']} {column}: {printed}, not {value:.2f}")
    return checked, wrong


def test_all_162_cells_of_the_vdi_2230_fine_thread_table_are_met(published: Callable[[str], Rows]) -> None:
    # VDI 2230 part 1 (2001/2003), read in a catalogue: tests/reference/vdi2230_fine.csv.
    assert _cells_beyond_rounding(published("vdi2230_fine.csv"), leave_out=set()) == (162, [])


def test_the_remembered_vdi_2230_coarse_thread_table_is_met_but_for_one_outlier(
    published: Callable[[str], Rows],
) -> None:
    # FROM MEMORY, so a secondary check: tests/reference/vdi2230_coarse.csv. Left out is
    # M4 10.9 at 0.12, 4.6 N·m: a misprint or a slip of memory (its neighbours give 4.35).
    outlier = {("M4", "0.12", "MA_10.9_Nm")}
    assert _cells_beyond_rounding(published("vdi2230_coarse.csv"), leave_out=outlier) == (251, [])


def test_the_older_charts_need_elastic_torsion(published: Callable[[str], Rows]) -> None:
    # VDI 2230 of 1986 in shop charts, mu 0.14: tests/reference/torque_mu014_older_edition.csv,
    # printed to 2-3 figures: 3 %. The formula of today lies 7-11 % higher throughout (M22 was
    # made with 32 mm flats there and lies a little less high).
    for row in published("torque_mu014_older_edition.csv"):
        thread = parse_thread(row["thread"])
        for name in ("8.8", "10.9", "12.9"):
            printed = float(row[f"MA_{name}"])
            elastic = _at_90_percent(thread, name, 0.14, TORSION_ELASTIC)[1]
            plastic = _at_90_percent(thread, name, 0.14)[1]
            assert elastic == pytest.approx(printed, rel=0.03), (row["thread"], name)
            assert plastic > 1.04 * printed, (row["thread"], name)


def test_the_dry_sae_torque_chart_is_met_with_k_0_20(published: Callable[[str], Rows]) -> None:
    # tests/reference/sae_torque_dry_k020.csv: four charts at 75 % of proof load, each with its
    # own rounding beyond the printed one. A reckoned with rough areas (+2.15 % at worst), B gave
    # its small sizes in whole lbf·in, C used loads rounded to 50-100 lbf, D rounds to 5-10 lbf·ft.
    beyond_print = {"A": (0.0, 0.022), "B": (0.5 / 12, 0.002), "C": (0.0, 0.005), "D": (5.0, 0.0)}
    checked = 0
    for row in published("sae_torque_dry_k020.csv"):
        thread = parse_thread(f"{row['size']}-{row['tpi']}")
        torque = usual_torque_nm(thread, strength_of(f"grade {row['grade']}", thread.d_mm)) / LBF_FT
        for chart, (lbf_ft, share) in beyond_print.items():
            if printed := row[f"{chart}_torque_lbf_ft"]:
                allowed = _printed_half_unit(printed) + lbf_ft + share * float(printed)
                assert abs(torque - float(printed)) <= allowed, (row["grade"], thread.designation, chart)
                checked += 1
    assert checked == 136


def test_no_published_dry_sae_torque_is_called_over_or_low(published: Callable[[str], Rows]) -> None:
    for row in published("sae_torque_dry_k020.csv"):
        band = tightening_band(
            parse_thread(f"{row['size']}-{row['tpi']}"), f"grade {row['grade']}", ThreadCondition.DRY
        )
        assert verdict(band, float(row["calc_torque_lbf_ft"]) * LBF_FT) is Verdict.WITHIN, row


def test_no_torque_of_the_army_table_is_called_over_or_low(published: Callable[[str], Rows]) -> None:
    # TM 9-2320-362-14&P table F-1, clean dry threads. The series is not printed: both are
    # tried. Grades 5 and 8 of the metric rows are taken as classes 8.8 and 10.9.
    for row in published("tm_9_2320_362_table_f1.csv"):
        size, unit = row["size"].split()
        metric = unit == "mm"
        names = [f"M{size}"] if metric else [f"{size} UNC", f"{size} UNF"]
        for name in names:
            for column, class_text in (
                ("grade5_Nm", "8.8" if metric else "grade 5"),
                ("grade8_Nm", "10.9" if metric else "grade 8"),
            ):
                band = tightening_band(parse_thread(name), class_text, ThreadCondition.DRY)
                assert verdict(band, float(row[column])) is Verdict.WITHIN, (name, column)


# AC 43.13-1B table 7-1 prints, over its columns, the stress that each torque makes in the bolt.
AC_43_13_STRESS_PSI = {
    "tension_low": 40_000,
    "tension_high": 40_000,
    "shear_low": 24_000,
    "shear_high": 24_000,
    "max_tension": 90_000,
    "max_shear": 54_000,
}


def test_stress_and_torque_of_ac_43_13_agree_for_a_believable_friction(
    published: Callable[[str], Rows],
) -> None:
    # Our torque formula, solved for the friction that joins the printed stress and torque.
    # Recommended torques: 0.079 (1/4-20) to 0.196 (7/16-20); with the maximum columns down to
    # 0.057 (8-36). Cadmium-plated and oil-free: VDI 2230 classes A to C, 0.04 to 0.24.
    found: dict[str, list[float]] = {"recommended": [], "maximum": []}
    for row in published("ac43_13_1b_table7_1.csv"):
        thread = parse_thread(row["size"])
        friction_arm = 0.58 * thread.d2_mm + bearing_under(thread, Head.HEX).friction_diameter_mm / 2
        for column, stress_psi in AC_43_13_STRESS_PSI.items():
            preload_n = stress_psi * MPA_PER_PSI * thread.stress_area_mm2
            arm_mm = float(row[column].rstrip("*")) * LBF_IN * 1000 / preload_n
            kind = "maximum" if column.startswith("max") else "recommended"
            found[kind].append((arm_mm - 0.16 * thread.pitch_mm) / friction_arm)
    assert len(found["recommended"]) == 100
    assert min(found["recommended"]) == pytest.approx(0.079, abs=0.001)
    assert max(found["recommended"]) == pytest.approx(0.196, abs=0.001)
    assert min(found["maximum"]) == pytest.approx(0.057, abs=0.001)
    assert max(found["maximum"]) == pytest.approx(0.168, abs=0.001)


def test_torques_of_ac_43_13_lie_inside_the_band_model_but_for_one_explained(
    published: Callable[[str], Rows],
) -> None:
    # AN bolts are 125 ksi steel (from memory); the nearest grade here is SAE 5, 120 ksi, with
    # 92 ksi yield. Recommended torques make 40 or 24 ksi, so they lie at 0.32 to 1.13 of the
    # bottom of the band: about or below it, and above the quarter that is called low. The maxima make
    # 90 ksi. Over is only 1-1/4-12: SAE 5 drops to 81 ksi yield above 1 in, AN bolts do not.
    strange, shares = [], []
    for row in published("ac43_13_1b_table7_1.csv"):
        band = tightening_band(parse_thread(row["size"]), "grade 5")
        for column in AC_43_13_STRESS_PSI:
            torque_nm = float(row[column].rstrip("*")) * LBF_IN
            if verdict(band, torque_nm) is not Verdict.WITHIN:
                strange.append((row["size"], column, verdict(band, torque_nm)))
            if not column.startswith("max"):
                shares.append(torque_nm / band.low_nm)
    assert strange == [("1-1/4-12", "max_tension", Verdict.OVER)]
    assert min(shares) == pytest.approx(0.32, abs=0.01)
    assert max(shares) == pytest.approx(1.13, abs=0.01)


def test_nut_factors_are_those_of_shigley_table_8_15(published: Callable[[str], Rows]) -> None:
    assert dict(NUT_FACTORS) == {row["condition"]: float(row["K"]) for row in published("nut_factors.csv")}


# Worked examples K1-K7 of tests/reference/worked_examples.csv, each with the tolerance given there.


def test_k1_and_k2_preload_and_torque_of_an_m12_at_70_percent_of_proof() -> None:
    preload_n = 0.70 * proof_load_n(parse_thread("M12"), strength_of("8.8", 12))
    assert preload_n / 1000 == pytest.approx(34.2, abs=0.05)
    assert torque_from_preload_nm(preload_n, 12, 0.20) == pytest.approx(82, abs=0.5)


def test_k3_torque_of_an_m30_at_full_proof_load() -> None:
    assert torque_from_preload_nm(337_000, 30, 0.20) == pytest.approx(2022, abs=0.5)


def test_k4_and_k5_stress_and_torque_of_a_three_quarter_unf_bolt() -> None:
    thread = parse_thread("3/4-16 UNF")
    stress_ksi = 25_000 / (thread.stress_area_mm2 / 25.4**2) / 1000
    assert stress_ksi == pytest.approx(67.02, rel=0.0005 / 0.373)  # the book has the area as 0.373 in²
    assert torque_from_preload_nm(25_000 * LBF, 19.05, 0.20) / LBF_IN == pytest.approx(3750, abs=0.5)


def test_k6_torque_by_thread_friction_agrees_with_shigleys_longer_formula() -> None:
    # Shigley 9th ed. example 8-3(c): collar mean diameter 1.25 d, f = fc = 0.15, 3551 lbf·in.
    # VDI 2230 straightens the helix and rounds to 0.16 and 0.58: within half a per cent.
    thread = parse_thread("3/4-16 UNF")
    torque_nm = assembly_torque_nm(thread, 25_000 * LBF, 0.15, 1.25 * 19.05)
    assert torque_nm / LBF_IN == pytest.approx(3551, rel=0.005)


def test_k7_torque_of_a_lubricated_three_eighths_unf_bolt() -> None:
    torque_nm = usual_torque_nm(parse_thread("3/8-24"), strength_of("grade 5", 9.525), k=NUT_FACTORS["lubricated"])
    assert torque_nm / LBF_IN == pytest.approx(378, abs=0.5)


def test_preload_and_torque_by_nut_factor_are_inverse() -> None:
    assert preload_from_torque_n(torque_from_preload_nm(20_000, 8, 0.18), 8, 0.18) == pytest.approx(20_000)
