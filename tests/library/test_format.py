"""The schemas are good JSON Schema, describe every key, and accept what the format promises."""

import copy
from collections.abc import Iterator, Mapping
from textwrap import dedent
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from procgen.library.catalogue import Level, SourceKind
from procgen.library.files import read_file
from procgen.library.items import Head, Threads
from procgen.library.origin import Kind
from procgen.library.schema import KIND_OF_KEY, parts, refusals, schema_files, wanted
from procgen.library.state import STORED, SUPPLIED, Verb
from procgen.library.yaml_reading import read_tree
from procgen.library.yaml_tree import Map

REGISTRY: Registry[Any] = Registry().with_resources(
    [(name, DRAFT202012.create_resource(schema)) for name, schema in schema_files().items()]
)


def pointers(schema: object, path: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every property of a schema with the JSON pointer to it."""
    if isinstance(schema, dict):
        for key, value in schema.items():
            below = f"{path}/{key}"
            if key == "properties" and "const" not in str(value):
                for name, inner in value.items():
                    yield f"{below}/{name}", inner
            yield from pointers(value, below)
    elif isinstance(schema, list):
        for index, value in enumerate(schema):
            yield from pointers(value, f"{path}/{index}")


PROPERTIES = [(name, pointer) for name, schema in schema_files().items() for pointer, _ in pointers(schema)]


def keyword(file: str, schema: Mapping[str, Any], name: str) -> Any:
    """A keyword of a schema, or of what it refers to."""
    while name not in schema and "$ref" in schema:
        other, _, pointer = schema["$ref"].partition("#")
        file, schema = other or file, schema_files()[other or file]
        for key in pointer.split("/")[1:]:
            schema = schema[key]
    return schema.get(name)


def at(file: str, pointer: str) -> Mapping[str, Any]:
    schema: Any = schema_files()[file]
    for key in pointer.split("/")[1:]:
        schema = schema[int(key)] if isinstance(schema, list) else schema[key]
    return dict(schema)


@pytest.mark.parametrize("name", schema_files())
def test_every_schema_is_valid_json_schema_2020_12(name: str) -> None:
    Draft202012Validator.check_schema(schema_files()[name])


def test_there_is_a_schema_for_every_kind_of_file() -> None:
    assert {f"{key}.schema.json" for key in KIND_OF_KEY} < schema_files().keys()


def test_every_key_of_the_format_has_a_description_and_an_example() -> None:
    assert len(PROPERTIES) > 250
    bare = [
        f"{file}#{pointer}: no {what}"
        for file, pointer in PROPERTIES
        for what in ("description", "examples")
        if not keyword(file, at(file, pointer), what)
    ]
    assert bare == []


@pytest.mark.parametrize("name", schema_files())
def test_every_example_is_accepted(name: str) -> None:
    refused = [
        f"{name}#{pointer}: {example}: {error.message}"
        for pointer, schema in [*pointers(schema_files()[name]), *definitions(name)]
        for example in schema.get("examples", ())
        for error in Draft202012Validator({"$ref": f"{name}#{pointer}"}, registry=REGISTRY).iter_errors(example)
    ]
    assert refused == []


def definitions(name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for key, schema in schema_files()[name].get("$defs", {}).items():
        yield f"/$defs/{key}", schema


def test_only_keys_that_are_described_are_allowed() -> None:
    loose = [
        part
        for schema in schema_files().values()
        for part in parts(schema)
        if isinstance(part.get("properties"), dict)
        and part.get("type") is not None
        and part.get("additionalProperties", part.get("unevaluatedProperties")) is not False
    ]
    assert loose == []


def test_the_schemas_and_the_records_know_the_same_words() -> None:
    step = at("steps.schema.json", "/$defs/step")["properties"]
    assert {verb.value for verb in Verb} <= step.keys()
    assert set(at("common.schema.json", "/$defs/level")["enum"]) == set(Level)
    assert set(at("common.schema.json", "/$defs/energy-kind")["enum"]) == SUPPLIED | STORED
    assert set(at("items.schema.json", "/$defs/fastener/properties/head")["enum"]) == set(Head)
    assert set(at("items.schema.json", "/$defs/fastener/properties/threads")["enum"]) == set(Threads)
    assert set(wanted(Kind.SOURCE, ("sources", "x", "kind")).first("enum")) == set(SourceKind)


SAMPLES = {
    "manual": """
        manual: Pellow Sound workshop manual
        publisher: Pellow Sound Rescue Boat Club
        edition: 2026-1
        language: en
        units: {first: metric, second: imperial}
        paper: A4
        sign-off: [fitter, checker]
        caution: Read the whole procedure before work begins.
        """,
    "sources": """
        sources:
          maker-3:   {title: Third edition, kind: maker, date: 2009-05, replaces: maker-2}
          bulletin-7: {title: Bulletin 7, kind: bulletin, date: 2014}
          club:      {title: The club's own notes, kind: club}
          practice:  {title: Common practice, kind: common-practice}
        """,
    "tools": """
        tools:
          torque-wrench-60: {title: Torque wrench, range: 10–60 N·m, drive: 3/8 in, accuracy: 4 %}
          crowfoot-17:      {title: Crowfoot 17 mm, kind: crowfoot, hex: 17 mm, offset: 40 mm}
          feeler-gauge:     {title: Feeler gauges, resolution: 0.05 mm}
        """,
    "parts": """
        parts:
          pump-gasket: {title: Coolant pump gasket, number: PS-4411, single-use: true, lead-time: 10 days}
          coolant:     {title: "Coolant, ready mixed", kind: consumable, unit: L}
        """,
    "notices": """
        notices:
          belt-off:
            level: danger
            hazard: The valves meet the pistons if the crankshaft is turned.
            consequence: The engine is destroyed, and parts fly.
            avoid: Slacken the rockers first.
            kinds: [motion]
          paint: {level: notice, avoid: Keep brake fluid off the paint.}
        """,
    "terms": """
        terms:
          tdc: "Top dead centre: the highest point of a piston's stroke."
          interference: {title: Interference engine, meaning: Valves and pistons share room., see: tdc}
        """,
    "machine": """
        machine: m40
        title: Orrdal M40 inboard diesel
        meter: hours
        variants: {cooling: [heat-exchanger, keel-cooler]}
        energies:
          battery:     {kind: electrical, title: Starter battery}
          hot-coolant: {kind: heat, title: "Hot, pressurised coolant", back-by: run engine}
        fluids:
          coolant: {title: Engine coolant, capacity: 7.5 L, part: coolant}
        aids:
          cam-pin: {title: Camshaft locking pin, tool: cam-pin}
          sling:   {title: Engine sling, tool: sling, supports: [engine]}
        conditions:
          at-tdc:     {title: "No. 1 at top dead centre, marks aligned", lost-by: turn crankshaft}
          belt-marks: {title: Belt and pulleys match-marked}
        rules:
          - never: turn crankshaft
            while: timing-belt off
            unless: rockers-slack
            because: An open valve meets a rising piston.
            level: danger
          - before: remove timing-belt
            need: [at-tdc, belt-marks]
            because: The marks are the only witness.
          - after: fit timing-belt
            must: check two-turns
            before: fit lower-cover
            because: One tooth out shows only when it is turned.
        schedule:
          timing-belt: {every: [1500 h, 5 years], do: renew-timing-belt, source: maker-3 p. 1-7}
          coolant-pump: {every: [1500 h, 5 years], do: inspect-coolant-pump}
        """,
    "assembly": """
        assembly: timing
        machine: m40
        components:
          coolant-pump:
            title: Coolant pump
            part: pump
            behind: [timing-belt]
            held-by: [pump-bolts]
            lines: [bypass-hose]
            wet-with: [coolant]
            exposed-to: [hot-coolant]
            renew: [pump-gasket]
            mass: 4 kg
            vital: true
            remove: {needs: [at-tdc], time: 20 min, steps: [{do: Ease it off its dowels.}]}
            fit:    {steps: [{do: Press it home by hand.}]}
        fasteners:
          pump-bolts:
            thread: M8x1.25
            class: "8.8"
            count: 6
            head: hex
            torque: [10 N·m, 22 N·m]
            threads: dry
            into: aluminium
            pattern: {circle: 6}
            reusable: true
            source: maker-3 p. 6-14
            other-values:
              - {torque: 22 lbf·ft, source: write-up, why-not: "Wrong unit: 22 N·m was meant."}
          hub-nut:
            torque:
              - {to: 68 N·m, while: turning the hub}
              - {back-off: 90°}
              - {align: split pin, by: tightening}
          head-bolts:
            torque:
              - 29 N·m
              - 69 N·m
              - {back-off: 180°, order: reverse}
              - {slacken: fully, order: reverse}
              - 42 N·m
              - + 80–90°
              - {turn: 40–45°, only: [1, 4]}
              - {expect: ">= 122 N·m"}
            pattern: {grid: 2x5}
          drain-plug: {torque: {by-hand: "Finger tight, then a quarter turn"}}
          angled: {torque: "30 N·m + 90°", pattern: {points: [[0, 0], [40, 0], [20, 30]], order: [1, 3, 2]}}
        lines:
          bypass-hose: {kind: hose, carries: coolant}
        specs:
          belt-deflection: {of: timing-belt, limits: 5–7 mm, with: rule, source: maker-3 p. 6-20}
        checks:
          two-turns: {title: Two full turns by hand, of: [timing-belt], sign: [fitter, checker]}
        figures:
          pump: {file: figures/pump.svg, alt: "The pump seen from ahead of the engine",
                 callouts: [{at: [30, 42], item: bypass-hose}]}
        """,
    "procedure": """
        procedure: renew-coolant-pump
        machine: m40
        title: Renew the coolant pump
        revision: 2
        date: 2026-03-02
        summary: Two hours' work with the belt already off.
        once-per-job: false
        options:
          flush: {ask: "Flush the circuit as well?", default: false}
        notices: [scald]
        steps:
          - open: coolant-pump
          - drain: coolant
            do: Open the drain tap and catch the coolant.
            tools: [drain-tray]
            notices: [scald]
          - remove: coolant-pump
          - inspect: pump-face
            do: Draw a straightedge across the face on the block.
            accept: No light under the straightedge, no pit across the seal line.
            reject:
              - clean: pump-face
                do: Dress the face flat with a fine stone.
          - fit: coolant-pump
            new: [pump]
          - tighten: pump-bolts
          - do: Flush the circuit with clean water until it runs clear.
            when: flush
          - fill: coolant
          - close: coolant-pump
          - check: leaks
            do: Run it warm and look.
            sign: [fitter]
            accepting: {torque-missing: Plastic clip; no figure is published}
          - turn: crankshaft
            repeat: 4
            for: each cylinder
        """,
    "logbook": """
        logbook: launch-two
        machine: m40
        name: Launch Two
        serial: M40-01877
        variants: {cooling: heat-exchanger}
        meter: [{on: 2026-04-01, hours: 1312}]
        entries:
          - {on: 2021-05-09, hours: 640, did: renew-timing-belt, by: A. Fitter, parts: [timing-belt],
             readings: {belt-deflection: 6 mm}, note: Marks proved redundant.}
        """,
    "job": """
        job: launch-two-belt
        logbook: launch-two
        date: 2026-12-12
        do:
          - renew-timing-belt
          - {procedure: renew-coolant-pump, options: {flush: true}}
        on-hand: [timing-belt, pump-gasket]
        """,
    "a beginner's procedure": """
        procedure: grease-hinge
        fasteners:
          cover-screws: {thread: M6, torque: 9 N·m}
        steps:
          - do: Take the cover off.
          - tighten: cover-screws
        """,
}
"""The worked examples of the format's description, with its dots filled in."""


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_worked_examples_are_accepted(sample: str) -> None:
    assert read_file(dedent(SAMPLES[sample]), "sample.yaml").findings == ()


def tree(sample: str) -> Map:
    read, _ = read_tree(dedent(SAMPLES[sample]), "sample.yaml")
    assert isinstance(read, Map)
    return read


@pytest.mark.parametrize("sample", SAMPLES)
def test_an_editor_that_takes_one_schema_for_all_files_accepts_them_too(sample: str) -> None:
    assert (
        list(Draft202012Validator({"$ref": "library.schema.json"}, registry=REGISTRY).iter_errors(tree(sample))) == []
    )


def paths(value: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if path:
        yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from paths(inner, (*path, index))


odd_values: st.SearchStrategy[Any] = st.sampled_from(
    [
        None,
        True,
        0,
        -1,
        7,
        2.5,
        "",
        " ",
        "x",
        "Two Words",
        "2026-13-01",
        [],
        ["x"],
        [3],
        [{}],
        {},
        {"do": "x"},
        {"x": 1},
        [[1, 2]],
    ]
)


@settings(deadline=None, max_examples=400)
@given(st.data())
def test_a_second_validator_accepts_and_refuses_the_same(data: st.DataObject) -> None:
    sample = data.draw(st.sampled_from(list(SAMPLES)))
    value: Any = copy.deepcopy(plain(tree(sample)))
    path = data.draw(st.sampled_from(list(paths(value))))
    kind = KIND_OF_KEY[next(iter(value))]
    inside = value
    for part in path[:-1]:
        inside = inside[part]
    if data.draw(st.booleans()):
        inside[path[-1]] = data.draw(odd_values)
    elif isinstance(inside, dict):
        inside[data.draw(st.sampled_from(["do", "drain", "title", "Odd Key", "x", "order", "by-hand"]))] = data.draw(
            odd_values
        )
    schema = schema_files()[f"{sample if sample in KIND_OF_KEY else 'procedure'}.schema.json"]
    second_opinion = Draft202012Validator(schema, registry=REGISTRY).is_valid(value)
    assert (not refusals(value, kind)) == second_opinion


def plain(value: object) -> object:
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    return [plain(inner) for inner in value] if isinstance(value, list) else value
