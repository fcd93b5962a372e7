"""The new seal, the part, the tool, the amount."""

from tests.written import lines

FAMILY = ("seal-reused", "part-missing", "tool-missing", "amount-missing")
PARTS = {"parts.yaml": "parts:\n  gasket: {title: Gasket, single-use: true}\n  pin: {title: Pin, single-use: true}\n"}
MACHINE = "components: {cover: {renew: [gasket]}}\n"


def found(machine: str, steps: str, head: str = "", files: dict[str, str] = PARTS) -> list[str]:
    written = {
        "m.yaml": f"machine: m\n{machine}",
        "p.yaml": f"procedure: p\nmachine: m\n{head}steps:\n{steps}",
        **files,
    }
    return [line.split(" ", 2)[2] for line in lines(written, *FAMILY)]


REUSED = "seal-reused: The gasket of the cover is disturbed and not renewed: it seals once."


def test_a_gasket_that_is_new_in_some_cases_is_reused_in_the_others() -> None:
    steps = (
        "  - remove: cover\n  - {fit: cover, do: On., new: [gasket], when: full}\n"
        "  - {fit: cover, do: On., when: not full}\n"
    )
    assert found(MACHINE, steps, "options: {full: {ask: Full?}}\n") == [REUSED + " It happens with full off."]


def test_a_pin_may_go_in_after_what_it_secures_is_on() -> None:
    machine = "components: {hub: {renew: [pin]}}\n"
    steps = "  - remove: hub\n  - {fit: hub, do: On.}\n  - {do: Bend a new pin over., new: [pin]}\n"
    assert found(machine, steps) == []


def test_a_gasket_that_was_put_in_and_taken_out_again_is_used() -> None:
    once = "  - remove: cover\n  - {fit: cover, do: On., new: [gasket]}\n"
    steps = f"{once}  - remove: cover\n  - {{fit: cover, do: On again.}}\n"
    assert found(MACHINE, steps) == [REUSED]


def test_a_component_that_is_itself_a_single_use_part_is_not_put_back() -> None:
    machine = "components: {filter: {part: gasket}}\n"
    assert found(machine, "  - remove: filter\n  - {fit: filter, do: On.}\n") == [
        "seal-reused: The gasket of the filter is disturbed and not renewed: it seals once."
    ]


def test_steps_made_from_data_come_with_new_seals() -> None:
    assert found(MACHINE, "  - remove: cover\n  - fit: cover\n") == []


def test_what_is_handed_on_off_owes_no_seal_yet() -> None:
    assert found(MACHINE, "  - {remove: cover, do: Off.}\n", "leaves: [cover off]\n") == []


def test_where_the_library_has_no_parts_or_tools_none_are_missed() -> None:
    machine = "components: {rope: {title: Rope}}\naids: {stand: {supports: [rope]}}\n"
    steps = "  - renew: rope\n  - place: stand\n  - {measure: rope, limits: 5–6 mm}\n  - withdraw: stand\n"
    assert found(machine, steps, files={}) == []


def test_an_aid_that_is_no_tool_is_missing_from_the_list() -> None:
    machine = "components: {rope: {title: Rope}}\naids: {stand: {supports: [rope]}}\n"
    tools = {"tools.yaml": "tools: {jack: {title: Jack}}\n"}
    assert found(machine, "  - place: stand\n  - withdraw: stand\n", files=tools) == [
        (
            'tool-missing: Step 1, "place stand", puts an aid in that is no tool on the list: it will be '
            "missing at the bench."
        )
    ]


def test_a_fluid_of_unknown_capacity_is_told_where_it_is_filled_in() -> None:
    assert found("fluids: {oil: {title: Gear oil}}\n", "  - drain: oil\n  - fill: oil\n") == [
        'amount-missing: Step 2, "fill oil", fills in the gear oil, and nobody knows how much.'
    ]
