"""The page of a procedure: what someone at the bench reads."""

import pytest

from tests.manual.built import built
from tests.manual.reading import elements, texts, tree, words

LIBRARY = {
    "manual.yaml": """\
        manual: Club manual
        sign-off: [fitter, checker]
        """,
    "workshop.yaml": """\
        tools:
          wrench: {title: Torque wrench, range: 5–50 N·m}
          tray: {title: Tray}
        """,
    "parts.yaml": """\
        parts:
          gasket: {title: Gasket, number: G-1}
          cloths: {title: Cloths, kind: consumable, unit: pc}
          coolant: {title: Coolant, kind: consumable, unit: L}
        """,
    "notices.yaml": """\
        notices:
          scald:
            level: warning
            title: Hot coolant
            hazard: Coolant is hot.
            consequence: It scalds.
            avoid: Let it cool.
          swarf: {level: notice, title: Swarf, avoid: Keep swarf out.}
        """,
    "m40.yaml": """\
        machine: m40
        title: Small diesel
        variants: {cooling: [raw, keel]}
        components:
          cover: {title: Cover, held-by: [cover-bolts]}
          pump: {title: Pump, behind: [cover], held-by: [pump-bolts]}
          face: {title: Pump face, behind: [pump]}
        fasteners:
          cover-bolts: {title: Cover bolts, thread: M6, count: 2, head: hex, torque: 9 N·m}
          pump-bolts: {title: Pump bolts, thread: M8x1.25, count: 6, head: hex, threads: dry,
                       torque: [10 N·m, 22 N·m], pattern: {circle: 6}}
        fluids:
          coolant: {title: Engine coolant, capacity: 7.5 L, part: coolant}
        specs:
          play: {title: Shaft play, of: pump, limits: 0.1–0.3 mm}
        """,
    "renew-pump.yaml": """\
        procedure: renew-pump
        machine: m40
        title: Renew the pump
        revision: 3
        date: 2026-03-02
        summary: The pump sits behind the cover.
        options:
          flush: {ask: "Flush as well?", default: false}
        notices: [scald]
        steps:
          - drain: coolant
            do: Drain it into the tray.
            tools: [tray]
            notices: [scald]
            time: 15 min
          - open: pump
          - remove: pump
          - inspect: face
            do: Look at the face.
            accept: It is flat.
            reject:
              - clean: face
                do: Dress it with a stone.
                uses: {cloths: 2 pc}
          - fit: pump
            new: [gasket]
            why: A used gasket leaks.
          - tighten: pump-bolts
            tools: [wrench]
          - measure: play
            record: play
          - do: Flush the circuit.
            when: flush
            uses: {cloths: 3 pc}
            time: 30 min
          - do: Clean the strainer.
            when: cooling = raw
          - fill: coolant
          - close: pump
          - do: Look for leaks.
            sign: [fitter, checker]
        """,
}


@pytest.fixture(scope="module")
def site() -> dict[str, str]:
    return built(LIBRARY)


@pytest.fixture(scope="module")
def page(site: dict[str, str]) -> str:
    return site["procedure/renew-pump.html"]


def step_of(page: str, text: str) -> str:
    """The one innermost step that has that text."""
    found = [step for step in texts(page, "section", class_="step") if text in step]
    assert found, text
    return min(found, key=len)


def test_the_title_block_tells_machine_time_revision_and_date(page: str) -> None:
    (block,) = texts(page, "dl", class_="title-block")
    assert block.startswith("Machine Small diesel Working time 15 min Revision 3 Dated 2026-03-02 Fingerprint ")
    assert block.endswith("Signed by fitter and checker")


def test_a_torque_is_shown_in_both_units_stage_by_stage(page: str) -> None:
    (plate,) = (plate for plate in texts(page, "div", class_="torque-plate") if "Pump bolts" in plate)
    assert plate.startswith("Torque Pump bolts 10 N·m 7.4 lbf·ft then to 22 N·m 16 lbf·ft")
    assert "6 × M8 × 1.25" in plate
    assert "13 mm across flats" in plate
    assert "threads dry" in plate


