"""Whether what is on the tool list can do the tightening."""

from tests.written import lines

TOOLS = """\
    tools:
      small: {title: Small wrench, range: 5–25 N·m}
      large: {title: Large wrench, range: 20–200 N·m, length: 400 mm}
      gauge: {title: Angle gauge, kind: angle-gauge}
      foot: {title: Crowfoot, kind: crowfoot, hex: 16 mm, offset: 100 mm}
"""


def found(facts: str, tools: str, catalogue: str = TOOLS) -> list[str]:
    library = {
        "p.yaml": f"procedure: p\nfasteners:\n  bolts: {{{facts}}}\nsteps:\n"
        f"  - loosen: bolts\n  - tighten: bolts\n    {tools}\n",
    }
    return lines(library | ({"t.yaml": catalogue} if catalogue else {}), "wrench-range", "angle-gauge-missing")


def test_a_wrench_is_trusted_from_a_fifth_of_its_scale_to_its_end() -> None:
    m10 = 'thread: M10, class: "8.8", head: hex'
    assert found(f"{m10}, torque: 45 N·m", "tools: [large]") == []
    assert found(f"{m10}, torque: 25 N·m", "tools: [small]") == []
    assert found(f"{m10}, torque: 45 N·m", "tools: [small]") == [
        (
            "p.yaml:6:5 warning wrench-range: bolts is tightened to 45 N·m, and no torque wrench on the tool "
            "list covers it: "
            "small ends at 25 N·m."
        )
    ]
    assert found(f"{m10}, torque: 30 N·m", "tools: [large]") == [
        (
            "p.yaml:6:5 warning wrench-range: bolts is tightened to 30 N·m, and no torque wrench on the tool "
            "list covers it: "
            "large is trusted from 40 N·m, a fifth of its scale or its first mark."
        )
    ]


def test_every_pass_needs_a_wrench() -> None:
    passes = 'thread: M10, class: "8.8", torque: [20 N·m, 45 N·m]'
    assert len(found(passes, "tools: [large]")) == 1
    assert found(passes, "tools: [small, large]") == []


def test_behind_a_crowfoot_the_setting_counts() -> None:
    # 48 N·m behind 100 mm on a 400 mm wrench is set at 38.4 N·m, and the wrench is trusted from 40 N·m.
    m10 = 'thread: M10, class: "8.8", head: hex, torque: 48 N·m'
    assert found(m10, "tools: [large]") == []
    assert len(found(m10, "tools: [large, foot]")) == 1


def test_without_any_torque_wrench_on_the_list_one_is_named() -> None:
    library = {
        "t.yaml": TOOLS,
        "p.yaml": """\
            procedure: p
            fasteners:
              bolts: {thread: M10, class: "8.8", torque: 45 N·m}
            steps:
              - loosen: bolts
              - tighten: bolts
        """,
    }
    assert lines(library, "wrench-range") == [
        (
            "p.yaml:6:5 warning wrench-range: bolts is tightened to 45 N·m, and no torque wrench on the tool "
            "list covers it: "
            "there is none on it."
        )
    ]


def test_a_wrench_named_elsewhere_in_the_procedure_is_at_hand() -> None:
    library = {
        "t.yaml": TOOLS,
        "p.yaml": """\
            procedure: p
            fasteners:
              bolts: {thread: M10, class: "8.8", torque: 45 N·m}
            steps:
              - do: Lay the tools out.
                tools: [large]
              - loosen: bolts
              - tighten: bolts
        """,
    }
    assert lines(library, "wrench-range") == []


def test_who_declares_no_torque_wrench_is_left_in_peace() -> None:
    assert found('thread: M10, class: "8.8", torque: 45 N·m + 90°', "note: None", catalogue="") == []


def test_a_further_angle_needs_a_gauge_and_flats_do_not() -> None:
    m10 = 'thread: M10, class: "8.8"'
    assert found(f"{m10}, torque: 45 N·m + 90°", "tools: [large]") == [
        (
            "p.yaml:6:5 warning angle-gauge-missing: bolts is tightened by an angle (45 N·m + 90°), and no "
            "angle gauge is on the tool list: guessed by eye, 90° may be 75° or 105°."
        )
    ]
    assert found(f"{m10}, torque: 45 N·m + 90°", "tools: [large, gauge]") == []
    assert found(f"{m10}, torque: 45 N·m + 1 flat", "tools: [large]") == []
