"""Builds the shop-wide catalogues and the manual's own record."""

import math

from procgen.library.build_items import choice, record
from procgen.library.catalogue import (
    Level,
    Manual,
    Notice,
    Part,
    Source,
    SourceKind,
    Term,
    Tool,
    Units,
)
from procgen.library.fields import Fields
from procgen.library.origin import Address, Kind, Prose, SourceId
from procgen.measure.unit_table import Dimension


def tool(fields: Fields, address: Address) -> Tool:
    """A tool; one with a range in torque is a torque wrench unless its kind says otherwise."""
    span = fields.quantity("range")
    is_wrench = span is not None and span.dimension is Dimension.TORQUE
    return Tool(
        kind=fields.text("kind", "torque-wrench" if is_wrench else "general"),
        range=span,
        resolution=fields.quantity("resolution"),
        accuracy=fields.quantity("accuracy"),
        drive=fields.quantity("drive", Dimension.LENGTH),
        hex=fields.quantity("hex", Dimension.LENGTH),
        offset=fields.quantity("offset", Dimension.LENGTH),
        length=fields.quantity("length", Dimension.LENGTH),
        capacity=fields.quantity("capacity"),
        special=fields.flag("special"),
        where=fields.text("where"),
        number=fields.text("number"),
        **record(fields, address),
    )


def part(fields: Fields, address: Address) -> Part:
    """A part or a consumable."""
    lead = fields.quantity("lead-time", Dimension.TIME)
    fields.shop("replaced-by", Kind.PART)
    return Part(
        number=fields.text("number"),
        consumable=fields.text("kind") == "consumable",
        unit=fields.text("unit"),
        single_use=fields.flag("single-use"),
        lead_days=math.ceil(lead.middle_in("day")) if lead else None,
        price=fields.number("price"),
        replaces=fields.text("replaces"),
        where=fields.text("where"),
        **record(fields, address),
    )


def source(fields: Fields, address: Address) -> Source:
    """A source."""
    replaces = fields.shop_one("replaces", Kind.SOURCE)
    return Source(
        kind=choice(fields, "kind", SourceKind) or SourceKind.CLUB,
        date=fields.text("date"),
        replaces=SourceId(replaces) if replaces else None,
        **record(fields, address),
    )


def notice(fields: Fields, address: Address) -> Notice:
    """A safety message."""
    return Notice(
        level=choice(fields, "level", Level) or Level.WARNING,
        hazard=fields.prose("hazard"),
        consequence=fields.prose("consequence"),
        avoid=fields.prose("avoid"),
        kinds=frozenset(fields.texts("kinds")),
        **record(fields, address),
    )


def term(fields: Fields, address: Address) -> Term:
    """A word of the trade, explained in a text or in a map."""
    return Term(
        meaning=fields.prose("meaning") or Prose("", fields.origin.place),
        see=fields.texts("see"),
        **record(fields, address),
    )


def manual(fields: Fields) -> Manual:
    """The library as a book."""
    units = fields.inside("units")
    lift = fields.quantity("one-person-lift", Dimension.MASS)
    values = record(fields, Address(Kind.MANUAL, "manual"))
    values["title"] = fields.text("manual", "Workshop manual")
    return Manual(
        publisher=fields.text("publisher"),
        edition=fields.text("edition"),
        language=fields.text("language", "en"),
        units=Units(units.text("first", "metric"), units.text("second", "imperial")) if units else Units(),
        paper=fields.text("paper", "A4"),
        sign_off=fields.texts("sign-off") or ("fitter",),
        caution=fields.prose("caution"),
        safety=fields.prose("safety"),
        one_person_lift_kg=lift.middle_in("kg") if lift else 20.0,
        labour_rate=fields.number("labour-rate"),
        currency=fields.text("currency"),
        **values,
    )
