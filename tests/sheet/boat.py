"""A small library with everything that a sheet can ask for, and a job on it."""

BOAT = {
    "manual.yaml": """\
        manual: Boat manual
        edition: 2026-1
        units: {first: metric, second: imperial}
        sign-off: [fitter, checker]
    """,
    "machine.yaml": """\
        machine: boat
        title: Small boat
        meter: hours
        variants: {drive: [shaft, sail]}
        energies:
          battery: {kind: electrical, isolated-by: The switch}
        components:
          cover: {held-by: [cover-nuts], vital: true, exposed-to: [battery]}
          belt: {behind: [cover], part: belt}
        fasteners:
          cover-nuts:
            {thread: M8, class: "8.8", count: 4, threads: dry, torque: 20 N·m, prevailing: add, head: nut}
        specs:
          play: {of: belt, limits: 5–7 mm}
        checks:
          turns: {title: Two turns by hand, of: [cover, belt], do: Turn it twice., sign: [fitter, checker]}
        rules:
          - never: run cover
            while: cover off
            because: Hands are near.
            level: danger
    """,
    "parts.yaml": """\
        parts:
          belt: {title: Belt, number: B-1, lead-time: 10 days}
          rag: {title: Rags, kind: consumable}
    """,
    "notices.yaml": """\
        notices:
          live:
            {level: warning, title: Live parts, hazard: The battery burns., consequence: Burns., avoid: Switch it off.,
             kinds: [electrical]}
    """,
    "renew.yaml": """\
        procedure: renew-belt
        machine: boat
        title: Renew the belt
        revision: 3
        options:
          oil: {ask: "Oil the bearing as well?", default: false}
        steps:
          - isolate: battery
            do: Turn the switch off.
            proof: The lamp is out.
            notices: [live]
          - loosen: cover-nuts
            do: Loosen the nuts.
            notices: [live]
          - remove: cover
            do: Lift the cover.
          - inspect: belt
            do: Look at the belt.
            accept: No crack.
            reject:
              - do: Show it to the checker.
                record: What was seen
          - remove: belt
            do: Slip it off.
          - do: Oil the bearing.
            when: oil
            uses: {rag: 1}
          - do: Clean the groove of the wheel.
            when: drive = shaft
          - fit: belt
            do: Lay the belt on.
            new: [belt]
            repeat: 2
            for: each wheel
          - id: measure
            measure: play
            do: Press the belt with a thumb.
            out-of-limits:
              - adjust: belt
                do: Move the wheel.
                go-back-to: measure
          - fit: cover
            do: Set the cover on.
          - tighten: cover-nuts
            do: Tighten the nuts.
          - check: turns
          - restore: battery
            do: Turn the switch on.
    """,
    "fleet/one.yaml": """\
        # The first boat
        logbook: one
        machine: boat
        name: Boat One
        serial: B-001
        variants: {drive: shaft}
        entries:
          - on: 2020-05-01   # by hand
            hours: 100
            did: renew-belt
    """,
    "jobs/belt.yaml": """\
        job: belt-of-one
        logbook: one
        title: Belt of boat one
        do: renew-belt
        on-hand: []
    """,
}

WITHOUT_A_WAY_OUT = {
    **BOAT,
    "renew.yaml": BOAT["renew.yaml"].replace(
        """\
            out-of-limits:
              - adjust: belt
                do: Move the wheel.
                go-back-to: measure
""",
        "",
    ),
}
"""The same, and nobody says what to do where the belt's play is out of its limits."""

WITHOUT_LIMITS = {
    **WITHOUT_A_WAY_OUT,
    "machine.yaml": BOAT["machine.yaml"].replace("limits: 5–7 mm", "unit: mm"),
}
"""The same, and its play has no limits, but a unit in which it is read."""
