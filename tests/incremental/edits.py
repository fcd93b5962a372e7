"""What people do to a library between two builds: each edit gives the folder as it is afterwards.

Every edit can be done in every state, so that a sequence of them can be cut short anywhere. Done twice, most lead back,
and what was known before is met again.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random
from textwrap import dedent

from tests.incremental.shop import RECORD, RECORD_FILE, Library, shop

FIRST_DAY = date(2026, 11, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A library, and how it is to be built."""

    files: Library
    on: date = FIRST_DAY
    draft: bool = True


TURNS: tuple[tuple[str, str, str], ...] = (
    ("manual.yaml", "first: metric, second: imperial", "first: imperial, second: none"),
    ("manual.yaml", "second: imperial", "second: none"),
    ("manual.yaml", "language: en", "language: de"),
    ("manual.yaml", 'edition: "1"', 'edition: "2"'),
    ("manual.yaml", "manual: Slipway manual", "manual: Manual of the slipway"),
    ("manual.yaml", "labour-rate: 30", "labour-rate: 45"),
    ("manual.yaml", "sign-off: [fitter, checker]", "sign-off: [fitter]"),
    ("manual.yaml", "currency: GBP", "paper: Letter"),
    ("shop/tools.yaml", "title: Spanner set", "title: All spanners"),
    ("shop/tools.yaml", "range: 5–60 N·m", "range: 1–25 N·m"),
    ("shop/tools.yaml", "where: Cabinet", "where: Drawer"),
    ("shop/tools.yaml", "resolution: 0.01 mm", "resolution: 0.5 mm"),
    ("shop/tools.yaml", "  prop: {title: Drum prop, kind: support}\n", ""),
    ("shop/parts.yaml", "title: Gasket", "title: Cover gasket"),
    ("shop/parts.yaml", "lead-time: 5 days", "lead-time: 90 days"),
    ("shop/parts.yaml", "price: 7", "price: 70"),
    ("shop/parts.yaml", "single-use: true, ", ""),
    ("shop/parts.yaml", ", replaced-by: gear-oil", ""),
    ("shop/sources.yaml", "title: Winch handbook", "title: Handbook of the winch"),
    ("shop/sources.yaml", "kind: club}", "kind: club, replaces: handbook}"),
    ("shop/notices.yaml", "title: Drum can turn", "title: The drum turns"),
    ("shop/notices.yaml", "level: danger", "level: warning"),
    ("shop/notices.yaml", "kinds: [raised-load]", "kinds: [heat]"),
    ("shop/terms.yaml", "A finger that", "A tooth that"),
    ("shop/terms.yaml", "title: lay of the rope", "title: rope lay"),
    ("winch/machine.yaml", "title: Slipway winch", "title: Winch on the slip"),
    ("winch/machine.yaml", "meter: hours", "meter: none"),
    ("winch/machine.yaml", "drive: [hand, motor]", "drive: [hand, motor, water]"),
    ("winch/machine.yaml", "title: Boat on the rope", "title: Pull of the boat"),
    ("winch/machine.yaml", "need: [drum-prop in]", "need: [load released]"),
    ("winch/machine.yaml", "never: turn drum, while: cover off", "never: turn drum, while: drum-prop in"),
    ("winch/machine.yaml", "before: the end", "before: close cover"),
    ("winch/machine.yaml", "every: [100 hours, 1 year]", "every: 50 hours"),
    ("winch/machine.yaml", "do: look-at-rope", "do: change-oil"),
    ("winch/machine.yaml", "alt: A winch from the left", "alt: A winch from the right"),
    ("winch/machine.yaml", "item: cover", "item: drum"),
    ("winch/gear.yaml", "title: Gear\n", "title: Gearing\n"),
    ("winch/gear.yaml", "title: Gear cover", "title: Cover of the gear"),
    ("winch/gear.yaml", "torque: 22 N·m", "torque: 25 N·m"),
    ("winch/gear.yaml", "torque: 22 N·m", "torque: 222 N·m"),
    ("winch/gear.yaml", "thread: M8x1.25", "thread: M8x1"),
    ("winch/gear.yaml", "count: 4", "count: 5"),
    ("winch/gear.yaml", "    behind: guard\n", ""),
    ("winch/gear.yaml", "    renew: [gasket]\n", ""),
    ("winch/gear.yaml", "vital: true", "vital: false"),
    ("winch/gear.yaml", "source: handbook p. 4", "source: club"),
    ("winch/gear.yaml", "capacity: 1.2 L", "capacity: 1.4 L"),
    ("winch/gear.yaml", "0.10–0.25 mm", "0.10–0.22 mm"),
    ("winch/gear.yaml", "wet-with: [gear-fluid]", "behind: cover"),
    ("winch/gear.yaml", "    needs: [cover on]\n", ""),
    ("winch/gear.yaml", "mass: 9 kg", "mass: 90 kg"),
    ("winch/gear.yaml", "remove: {time: 10 min}", "remove: {time: 20 min}"),
    ("winch/gear.yaml", "torque: 9 N·m, source: handbook}", "torque: 9 N·m, accepting: {torque-unsourced: Known.}}"),
    ("winch/machine.yaml", ", source: club}", ", accepting: {unsourced: Nobody knows.}}"),
    ("winch/change-oil.yaml", "title: Change the gear oil", "title: Renew the gear oil"),
    ("winch/change-oil.yaml", "revision: 2", "revision: 3"),
    ("winch/change-oil.yaml", "default: false", "default: true"),
    ("winch/change-oil.yaml", "choices: [thin, thick]", "choices: [thin, thick, none]"),
    ("winch/change-oil.yaml", "default: thin", "default: thick"),
    ("winch/change-oil.yaml", "when: flush", "when: not flush"),
    ("winch/change-oil.yaml", "  - follow: make-safe\n", ""),
    ("winch/change-oil.yaml", "follow: make-ready", "follow: bend-hook"),
    ("winch/change-oil.yaml", "do: Lift it off.", "do: Lift it off with a friend. See {bend-hook}."),
    ("winch/change-oil.yaml", "uses: {gear-oil: 1.2 L}", "uses: {old-oil: 1.2 L}"),
    ("winch/change-oil.yaml", "    notices: [oil-skin]\n", ""),
    (
        "winch/change-oil.yaml",
        "notices: [oil-skin]\n",
        "notices: [oil-skin]\n    accepting: {wrench-range: It does.}\n",
    ),
    ("winch/change-oil.yaml", "time: 10 min", "time: 55 min"),
    ("winch/change-oil.yaml", "notices: [crush]\n", "notices: [crush]\naccepting: {unused-item: No reason.}\n"),
    ("winch/change-oil.yaml", "  - fit: cover\n    new: [gasket]\n    tools: [wrench]\n", ""),
    ("winch/look-at-rope.yaml", "only-for: drive = motor\n", ""),
    ("winch/look-at-rope.yaml", "only-for: drive = motor", "only-for: drive = hand"),
    ("winch/look-at-rope.yaml", "title: Look at the rope", "title: Inspect the rope"),
    ("winch/look-at-rope.yaml", "alt: Two turns of rope on a drum, ", ""),
    ("winch/look-at-rope.yaml", "sign: [checker]", "sign: [fitter]"),
    ("winch/look-at-rope.yaml", "procedure: look-at-rope", "procedure: see-rope"),
    ("winch/look-at-rope.yaml", "machine: winch\n", ""),
    ("winch/make-ready.yaml", "starts-with: [drum-prop in]\n", ""),
    ("winch/make-ready.yaml", "withdraw: drum-prop", "place: drum-prop"),
    ("winch/make-ready.yaml", "steps:", "options: {slow: {ask: Slowly?, default: true}}\nsteps:"),
    ("winch/make-safe.yaml", "once-per-job: true\n", ""),
    ("winch/make-safe.yaml", "do: Slacken the rope.", "do: Slacken the rope slowly."),
    ("winch/make-safe.yaml", "leaves: [drum-prop in, load released]\n", ""),
    ("winch/make-safe.yaml", "time: 1 min", "time: 7 min"),
    ("winch/make-safe.yaml", "steps:", "title: Make the winch safe\nsteps:"),
    ("winch/make-safe.yaml", "  - release: load", "  - follow: make-ready\n  - release: load"),
    ("bench/bend-hook.yaml", "title: Hook bolt", "title: Bolt of the hook"),
    ("bench/bend-hook.yaml", "torque: 45 N·m", "torque: 48 N·m"),
    ("bench/bend-hook.yaml", "title: Renew the hook", "title: Bend the hook"),
    ("bench/bend-hook.yaml", "    accepting: {torque-unsourced: Tried for years.}\n", ""),
    ("bench/bend-hook.yaml", "  hook-bolt:\n", "  spare-bolt: {title: Spare}\n  hook-bolt:\n"),
    ("bench/bend-hook.yaml", "procedure: bend-hook\n", "procedure: bend-hook\nmachine: winch\n"),
    ("bench/splice.yaml", "open: clamp", "open: jaw"),
    ("bench/splice.yaml", "procedure: splice", "procedure: bend-hook"),
    ("fleet/winch-one.yaml", "name: Winch One", "name: The old winch"),
    ("fleet/winch-one.yaml", "serial: W-0001", "serial: W-0002"),
    ("fleet/winch-one.yaml", "drive: motor", "drive: hand"),
    ("fleet/winch-one.yaml", "hours: 350", "hours: 700"),
    ("fleet/winch-one.yaml", "did: change-oil", "did: look-at-rope"),
    ("fleet/winch-one.yaml", "backlash: 0.23 mm", "backlash: 0.29 mm"),
    ("fleet/winch-one.yaml", "note: A little {lay}.", "note: A little {pawl}."),
    ("fleet/winch-one.yaml", "in-service: 2020-04-01\n", ""),
    ("jobs/spring.yaml", "title: Spring service", "title: Service in spring"),
    ("jobs/spring.yaml", "options: {flush: true}", "options: {flush: false}"),
    ("jobs/spring.yaml", "  - look-at-rope\n", "  - look-at-rope\n  - bend-hook\n"),
    ("jobs/spring.yaml", "date: 2027-03-20\n", ""),
    ("jobs/spring.yaml", "on-hand: [gear-oil]", "on-hand: [gear-oil, gasket]"),
    ("jobs/spring.yaml", "job: spring", "job: autumn"),
)
"""Two ways in which a file may be written. What stands as the first is turned to the second, and back."""

