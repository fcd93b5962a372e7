"""Spanner sizes against the sifted table of the product standards."""

from collections.abc import Callable

import pytest

from procgen.fasteners.bearing import bearing_under
from procgen.fasteners.head_sizes import Head, head_named
from procgen.fasteners.spanners import Grip, spanner_for
from procgen.fasteners.threads import all_threads, parse_thread

Rows = list[dict[str, str]]

COLUMNS = {
    Head.HEX: "iso4014_4017_s",
    Head.NUT: "iso4032_s",
    Head.SOCKET: "iso4762_key",
    Head.SMALL_FLANGE: "en1662_s",
    Head.FLANGE: "en1665_s",
}


def test_sizes_are_those_of_the_iso_and_en_product_standards(published: Callable[[str], Rows]) -> None:
    # tests/reference/hex_sizes.csv
    for row in published("hex_sizes.csv"):
        thread = parse_thread(row["thread"])
        for head, column in COLUMNS.items():
            spanner = spanner_for(thread, head)
            listed = float(row[column]) if row[column] else None
            assert (spanner.size_mm if spanner else None) == listed, (row["thread"], head)


def test_a_differing_din_size_is_mentioned_and_no_other(published: Callable[[str], Rows]) -> None:
    for row in published("hex_sizes.csv"):
        spanner = spanner_for(parse_thread(row["thread"]), Head.HEX)
        if spanner is not None:
            din = f"{row['din931_933_s']} mm on fasteners to the older DIN standards"
            assert spanner.note == (din if row["din_differs"] else None)


def test_a_fine_thread_takes_the_spanner_of_its_diameter() -> None:
    spanner = spanner_for(parse_thread("M8x1"), Head.HEX)
    assert spanner is not None
    assert (spanner.size, spanner.grip) == ("13 mm", Grip.ACROSS_FLATS)


@pytest.mark.parametrize(
    ("thread", "head", "size"),
    [
        # ASME B18.2.1 hex cap screws and B18.3 socket head cap screws, read (see head_sizes.py);
        # nuts of 7/16 and 9/16 are a size larger than the bolt heads (B18.2.2, from memory).
        ("1/4-20", Head.HEX, "7/16 in"),
        ("3/8-16", Head.HEX, "9/16 in"),
        ("1/2-13", Head.HEX, "3/4 in"),
        ("1-1/2-6", Head.HEX, "2-1/4 in"),
        ("7/16-14", Head.NUT, "11/16 in"),
        ("9/16-12", Head.NUT, "7/8 in"),
        ("#10-32", Head.SOCKET, "5/32 in"),
        ("1/2-20", Head.SOCKET, "3/8 in"),
    ],
)
def test_unified_sizes_are_given_in_inches(thread: str, head: Head, size: str) -> None:
    spanner = spanner_for(parse_thread(thread), head)
    assert spanner is not None
    assert spanner.size == size


def test_where_the_standards_have_no_size_none_is_made_up() -> None:
    assert spanner_for(parse_thread("M7"), Head.HEX) is None
    assert spanner_for(parse_thread("M18"), Head.SOCKET) is None
    assert spanner_for(parse_thread("3/8-16"), Head.SMALL_FLANGE) is None


def test_bearing_faces_are_those_of_iso_4014_and_iso_273(published: Callable[[str], Rows]) -> None:
    for row in published("hex_sizes.csv"):
        bearing = bearing_under(parse_thread(row["thread"]), Head.HEX)
        assert bearing.hole_mm == float(row["dh_medium"])
        assert bearing.is_estimate == (not row["dw_min"])
        if row["dw_min"]:
            assert bearing.outer_mm == float(row["dw_min"])


def test_a_rule_of_thumb_for_a_bearing_face_is_near_the_listed_ones() -> None:
    # The fall-back for unlisted sizes, laid over the sizes that are listed: within 15 %.
    factors = {Head.HEX: 1.42, Head.FLANGE: 1.98, Head.SMALL_FLANGE: 1.88, Head.SOCKET: 1.50}
    for thread in all_threads():
        for head, factor in factors.items():
            bearing = bearing_under(thread, head)
            if not bearing.is_estimate:
                assert bearing.outer_mm == pytest.approx(factor * thread.d_mm, rel=0.15), thread
            assert bearing.outer_mm > bearing.hole_mm, thread


def test_heads_are_known_by_name_and_a_hollow_banjo_bolt_is_none_of_them() -> None:
    assert head_named("Small flange") is Head.SMALL_FLANGE
    assert head_named("banjo") is None
    assert head_named("clip") is None


def test_a_head_without_a_listed_size_has_an_estimated_face_and_no_spanner() -> None:
    assert spanner_for(parse_thread("M8"), Head.OTHER) is None
    assert bearing_under(parse_thread("M8"), Head.OTHER).is_estimate
    assert not bearing_under(parse_thread("M8"), Head.TORX).is_estimate
