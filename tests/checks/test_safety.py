"""Warned in time, and proved safe."""

from tests.written import lines

SAFETY = ("hazard-unannounced", "notice-late", "notice-incomplete", "isolation-unproven")
FILES = {
    "n.yaml": """\
        notices:
          shock: {level: danger, hazard: Live., consequence: Death., avoid: Isolate., kinds: [electrical]}
          scald: {level: warning, hazard: Hot., consequence: Burns., avoid: Wait., kinds: [heat]}
        """,
    "m.yaml": """\
        machine: m
        energies: {mains: {kind: electrical}, steam: {kind: heat}}
        components: {motor: {exposed-to: [mains]}, boiler: {exposed-to: [steam]}}
        """,
}


def safety(steps: str, head: str = "") -> list[str]:
    found = lines({**FILES, "p.yaml": f"procedure: p\nmachine: m\n{head}steps:\n{steps}"}, *SAFETY)
    return [line.split(" ", 2)[2] for line in found]


def test_a_kind_of_energy_is_announced_once_for_all_that_follows() -> None:
    assert (
        safety(
            "  - {isolate: mains, proof: Try., notices: [shock]}\n  - clean: motor\n  - mark: motor\n"
            "  - restore: mains\n"
        )
        == []
    )


def test_a_notice_of_the_procedure_counts_as_read() -> None:
    assert (
        safety("  - {isolate: mains, proof: Try.}\n  - clean: motor\n  - restore: mains\n", "notices: [shock]\n") == []
    )


def test_a_notice_of_another_kind_does_not_count_and_the_hazard_is_told_once() -> None:
    assert safety(
        "  - {isolate: mains, proof: Try., notices: [scald]}\n  - clean: motor\n  - mark: motor\n  - restore: mains\n"
    ) == ['hazard-unannounced: Step 2, "clean motor", exposes hands to mains (electrical), and no notice has said so.']


def test_a_notice_that_is_read_in_some_cases_only_is_missing_in_the_others() -> None:
    assert safety(
        "  - {do: Read this., when: long, notices: [shock]}\n  - {isolate: mains, proof: Try.}\n  - clean: motor\n"
        "  - restore: mains\n",
        "options: {long: {ask: Long?}}\n",
    ) == [
        (
            'hazard-unannounced: Step 3, "clean motor", exposes hands to mains (electrical), and no notice has said '
            "so. It happens with long off."
        )
    ]


def test_a_notice_after_the_isolation_is_late() -> None:
    assert safety("  - {isolate: mains, proof: Try.}\n  - {clean: motor, notices: [shock]}\n  - restore: mains\n") == [
        'notice-late: The notice "Shock" stands at step 2, after step 1, "isolate mains", isolates the mains.'
    ]


def test_isolating_without_a_notice_anywhere_is_only_told_where_hands_go_near() -> None:
    assert safety("  - {isolate: mains, proof: Try.}\n  - restore: mains\n") == []


def test_what_is_isolated_without_proof_is_told_at_its_step_wherever_it_is_followed_from() -> None:
    found = lines(
        {
            **FILES,
            "safe.yaml": "procedure: make-safe\nmachine: m\nleaves: [mains isolated]\nsteps:\n  - isolate: mains\n",
            "p.yaml": "procedure: p\nmachine: m\nsteps:\n  - follow: make-safe\n  - restore: mains\n",
        },
        *SAFETY,
    )
    assert found == [
        (
            'safe.yaml:5:5 error isolation-unproven: Step 1, "isolate mains", does not say how one knows that '
            "mains is gone."
        )
    ]


def test_an_energy_of_which_a_beginner_has_declared_nothing_is_not_missed_a_notice_for() -> None:
    found = lines("procedure: p\nsteps:\n  - {isolate: battery, proof: Try.}\n  - restore: battery\n")
    assert found == []