GUESTS: Library = {
    path: dedent(text).encode()
    for path, text in {
        RECORD_FILE: RECORD.decode(),
        "fleet/winch-one.change-oil.progress.json": RECORD.decode(),
        "notes/anything.json": "{}\n",
        "notes/read.me": "Nobody reads it.\n",
        "theme/templates/fleet.html": "<!doctype html><title>{{ view.title }}</title>\n",
        "theme/templates/term.html": "never used\n",
        "theme/styles/own.css": ".own { color: navy }\n",
        "theme/scripts/own.js": "'use strict';\n",
        "winch/pictures/rope.svg": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 7 7"/>\n',
        "crane.yaml": """\
            machine: crane
            title: Crane
            components: {hook: {title: Hook}, boom: {title: Boom, behind: hook}}
            schedule: {hook: {of: hook, every: 1 year, do: swing, source: club}}
            """,
        "crane/swing.yaml": """\
            procedure: swing
            machine: crane
            steps: [{turn: boom, do: Swing it once. See {change-oil}., time: 2 min}]
            """,
        "bench/whet.yaml": """\
            procedure: whet
            title: Whet a knife
            aids: {stone: {title: Whetstone}}
            steps:
              - do: Draw the blade over the {stone}. Then {splice}.
                tools: [leather]
                uses: {water: 10 mL}
            """,
        "winch/second.yaml": """\
            procedure: change-oil
            machine: winch
            title: A second of that name
            steps: [{do: Nothing at all.}]
            """,
        "winch/rope.yaml": """\
            assembly: rope
            machine: winch
            components: {thimble: {title: Thimble}, drum: {title: Again}}
            """,
        "shop/more.yaml": "tools: {leather: {title: Strop}, gauge: {title: Another gauge}}\n",
        "fleet/winch-two.yaml": "logbook: winch-two\nmachine: winch\nname: Winch Two\nvariants: {drive: hand}\n",
        "jobs/again.yaml": "job: again\nlogbook: winch-two\ndo: [change-oil, swing]\n",
        "manual-two.yaml": "manual: Another manual\n",
        "broken.yaml": "procedure: [\n",
        "nothing.yaml": "",
        "unknown.yaml": "whatever: 1\n",
        "no-text.yml": "procedure: caf\xe9\n",
    }.items()
}
"""Files that may lie in the library or not."""


