"""A small library with one of everything, whose files are edited and built again and again."""

from textwrap import dedent

Library = dict[str, bytes]
"""Content by path."""

_PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1h7v7z"/></svg>\n'
_RECORD = """\
{"record": "7KQ3-9FWM", "job": "spring", "logbook": "winch-one", "fingerprint": "DX4W-22QD", "state": "paused",
 "saved": "2026-11-01T10:00:00Z", "choices": {"grade": "thin"}, "steps": {}}
"""

_TEXTS = {
    "manual.yaml": """\
        manual: Slipway manual
        publisher: Slipway Club
        edition: "1"
        language: en
        units: {first: metric, second: imperial}
        sign-off: [fitter, checker]
        labour-rate: 30
        currency: GBP
        caution: Read everything before you pick up a {spanner}.
        """,
    "shop/tools.yaml": """\
        tools:
          spanner: {title: Spanner set, kind: spanner}
          wrench: {title: Torque wrench, range: 5–60 N·m, accuracy: 4 %, where: Cabinet}
          prop: {title: Drum prop, kind: support}
          gauge: {title: Feeler gauge, kind: gauge, resolution: 0.01 mm}
        """,
    "shop/parts.yaml": """\
        parts:
          gasket: {title: Gasket, number: W-1, single-use: true, lead-time: 5 days, price: 7}
          gear-oil: {title: Gear oil, kind: consumable, unit: L, price: 9}
          old-oil: {title: Mineral oil, kind: consumable, unit: L, replaced-by: gear-oil}
        """,
    "shop/sources.yaml": """\
        sources:
          handbook: {title: Winch handbook, kind: maker, date: 2011-06}
          club: {title: Club practice, kind: club}
        """,
    "shop/notices.yaml": """\
        notices:
          crush:
            title: Drum can turn
            level: danger
            hazard: The drum turns when the pawl is lifted.
            consequence: Fingers are crushed.
            avoid: Set the {prop} first.
            kinds: [raised-load]
          oil-skin: {title: Oil on the skin, level: notice, avoid: Wear gloves.}
        """,
    "shop/terms.yaml": """\
        terms:
          pawl: A finger that lets the drum turn one way only.
          lay: {title: lay of the rope, meaning: How its turns lie beside each other., see: [pawl]}
        """,
    "winch/machine.yaml": """\
        machine: winch
        title: Slipway winch
        meter: hours
        summary: Hauls boats. It has a {pawl}.
        variants: {drive: [hand, motor]}
        energies:
          load: {kind: raised-load, title: Boat on the rope, back-by: withdraw drum-prop}
        aids:
          drum-prop: {title: Prop at the drum, tool: prop, supports: [drum]}
        conditions:
          at-rest: {title: Drum at rest, lost-by: turn drum, meaning: Nothing pulls.}
        rules:
          - {id: propped, before: open cover, need: [drum-prop in], because: The drum may turn., level: danger}
          - {id: no-turn, never: turn drum, while: cover off, because: The gear throws oil., level: warning}
          - {after: tighten cover-bolts, must: check seated, before: the end, because: It leaks otherwise.}
        schedule:
          oil:
            {title: Gear oil, of: gear-fluid, every: [100 hours, 1 year], do: change-oil, kind: renew, source: handbook}
          rope: {title: Rope, of: drum, every: 6 months, do: look-at-rope, kind: inspect, source: club}
        figures:
          whole:
            file: pictures/winch.svg
            title: The winch
            alt: A winch from the left
            callouts: [{at: [10, 20], item: cover}, {at: [50, 50], text: Ratchet}]
        """,
    "winch/gear.yaml": """\
        assembly: gear
        machine: winch
        title: Gear
        components:
          cover:
            title: Gear cover
            held-by: [cover-bolts]
            behind: guard
            renew: [gasket]
            exposed-to: [load]
            mass: 9 kg
            vital: true
            remove: {time: 10 min}
            fit: {time: 15 min, notices: [oil-skin]}
            source: handbook p. 2
          guard: {title: Belt guard, held-by: [guard-screws], mass: 2 kg, fit: {tools: [wrench]}}
          drum: {title: Drum, wet-with: [gear-fluid]}
        fasteners:
          cover-bolts:
            title: Cover bolts
            thread: M8x1.25
            class: "8.8"
            count: 4
            across-flats: 13 mm
            torque: 22 N·m
            threads: dry
            into: cast iron
            pattern: {circle: 4}
            source: handbook p. 2
            other-values: [{torque: 18 N·m, source: club, why-not: An old figure.}]
          guard-screws: {title: Guard screws, thread: M6x1, class: "8.8", count: 2, torque: 9 N·m, source: handbook}
        fluids:
          gear-fluid: {title: Gear oil, capacity: 1.2 L, part: gear-oil, source: handbook p. 4}
        specs:
          backlash: {title: Backlash, limits: 0.10–0.25 mm, with: gauge, of: drum, source: handbook p. 5}
        checks:
          seated:
            title: Cover seated
            of: [cover]
            needs: [cover on]
            do: Look all round.
            sign: [fitter, checker]
            source: club
        """,
    "winch/change-oil.yaml": """\
        procedure: change-oil
        machine: winch
        title: Change the gear oil
        revision: 2
        summary: Every spring, by one who knows the {crush}.
        notices: [crush]
        options:
          flush: {ask: Flush as well?, default: false}
          grade: {ask: Which oil?, choices: [thin, thick], default: thin}
        source: handbook p. 4
        steps:
          - follow: make-safe
          - open: cover
          - drain: gear-fluid
            do: Let it run into a tray. {gear-fluid.capacity} come out.
            time: 10 min
          - clean: drum
            when: flush
            do: Flush with a cup of {gear-oil}.
            uses: {gear-oil: 0.2 L}
            figure: whole
          - remove: cover
            do: Lift it off.
            tools: [spanner]
          - measure: backlash
            do: Measure with the {gauge}. It is {backlash.limits}.
            record: backlash
            time: 5 min
            out-of-limits:
              - do: Stop, and see {look-at-rope}.
                note: See the {lay}.
          - fit: cover
            new: [gasket]
            tools: [wrench]
          - fill: gear-fluid
            uses: {gear-oil: 1.2 L}
            do: Fill to the mark.
          - check: seated
          - close: cover
            notices: [oil-skin]
          - follow: make-ready
        """,
    "winch/look-at-rope.yaml": """\
        procedure: look-at-rope
        machine: winch
        title: Look at the rope
        only-for: drive = motor
        figures:
          turns: {file: pictures/rope.svg, alt: Two turns of rope on a drum, title: Turns}
        steps:
          - follow: make-safe
          - inspect: drum
            do: Look at the rope, turn by turn, for the {lay}.
            accept: No broken wire.
            figure: turns
            reject:
              - do: Do not use the winch.
                sign: [checker]
          - turn: drum
            do: Turn the drum once. The bolts have {cover-bolts.torque}.
            time: 3 min
          - follow: make-ready
        """,
    "winch/make-ready.yaml": """\
        procedure: make-ready
        machine: winch
        starts-with: [drum-prop in]
        steps:
          - withdraw: drum-prop
            do: Take the prop away.
        """,
    "winch/make-safe.yaml": """\
        procedure: make-safe
        machine: winch
        once-per-job: true
        leaves: [drum-prop in, load released]
        steps:
          - place: drum-prop
            do: Set the prop.
            notices: [crush]
            tools: [prop]
            time: 2 min
          - release: load
            do: Slacken the rope.
            proof: The rope hangs loose.
            time: 1 min
        """,
    "bench/bend-hook.yaml": """\
        procedure: bend-hook
        title: Renew the hook
        fasteners:
          hook-bolt:
            title: Hook bolt
            thread: M10x1.5
            class: "8.8"
            torque: 45 N·m
            accepting: {torque-unsourced: Tried for years.}
        steps:
          - loosen: hook-bolt
            do: Slacken the bolt.
            tools: [spanner]
          - remove: hook
            do: Take it off.
          - fit: hook
            do: Put the new one on.
          - tighten: hook-bolt
            tools: [wrench]
            do: Tighten to {hook-bolt.torque}.
        """,
    "bench/splice.yaml": """\
        procedure: splice
        steps:
          - open: clamp
            do: Open the clamp.
          - measure: eye
            do: Measure the eye. See {bend-hook}.
        """,
    "fleet/winch-one.yaml": """\
        logbook: winch-one
        machine: winch
        name: Winch One
        serial: W-0001
        in-service: 2020-04-01
        variants: {drive: motor}
        meter:
          - {on: 2024-05-01, hours: 100}
          - {on: 2026-09-01, hours: 350}
        entries:
          - on: 2025-04-10
            hours: 180
            did: [change-oil]
            by: J.A.
            checked-by: T.R.
            parts: [gear-oil, gasket]
            readings: {backlash: 0.21 mm}
            note: A little {lay}.
          - on: 2026-04-10
            hours: 300
            did: change-oil
            by: J.A.
            readings: {backlash: 0.23 mm}
        """,
    "jobs/spring.yaml": """\
        job: spring
        logbook: winch-one
        title: Spring service
        date: 2027-03-20
        do:
          - {procedure: change-oil, options: {flush: true}}
          - look-at-rope
        on-hand: [gear-oil]
        note: Order the {gasket}.
        """,
    "theme/styles/own.css": ".own { color: teal }\n",
    "winch/pictures/winch.svg": _PICTURE,
    "winch/pictures/rope.svg": _PICTURE.replace("9 9", "8 8"),
}

RECORD_FILE = "jobs/spring.progress.json"
RECORD = _RECORD.encode()


def shop() -> Library:
    """The library as every sequence of edits finds it."""
    return {path: dedent(text).encode() for path, text in _TEXTS.items()}
