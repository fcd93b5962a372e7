"""Who says so: the source of a value, and what other sources say instead."""

from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.items import OtherValue, Record
from procgen.library.machine import Machine
from procgen.library.origin import Address, Citation, Kind
from procgen.manual.book import Leaf, Link


@dataclass(frozen=True, slots=True, kw_only=True)
class CitationView:
    """A source and the place in it."""

    source: Link
    locator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherValueView:
    """A figure that is not followed, and the reason."""

    about: Link
    key: str
    value: str
    """In both units where it could be read, else as written."""
    written: str
    """As the author wrote it, where that differs."""
    followed: str
    """The figure that the manual follows instead; empty where it has none."""
    source: CitationView | None
    why_not: Markup
    note: Markup


def citation(cited: Citation | None, leaf: Leaf) -> CitationView | None:
    """A citation as a link; None for none."""
    if cited is None:
        return None
    return CitationView(source=leaf.to(Address(Kind.SOURCE, cited.source)), locator=cited.locator)


def other_values(record: Record, leaf: Leaf, machine: Machine | None) -> tuple[OtherValueView, ...]:
    """What other sources say about a record's values."""
    return tuple(_other(other, record, leaf, machine) for other in record.other_values)


def _other(other: OtherValue, record: Record, leaf: Leaf, machine: Machine | None) -> OtherValueView:
    measures = leaf.book.measures
    if other.torque:
        value = measures.torque_line(other.torque)
    elif other.quantity:
        value = measures.text(other.quantity)
    else:
        value = other.text
    return OtherValueView(
        about=leaf.record(record),
        key=other.key,
        value=value,
        written=other.text if other.text not in value else "",
        followed=_followed(record, other.key, leaf),
        source=citation(other.source, leaf),
        why_not=leaf.line(other.why_not, machine),
        note=leaf.line(other.note, machine),
    )


def _followed(record: Record, key: str, leaf: Leaf) -> str:
    measures = leaf.book.measures
    value = getattr(record, key, None)
    if value is None:
        return ""
    if key == "torque":
        return measures.torque_line(value)
    return str(value) if key == "every" else measures.text(value)