def leave(state: State, _random: Random) -> State:
    """Nothing is done. A sequence that fails is shortened with it."""
    return state


def turn(state: State, random: Random) -> State:
    """A line is written otherwise, or as it was before."""
    return turned(state, random.randrange(len(TURNS)))


def turned(state: State, number: int) -> State:
    """The turn of that number."""
    path, one, other = TURNS[number]
    content = state.files.get(path, b"")
    old, new = (one.encode(), other.encode()) if one.encode() in content else (other.encode(), one.encode())
    return _with(state, path, content.replace(old, new, 1) if old else content)


def come_or_go(state: State, random: Random) -> State:
    """A file appears, or is taken away."""
    path = random.choice(sorted(GUESTS))
    if path in state.files and state.files[path] == GUESTS[path]:
        return _without(state, path)
    return _with(state, path, GUESTS[path])


def remove(state: State, random: Random) -> State:
    """Any file is taken away."""
    return _without(state, random.choice(sorted(state.files))) if state.files else state


def bring_back(state: State, random: Random) -> State:
    """A file is as it was in the beginning."""
    path, content = random.choice(sorted(shop().items()))
    return _with(state, path, content)


def start_again(state: State, _random: Random) -> State:
    """All is as in the beginning."""
    return replace(state, files=shop())


