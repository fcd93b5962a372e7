"""The sources behind a procedure: its own, and those of every figure that its steps work by."""

from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.items import Record
from procgen.library.origin import Address, Citation, Kind
from procgen.manual.book import Link
from procgen.manual.step_writer import StepWriter


@dataclass(frozen=True, slots=True)
class CitedFor:
    """One thing that a source says."""

    what: Link
    locator: str


@dataclass(frozen=True, slots=True)
class SourceUsed:
    """A source, with all that it is cited for."""

    source: Link
    cited_for: tuple[CitedFor, ...]


def sources_used(writer: StepWriter) -> tuple[SourceUsed, ...]:
    """Every source behind the procedure, in the order in which it is met, each thing once."""
    found: dict[str, dict[tuple[Link, str], None]] = {}
    for record, cited in _cited(writer):
        what = Link("the procedure", "") if record is writer.procedure else writer.leaf.record(record)
        found.setdefault(cited.source, {})[what, cited.locator] = None
    return tuple(
        SourceUsed(
            writer.leaf.to(Address(Kind.SOURCE, source)), tuple(CitedFor(what, locator) for what, locator in things)
        )
        for source, things in found.items()
    )


def _cited(writer: StepWriter) -> Iterator[tuple[Record, Citation]]:
    if writer.procedure.source:
        yield writer.procedure, writer.procedure.source
    items = writer.plan.machine.items
    for planned in writer.plan.steps:
        for action in planned.actions:
            item = items.get(action.item)
            if item and item.source:
                yield item, item.source