def test_the_order_of_tightening_is_drawn_with_the_turn_of_each_bolt(page: str) -> None:
    (drawing,) = elements(page, "figure", class_="order")
    assert texts(drawing, "text") == ["1", "3", "5", "2", "4", "6"]
    (picture,) = elements(drawing, "svg")
    assert "Counted clockwise from the top: 1, 4, 2, 5, 3, 6." in picture.get("aria-label", "")


def test_what_is_opened_stands_under_a_fold_that_is_open(page: str) -> None:
    folds = list(elements(page, "details", class_="fold-open"))
    assert [words(next(elements(fold, "summary"))) for fold in folds] == ["Get at the pump step 2"]
    assert all(fold.get("open") is not None for fold in folds)


def test_hazards_stand_up_front_and_again_at_their_step_before_the_words(page: str) -> None:
    (front,) = texts(page, "div", class_="hazards")
    assert front == "WARNING Hot coolant Coolant is hot. It scalds. Let it cool."
    step = step_of(page, "Drain it into the tray.")
    assert step.index("Let it cool.") < step.index("Drain it into the tray.")


def test_injury_has_the_alert_symbol_and_a_notice_has_not() -> None:
    pages = built(LIBRARY)
    for notice, count in (("scald", 1), ("swarf", 0)):
        (panel,) = elements(pages[f"notice/{notice}.html"], "div", class_="notice")
        assert len(list(elements(panel, "svg", class_="alert"))) == count


def test_a_failed_inspection_has_its_branch_under_it(page: str) -> None:
    step = step_of(page, "Look at the face.")
    assert "Good if It is flat." in step
    assert "If it is not so 4.1 Clean Pump face Dress it with a stone." in step


def test_a_step_that_depends_on_a_choice_says_so_in_words_and_for_the_switch(page: str) -> None:
    (step,) = (s for s in elements(page, "section", class_="step") if "Flush the circuit." in words(s))
    assert "Only if flush: yes" in words(step)
    assert step.get("data-when") == "flush=true"
    (keel,) = (s for s in elements(page, "section", class_="step") if "strainer" in words(s))
    assert keel.get("data-when") == "cooling=raw"


def test_every_step_is_there_without_a_script(page: str) -> None:
    assert not [step for step in elements(page, "section", class_="step") if step.get("hidden") is not None]


def test_switches_ask_what_the_author_asks_and_offer_variants(page: str) -> None:
    assert texts(page, "legend") == ["Flush as well?", "Cooling"]
    assert [box.get("value") for box in elements(page, "input")] == ["true", "false", "", "raw", "keel"]
    assert [box.get("value") for box in elements(page, "input") if box.get("checked") is not None] == ["false", ""]


def test_amounts_of_a_consumable_are_added_up_and_what_fills_is_listed(page: str) -> None:
    rows = [words(row) for row in elements(page, "tr")]
    assert any(row.startswith("Cloths 5 pcs") for row in rows)
    assert any(row.startswith("Coolant 7.5 L (7.9 US qt)") for row in rows)


def test_an_amount_is_for_all_times_that_a_step_is_done_and_says_so() -> None:
    pages = built(
        {
            "parts.yaml": "parts: {oil: {kind: consumable, unit: mL}}",
            "oil.yaml": """\
                procedure: oil-the-rockers
                steps:
                  - {do: Oil one rocker., uses: {oil: 20 mL}, repeat: 4, for: each rocker}
                  - {do: Oil the shaft., uses: {oil: 10 mL}}
                """,
        }
    )
    for path in ("procedure/oil-the-rockers.html", "sheet/oil-the-rockers.html"):
        steps = [words(line) for line in elements(pages[path], "p", class_="with")]
        assert steps == ["Uses Oil 20 mL (0.68 US fl oz) in all", "Uses Oil 10 mL (0.34 US fl oz)"]
        assert any("30 mL (" in words(row) for row in elements(pages[path], "tr"))


def test_tools_tell_in_which_steps_they_are_needed(page: str) -> None:
    (row,) = (row for row in elements(page, "tr") if words(row).startswith("Torque wrench"))
    assert [link.get("href") for link in elements(row, "a")][1:] == ["#step-6"]


