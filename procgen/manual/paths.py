"""Where each thing's page is, and the anchors on it: readable, the same on every system, and never two in one place."""

import hashlib
import re
from functools import lru_cache
from pathlib import Path

from procgen.library.library import Library
from procgen.library.machine import Figure
from procgen.library.origin import ITEM_KINDS, Address, Kind

PICTURES = {kind: kind for kind in (".svg", ".png", ".jpg", ".gif", ".webp", ".avif")} | {".jpeg": ".jpg"}
"""Picture files that a manual may show, and the ending that they get."""
_PLAIN = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LONGEST = 80
# Names that some systems keep for devices, whatever stands after the dot.
_DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))})

_FOLDERS = {
    Kind.MACHINE: "machine",
    Kind.PROCEDURE: "procedure",
    Kind.TOOL: "tool",
    Kind.PART: "part",
    Kind.SOURCE: "source",
    Kind.NOTICE: "notice",
    Kind.LOGBOOK: "individual",
}

FRONT = "index.html"
TOOLS = "tools.html"
PARTS = "parts.html"
NOTICES = "notices.html"
SOURCES = "sources.html"
WORDS = "words.html"
FLEET = "fleet.html"
FIND = "find.html"
REPORT = "report.html"
CALCULATOR = "torque-calculator.html"
INDEX_SCRIPT = "find-index.js"
BOOK = "book.pdf"


@lru_cache(maxsize=65536)
def safe_name(name: str) -> str:
    """An id as a file name or an anchor. A plain id stays as it is; any other gets a name of its own."""
    if _PLAIN.fullmatch(name) and len(name) <= _LONGEST and name not in _DEVICES:
        return name
    words = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[: _LONGEST - 12]
    # A double hyphen occurs in no plain id, so that no made name can meet one.
    return f"{words}--{hashlib.sha256(name.encode('utf-8', 'surrogatepass')).hexdigest()[:8]}"


def path_of(address: Address, library: Library) -> tuple[str, str]:
    """The page of what has that address, and the anchor on it; the anchor is empty for a page of its own."""
    name, scope = safe_name(address.id), safe_name(address.scope)
    if address.kind in ITEM_KINDS:
        owner = "machine" if address.scope in library.machines else "procedure"
        return f"{owner}/{scope}/{name}.html", ""
    match address.kind:
        case Kind.ASSEMBLY:
            return f"assembly/{scope}/{name}.html", ""
        case Kind.SCHEDULE:
            return f"machine/{scope}.html", f"due-{name}"
        case Kind.TERM:
            return WORDS, f"word-{name}"
        case Kind.MANUAL:
            return FRONT, ""
        case Kind.JOB:
            return f"job/{name}.html", ""
        case Kind.FIGURE:
            raise ValueError("a figure has no page of its own")
        case _:
            return f"{_FOLDERS[address.kind]}/{name}.html", ""


def figure_path(figure: Figure) -> str | None:
    """Where the picture goes in the manual; None for a file that is no picture, or is not there."""
    ending = PICTURES.get(Path(figure.file).suffix.lower())
    if figure.missing or ending is None:
        return None
    return f"figures/{safe_name(figure.file.rpartition('.')[0])}{ending}"


def sheet_path(procedure: Address) -> str:
    """The sheet to work by of a procedure; a job's page is its sheet."""
    return f"sheet/{safe_name(procedure.id)}.html"


def state_script_path(sheet: str) -> str:
    """The state of the work for every way through, beside a sheet that lies at `sheet`."""
    return f"{sheet.removesuffix('.html')}.js"


def visits_path(logbook: Address) -> str:
    """The visits to an individual machine over the next years."""
    return f"visits/{safe_name(logbook.id)}.html"


def torque_table_path(machine_id: str) -> str:
    """The torque table of a machine."""
    return f"torque/{safe_name(machine_id)}.html"


def relative(here: str, there: str, anchor: str = "") -> str:
    """The link from one page to another, or to an anchor on the page itself. Both paths are plain ones.

    It goes by way of the manual's folder, also between neighbours: so a link is the same on every page that lies as
    deep, and a text or a step that was set for one page can stand on another.
    """
    if here == there and anchor:
        return f"#{anchor}"
    way = "../" * depth(here) + there
    return f"{way}#{anchor}" if anchor else way


def depth(path: str) -> int:
    """In how many folders a page lies."""
    return path.count("/")
