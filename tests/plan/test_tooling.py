"""Which tools a tightening needs, and which of those on the list will do."""

import tempfile
from pathlib import Path

from procgen.fasteners.spanners import Grip
from procgen.fasteners.wrench import RangeFit
from procgen.library.items import Fastener
from procgen.library.library import Library
from procgen.library.load import load
from procgen.measure.typeset import show
from procgen.plan.expand import expand
from procgen.plan.steps import Plan
from procgen.plan.tooling import StageTools, head_needs, tightening_tools, tools_at, tools_of
from tests.written import write

TOOLS = """\
    tools:
      small: {title: Small wrench, range: 5–25 N·m}
      large: {title: Large wrench, range: 20–100 N·m, length: 360 mm}
      foot: {title: Crowfoot, kind: crowfoot, hex: 16 mm, offset: 40 mm}
      gauge: {title: Angle gauge, kind: angle-gauge}
      thirteen: {title: Spanner 13, kind: spanner, hex: 13 mm}
      half-inch: {title: Spanner 1/2, kind: spanner, hex: 1/2 in}
      sockets: {title: Sockets, kind: socket, range: 8–19 mm}
      keys: {title: Hexagon keys, kind: hex-key}
      puller: {title: Puller, kind: spanner, special: true}
"""


def planned(procedure: str) -> tuple[Plan, Library]:
    with tempfile.TemporaryDirectory() as folder:
        library = load(write(Path(folder), {"t.yaml": TOOLS, "p.yaml": procedure})).library
    return expand(library.procedures["p"], library)[0], library


def stages(facts: str, tools: str) -> tuple[StageTools, ...]:
    plan, library = planned(
        f"procedure: p\nfasteners:\n  bolts: {{{facts}}}\nsteps:\n"
        f"  - loosen: bolts\n  - {{tighten: bolts, tools: [{tools}]}}\n"
    )
    bolts = plan.machine.items["bolts"]
    assert isinstance(bolts, Fastener)
    return tightening_tools(bolts, tools_at(plan.steps[-1], plan, library)).stages


M10 = 'thread: M10, class: "8.8", head: hex, '


def test_each_figure_gets_the_wrenches_that_cover_it_the_finest_first() -> None:
    first, last = stages(f"{M10}torque: [22 N·m, 45 N·m]", "large, small")
    assert [setting.wrench for setting in first.settings] == ["small", "large"]
    assert [setting.wrench for setting in last.settings] == ["large"]
    assert last.wrenches == (("small", RangeFit.TOO_HIGH), ("large", RangeFit.FITS))


def test_behind_a_crowfoot_of_its_size_the_setting_is_smaller_than_the_figure() -> None:
    # 45 · 360 / (360 + 40) = 40.5
    (stage,) = stages(f"{M10}torque: 45 N·m", "large, foot")
    (setting,) = stage.settings
    assert (setting.crowfoot, show(setting.setting)) == ("foot", "40.5 N·m")
    (inches,) = stages(f"{M10}torque: 33 lbf·ft", "large, foot")
    assert show(inches.settings[0].setting) == "29.7 lbf·ft"
    (span,) = stages(f"{M10}torque: 40–50 N·m", "large, foot")
    assert show(span.settings[0].setting) == "36.0–45.0 N·m"


def test_a_crowfoot_of_another_size_changes_nothing() -> None:
    (stage,) = stages('thread: M8, class: "8.8", head: hex, torque: 25 N·m', "large, foot")
    assert [(setting.crowfoot, show(setting.setting)) for setting in stage.settings] == [(None, "25 N·m")]


def test_the_spanners_on_the_list_that_go_on_the_head_are_found_by_size_and_sets_by_their_range() -> None:
    plan, library = planned("procedure: p\nfasteners:\n  a: {thread: M8, head: hex}\nsteps: [{loosen: a}]\n")
    bolts = plan.machine.items["a"]
    assert isinstance(bolts, Fastener)
    assert tightening_tools(bolts, library.tools.values()).head_tools == ("thirteen", "sockets")


def test_the_tool_list_of_a_procedure_is_what_its_steps_name_and_put_in_place() -> None:
    plan, library = planned(
        "procedure: p\naids:\n  pin: {tool: keys}\nsteps:\n"
        "  - {do: Look., tools: [gauge, small]}\n  - place: pin\n  - {do: Look., tools: [small]}\n  - withdraw: pin\n"
    )
    assert [tool.address.id for tool in tools_of(plan, library)] == ["gauge", "small", "keys"]


def test_every_head_size_is_listed_once_with_its_fasteners_and_steps() -> None:
    plan, _ = planned(
        "procedure: p\nfasteners:\n"
        "  covers: {thread: M8, head: hex}\n  clamps: {thread: M8, head: hex}\n"
        "  caps: {thread: M8, head: socket}\n  odd: {thread: M8, across-flats: 12 mm}\n  clip: {head: clip}\n"
        "steps:\n  - loosen: covers\n  - loosen: [caps, odd, clip]\n  - loosen: clamps\n  - tighten: covers\n"
    )
    needs = head_needs(plan)
    assert [(need.spanner.size, need.spanner.grip, need.fasteners) for need in needs] == [
        ("13 mm", Grip.ACROSS_FLATS, ("covers", "clamps")),
        ("6 mm", Grip.HEXAGON_KEY, ("caps",)),
        ("12 mm", Grip.ACROSS_FLATS, ("odd",)),
    ]
    first, *_ = needs
    keys = [step.key for step in plan.steps]
    assert first.steps == (keys[0], keys[2], keys[3])