def test_a_reading_shows_its_limits_as_the_big_figure(page: str) -> None:
    step = step_of(page, "Shaft play")
    assert "Limits Shaft play 0.1–0.3 mm 0.004–0.012 in" in step


def test_a_signature_box_names_its_role(page: str) -> None:
    assert "Signed, fitter Signed, checker" in step_of(page, "Look for leaks.")


def test_the_sheet_carries_title_revision_and_fingerprint_on_every_page(page: str) -> None:
    root = tree(page)
    assert root.get("data-running") == "1-01  Renew the pump"
    assert (root.get("data-stamp") or "").startswith("Revision 3, fingerprint ")
    assert root.get("data-paper") == "A4"


def test_the_fingerprint_changes_with_the_content_and_with_nothing_else(page: str) -> None:
    def stamp(files: dict[str, str]) -> str:
        return tree(built(files)["procedure/renew-pump.html"]).get("data-stamp") or ""

    same = {**LIBRARY, "elsewhere/renew-pump.yaml": LIBRARY["renew-pump.yaml"]}
    del same["renew-pump.yaml"]
    assert stamp(same) == tree(page).get("data-stamp")
    text = LIBRARY["m40.yaml"].replace("22 N·m", "24 N·m")
    assert stamp({**LIBRARY, "m40.yaml": text}) != tree(page).get("data-stamp")


def test_every_item_tells_which_steps_touch_it(site: dict[str, str]) -> None:
    (used,) = texts(site["machine/m40/cover-bolts.html"], "dl", class_="used-by")[-1:]
    assert "Procedures 1-01 Renew the pump, steps 2, 12" in used


def test_a_fastener_shows_where_its_torque_sits_in_what_the_joint_bears(site: dict[str, str]) -> None:
    (band,) = elements(site["machine/m40/pump-bolts.html"], "svg", class_="torque-band")
    assert "hardly clamps" in band.get("aria-label", "")
    assert "22 N·m" in words(band)


def test_a_draft_says_so_on_every_page_and_counts_its_errors() -> None:
    faulty = {**LIBRARY, "renew-pump.yaml": LIBRARY["renew-pump.yaml"].replace("tools: [tray]", "tools: [no-such]")}
    for path, html in built(faulty, draft=True).items():
        if path.endswith(".html"):
            assert texts(html, "p", class_="draft-band") == ["Draft Errors were found. Not for use on a machine."], path
            assert tree(html).get("data-draft") == "DRAFT: Errors were found. Not for use on a machine."


def test_a_manual_that_may_be_used_has_no_draft_band(site: dict[str, str]) -> None:
    assert not any("draft-band" in html for html in site.values())


def test_the_safety_wording_and_what_the_house_adds_stand_at_the_foot_of_every_page() -> None:
    files = {**LIBRARY, "manual.yaml": LIBRARY["manual.yaml"] + "        safety: Local rules for fuel hold.\n"}
    for path, html in built(files).items():
        if path.endswith(".html"):
            (foot,) = texts(html, "footer")
            assert "The maker's current instructions, the law, and local rules and codes come first." in foot, path
            assert "Local rules for fuel hold." in foot, path


def test_metric_alone_shows_no_second_unit() -> None:
    files = {**LIBRARY, "manual.yaml": "manual: Club manual\nunits: {first: metric, second: none}\n"}
    assert "lbf" not in built(files)["procedure/renew-pump.html"]


def test_imperial_first_puts_pound_feet_first() -> None:
    files = {**LIBRARY, "manual.yaml": "manual: Club manual\nunits: {first: imperial, second: metric}\n"}
    (plate,) = (
        plate
        for plate in texts(built(files)["procedure/renew-pump.html"], "div", class_="torque-plate")
        if "Pump bolts" in plate
    )
    assert "then to 16 lbf·ft 22 N·m" in plate


def test_a_page_without_a_machine_has_pages_for_what_its_steps_imply() -> None:
    pages = built("procedure: grease-hinge\nsteps:\n  - remove: hinge-pin\n  - fit: hinge-pin\n")
    assert texts(pages["procedure/grease-hinge/hinge-pin.html"], "h1") == ["Hinge pin"]
    assert texts(pages["procedure/grease-hinge.html"], "h1") == ["Grease hinge"]