def move(state: State, random: Random) -> State:
    """A file is given another name or folder, which may change the order of the files."""
    path = _some_yaml(state, random)
    if not path:
        return state
    name = path.rpartition("/")[2]
    target = random.choice((f"a/{name}", f"z/{name}", name, f"winch/{name}", f"winch/x-{name}", f"A-{name}"))
    return state if target in state.files else _with(_without(state, path), target, state.files[path])


def exchange(state: State, random: Random) -> State:
    """Two files change places."""
    one, other = _some_yaml(state, random), _some_yaml(state, random)
    if not (one and other):
        return state
    return replace(state, files={**state.files, one: state.files[other], other: state.files[one]})


def double(state: State, random: Random) -> State:
    """A file is copied, and what it declares is declared twice."""
    path = _some_yaml(state, random)
    return _with(state, f"copies/{path.replace('/', '-')}", state.files[path]) if path else state


def line_on_top(state: State, random: Random) -> State:
    """All that a file holds lies a line further down."""
    path = _some_yaml(state, random)
    return _with(state, path, b"# a remark\n" + state.files[path]) if path else state


def spoil(state: State, random: Random) -> State:
    """A file is no YAML any more, in its middle or at its end."""
    path = _some_yaml(state, random)
    if not path:
        return state
    lines = state.files[path].splitlines(keepends=True)
    lines.insert(random.randint(0, len(lines)), random.choice((b"  - [\n", b"\t: x\n", b"}\n", b"\xff\n", b"key\n")))
    return _with(state, path, b"".join(lines))


def drop_line(state: State, random: Random) -> State:
    """A line is missing."""
    path = _some_yaml(state, random)
    lines = state.files[path].splitlines(keepends=True) if path else []
    if not lines:
        return state
    del lines[random.randrange(len(lines))]
    return _with(state, path, b"".join(lines))


def swap_lines(state: State, random: Random) -> State:
    """Two lines change places."""
    path = _some_yaml(state, random)
    lines = state.files[path].splitlines(keepends=True) if path else []
    if len(lines) < 2:
        return state
    at = random.randrange(len(lines) - 1)
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    return _with(state, path, b"".join(lines))


def other_word(state: State, random: Random) -> State:
    """One word in a value is another."""
    return _replaced(state, random, rb"(?<=[ :\[{])[A-Za-z]{3,}(?![\w-]*:)", b"otherwise")


def other_digit(state: State, random: Random) -> State:
    """One digit is another."""
    return _replaced(state, random, rb"[0-9]", str(random.randint(0, 9)).encode())


def other_day(state: State, random: Random) -> State:
    """The manual is built for another day."""
    return replace(state, on=FIRST_DAY + timedelta(days=random.choice((0, 1, 30, 200, 2000))))


def other_draft(state: State, _random: Random) -> State:
    """Errors stop the build, or do not."""
    return replace(state, draft=not state.draft)


Edit = Callable[[State, Random], State]
EDITS: tuple[Edit, ...] = (
    leave,
    *(turn,) * 8,
    *(come_or_go,) * 4,
    *(bring_back,) * 2,
    start_again,
    remove,
    move,
    exchange,
    double,
    line_on_top,
    spoil,
    drop_line,
    swap_lines,
    other_word,
    other_digit,
    other_day,
    other_draft,
)
"""The likelier ones several times."""


def _with(state: State, path: str, content: bytes) -> State:
    return replace(state, files={**state.files, path: content})


def _without(state: State, path: str) -> State:
    return replace(state, files={other: content for other, content in state.files.items() if other != path})


def _some_yaml(state: State, random: Random) -> str:
    found = sorted(path for path in state.files if path.endswith(".yaml"))
    return random.choice(found) if found else ""


def _replaced(state: State, random: Random, pattern: bytes, by: bytes) -> State:
    path = _some_yaml(state, random)
    found = list(re.finditer(pattern, state.files[path])) if path else []
    if not found:
        return state
    where = random.choice(found)
    content = state.files[path]
    return _with(state, path, content[: where.start()] + by + content[where.end() :])
