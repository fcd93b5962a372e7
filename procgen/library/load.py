"""Read and link in one call."""

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from procgen.finding import Finding, in_order
from procgen.library.files import read_library
from procgen.library.library import Library
from procgen.library.link import link


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A linked library, and what was found while reading and linking it."""

    library: Library
    findings: tuple[Finding, ...]


def load(root: Path, leave_out: Collection[Path] = ()) -> Loaded:
    """Read every file below `root`, but for the folders in `leave_out`, and link them."""
    read = read_library(root, leave_out)
    library, findings = link(read)
    return Loaded(library=library, findings=in_order((*read.findings, *findings)))
