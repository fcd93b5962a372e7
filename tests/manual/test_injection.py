"""Whatever stands in a field of a library, the manual shows it as text and nothing runs."""

import json

import pytest

from tests.manual.built import built
from tests.manual.reading import elements, tree, words

NASTY = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</title><script>alert(1)</script>",
    "<!-- & --> &amp; &lt;b&gt;",
    "{{ 7 * 7 }} {% for x in y %} {# no #}",
    "</svg></style><style>*{display:none}</style>",
    "[click](javascript:alert(1)) <javascript:alert(1)>",
    "]]></script><script>",
    "\u202egnp.exe \u2028 \u2029",
]


def library(nasty: str) -> dict[str, str]:
    """A library with the text in every field that takes text."""
    q = json.dumps(nasty)
    return {
        "manual.yaml": f"""\
            manual: {q}
            publisher: {q}
            edition: {q}
            caution: {q}
            safety: {q}
            note: {q}
            sign-off: [{q}]
            currency: {q}
            """,
        "tools.yaml": f"tools:\n  hammer: {{title: {q}, where: {q}, number: {q}, note: {q}}}\n",
        "parts.yaml": f"parts:\n  seal: {{title: {q}, number: {q}, where: {q}, unit: {q}, note: {q}}}\n",
        "sources.yaml": f"sources:\n  book: {{title: {q}, kind: maker, note: {q}}}\n",
        "terms.yaml": f"terms:\n  word: {{title: {q}, meaning: {q}}}\n",
        "notices.yaml": f"""\
            notices:
              fire: {{level: danger, title: {q}, hazard: {q}, consequence: {q}, avoid: {q}, note: {q}}}
            """,
        "machine.yaml": f"""\
            machine: engine
            title: {q}
            summary: {q}
            meter: hours
            components:
              lid: {{title: {q}, where: {q}, note: {q}, held-by: [bolts], renew: [seal]}}
              pump: {{title: {q}, behind: [lid]}}
            fasteners:
              bolts: {{title: {q}, into: {q}, torque: {{by-hand: {q}}}, source: book p. 1, note: {q},
                       other-values: [{{torque: 9 N·m, source: book, why-not: {q}}}]}}
            energies:
              battery: {{kind: electrical, title: {q}, isolated-by: {q}}}
            conditions:
              at-rest: {{title: {q}, meaning: {q}}}
            specs:
              play: {{title: {q}, of: pump, limits: 1–2 mm}}
            checks:
              seated: {{title: {q}, of: [pump], do: {q}}}
            rules:
              - {{never: remove pump, while: lid on, because: {q}}}
            schedule:
              yearly: {{title: {q}, every: 1 year, do: service, note: {q}}}
            """,
        "assembly.yaml": f"assembly: side\nmachine: engine\ntitle: {q}\nsummary: {q}\nnote: {q}\n",
        "service.yaml": f"""\
            procedure: service
            machine: engine
            title: {q}
            revision: {q}
            summary: {q}
            note: {q}
            options:
              deep: {{ask: {q}, default: true}}
            notices: [fire]
            steps:
              - open: pump
              - inspect: pump
                do: {q}
                why: {q}
                note: {q}
                accept: {q}
                notices: [fire]
                tools: [hammer]
                uses: [seal]
                record: {q}
                repeat: 2
                for: {q}
                when: deep
                accepting: {{vague-word: {q}}}
                reject:
                  - do: See {{lid}} and {{bolts.torque}}. {nasty.replace(chr(10), " ") if ": " not in nasty else ""}
              - isolate: battery
                proof: {q}
              - close: pump
            """.replace("                  - do: See", "                  - do: >-\n                      See"),
        "log.yaml": f"""\
            logbook: one
            machine: engine
            name: {q}
            serial: {q}
            where: {q}
            entries:
              - {{on: 2026-01-01, did: service, by: {q}, checked-by: {q}, note: {q}, readings: {{play: 3 mm}}}}
            """,
        "job.yaml": f"job: next\nlogbook: one\ntitle: {q}\ndo: [service]\n",
    }


@pytest.mark.parametrize("nasty", NASTY, ids=range(len(NASTY)))
def test_text_in_any_field_stays_text_on_every_page(nasty: str) -> None:
    pages = built(library(nasty), draft=True)
    assert "procedure/service.html" in pages
    for path, html in pages.items():
        if not path.endswith(".html"):
            continue
        root = tree(html)
        for script in elements(root, "script"):
            if script.get("type") in ("application/json", "application/ld+json"):
                continue  # data, which no browser runs
            assert not words(script), path
            assert (script.get("src") or "").endswith(".js"), path
        assert not list(elements(root, "style")), path
        for element in elements(root):
            assert element.get("style") is None, path
            assert not [key for key in element.attrib if str(key).lower().startswith("on")], path
            for key in ("href", "src"):
                target = (element.get(key) or "").strip().lower()
                assert not target.startswith(("javascript:", "data:", "//", "file:")), path
        for picture in elements(root, "img"):
            assert (picture.get("src") or "").startswith("../figures/"), path


def test_the_nasty_title_is_shown_as_it_is_written() -> None:
    pages = built(library('<b>Bold & "quoted"</b> {{ 7 * 7 }}'), draft=True)
    (heading,) = elements(pages["machine/engine.html"], "h1")
    assert words(heading) == '<b>Bold & "quoted"</b> {{ 7 * 7 }}'


def test_the_index_script_is_plain_data() -> None:
    script = built(library("</script><script>alert(1)</script> \u2028"), draft=True)["find-index.js"]
    assert "<" not in script
    assert "\u2028" not in script
    body = script.removeprefix("globalThis.manualIndex = ").removesuffix(";\n")
    rows = json.loads(body)
    assert rows[0][:4] == ["</script><script>alert(1)</script> \u2028", "1", "machine", "machine/engine.html"]
