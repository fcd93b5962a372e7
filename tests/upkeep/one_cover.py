"""A small machine with a belt and a pump behind one cover, priced: what tests of work done together begin with."""

import re
import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from procgen.library.library import Library
from procgen.library.load import load
from procgen.upkeep.due import Due, MachineDue, due
from tests.written import write

FILES = {
    "manual.yaml": "manual: M\nlabour-rate: 60\n",
    "machine.yaml": """\
        machine: m
        meter: hours
        components:
          cover:
            remove: {time: 30 min, steps: [{remove: cover, do: Lift it off.}]}
            fit: {time: 30 min, steps: [{fit: cover, do: Set it on.}]}
          belt: {behind: [cover], part: belt}
          pump: {behind: [cover], part: pump}
          horn: {part: horn}
        schedule:
          belt: {of: belt, every: [1000 h, 4 years], do: renew-belt}
          pump: {of: pump, every: 6 years, do: renew-pump, resets: pump-look}
          pump-look: {of: pump, every: 2 years, do: look-at-pump}
          horn: {of: horn, every: 1 year, do: renew-horn}
        """,
    "parts.yaml": "parts: {belt: {title: Belt, price: 20}, pump: {title: Pump, price: 100}, horn: {title: Horn}}\n",
    "belt.yaml": """\
        procedure: renew-belt
        machine: m
        steps:
          - open: belt
          - {renew: belt, do: Change it., time: 10 min}
          - close: belt
        """,
    "pump.yaml": """\
        procedure: renew-pump
        machine: m
        steps:
          - open: pump
          - {renew: pump, do: Change it., time: 20 min}
          - close: pump
        """,
    "look.yaml": """\
        procedure: look-at-pump
        machine: m
        steps:
          - open: pump
          - {inspect: pump, accept: Dry., do: Look., time: 5 min}
          - close: pump
        """,
    "horn.yaml": "procedure: renew-horn\nmachine: m\nsteps: [{renew: horn, do: Change it., time: 10 min}]\n",
    "log.yaml": """\
        logbook: one
        machine: m
        meter: [{on: 2022-01-01, hours: 0}, {on: 2024-01-01, hours: 200}]
        entries:
          - {on: 2022-01-01, hours: 0, did: [renew-belt, renew-pump, renew-horn]}
        """,
}


def one_cover(
    day: str, every: Mapping[str, str] | None = None, more: int = 0
) -> tuple[MachineDue, dict[str, Due], Library]:
    """The machine judged for a day, its work by name, its library.

    every: other intervals. more: so many more parts behind the cover, each with work of its own.
    """
    files = dict(FILES)
    for number in range(more):
        files["machine.yaml"] = files["machine.yaml"].rstrip(" ")
        files["machine.yaml"] += f"          part-{number}: {{of: horn, every: 3 years, do: renew-part-{number}}}\n"
        files["log.yaml"] = files["log.yaml"].replace("renew-horn", f"renew-horn, renew-part-{number}")
        files[f"part-{number}.yaml"] = files["belt.yaml"].replace("renew-belt", f"renew-part-{number}")
    for name, interval in (every or {}).items():
        files["machine.yaml"] = re.sub(rf"(  {name}: {{.*every: )[^,]*", rf"\g<1>{interval}", files["machine.yaml"])
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(write(Path(folder), files))
    assert loaded.findings == ()
    (machine,) = due(loaded.library, date.fromisoformat(day))
    return machine, {each.item.address.id: each for each in machine.work}, loaded.library
