"""Looks for libraries that break the program, led by which of its lines they reach. A script, not a test.

    pip install atheris            # Linux, and not on every version of Python
    python tests/hostile/fuzz.py [CORPUS_FOLDER] [-max_total_time=600] [-max_len=4000]

Each input is the text of one file of a library that is otherwise sound. A crash is left in the current folder; give its
path as the only argument to see it again. What libFuzzer's own options do is told by `-help=1`.
"""

import sys
import tempfile
from datetime import date
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

with atheris.instrument_imports(include=["procgen"]):
    from procgen import flow

STARTER = Path(flow.__file__).parent / "starter" / "library"
NAMES = sorted(path.relative_to(STARTER).as_posix() for path in STARTER.rglob("*.yaml"))
TODAY = date(2026, 11, 1)


def try_one(data: bytes) -> None:
    """Put the text in the place of one of the starter library's files, and check; every eighth time build as well."""
    if len(data) < 2:
        return
    name = NAMES[data[0] % len(NAMES)]
    with tempfile.TemporaryDirectory() as scratch:
        library = Path(scratch) / "library"
        for other in NAMES:
            path = library / other
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data[2:] if other == name else (STARTER / other).read_bytes())
        if data[1] % 8:
            flow.check(library, TODAY)
        else:
            flow.build(library, Path(scratch) / "site", on=TODAY, draft=True)


def seeds(folder: Path) -> None:
    """The starter library's own files, so that it does not begin with nothing."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, name in enumerate(NAMES):
        (folder / f"seed-{number}").write_bytes(bytes([number, 1]) + (STARTER / name).read_bytes())


if __name__ == "__main__":
    if len(sys.argv) > 1 and not sys.argv[1].startswith("-") and not Path(sys.argv[1]).is_file():
        seeds(Path(sys.argv[1]))
    atheris.Setup(sys.argv, try_one)
    atheris.Fuzz()
