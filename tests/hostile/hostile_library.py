"""A library in which every text is hostile: a part of the demo library, and what that does not have, filled in."""

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from procgen.library.yaml_reading import read_tree
from tests.hostile.everywhere import SHOWN, Filler, Make

PROJECT = Path(__file__).parent.parent.parent
TRAILER = ("machines/t2/", "workshop/", "fleet/trailer-a", "jobs/trailer-a", "manual.yaml")
"""What of the demo library is filled: small, and nearly every kind of thing is in it."""

MORE = {
    "more/machine.yaml": """\
machine: hand-pump
title: Hand pump
meter: hours
variants: {body: [brass, iron]}
accepting: {unused-item: The drawing shows it.}
fluids:
  primer: {title: Priming water, capacity: 0.2 L, note: Any clean water., where: Under the spout}
components:
  lid: {title: Lid, held-by: [lid-bolts], wet-with: [primer]}
fasteners:
  lid-bolts: {title: Lid bolts, thread: M8, torque: {by-hand: Finger tight}, threads: dry, into: brass}
  eye-bolt: {title: Eye bolt, thread: M8, torque: [{to: 5 N·m}, {align: the eye}, {slacken: fully}]}
  hub-nut: {title: Hub nut, thread: M8, torque: {to: 5 N·m, while: turning the hub}}
  clamp: {title: Clamp, thread: M8, torque: {slacken: fully}}
  gland: {title: Gland, thread: M8, torque: [{by-hand: Finger tight}, {turn: 90°}]}
""",
    "more/procedure.yaml": """\
procedure: open-hand-pump
machine: hand-pump
title: Open the hand pump
options:
  grease: {ask: Which grease?, choices: [lithium, calcium], note: Never both.}
steps:
  - drain: primer
    do: Let the water out.
  - loosen: lid-bolts
    do: Undo the {lid-bolts}.
    when: grease = lithium
""",
    "more/logbook.yaml": """\
logbook: hand-pump-one
machine: hand-pump
name: Pump One
variants: {body: brass}
in-service: 2020-01-01
""",
}


def plain(value: object) -> Any:
    """A tree of the reader as plain values that can be written again."""
    match value:
        case dict():
            return {key: plain(each) for key, each in value.items()}
        case list():
            return [plain(each) for each in value]
        case bool() | str() | None:
            return value
        case int():
            return int(value)
        case float():
            return float(value)
        case _:
            raise TypeError(value)


def trees(*, whole: bool = False) -> dict[str, dict[str, Any]]:
    """The files that are filled, by their paths. whole: with all of the demo library."""
    demo = PROJECT / "procedures"
    texts = {
        name: path.read_text(encoding="utf-8")
        for path in sorted(demo.rglob("*.yaml"))
        if (name := path.relative_to(demo).as_posix()).startswith(TRAILER) or whole
    }
    return {name: plain(read_tree(text, name)[0]) for name, text in (texts | MORE).items()}


def write_trees(folder: Path, files: Mapping[str, Mapping[str, Any]]) -> Path:
    """The files as YAML, and the pictures of the demo library."""
    shutil.copytree(PROJECT / "procedures", folder, ignore=shutil.ignore_patterns("*.yaml"))
    for name, tree in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(yaml.safe_dump(tree, sort_keys=False, allow_unicode=True, width=10_000), encoding="utf-8")
    return folder


def shown_only(make: Make) -> Make:
    """Put texts only where they are shown and not taken apart; a figure keeps its file, so that it is shown."""

    def making(definition: str, place: str, written: str) -> str | None:
        return make(definition, place, written) if definition in SHOWN and not written.endswith(".svg") else None

    return making


def filled(make: Make, *, adds: bool = True, whole: bool = False) -> tuple[dict[str, dict[str, Any]], set[str]]:
    """The library with what `make` makes, and the places where it stands."""
    filler = Filler(make, adds=adds)
    return {name: filler.file(tree) for name, tree in trees(whole=whole).items()}, filler.filled
