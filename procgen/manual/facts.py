"""Small views that many pages share: a field of the title block, a line of a contents list, a relation."""

from dataclasses import dataclass

from procgen.manual.book import Link


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One field of a title block: a small label over a value."""

    label: str
    text: str = ""
    links: tuple[Link, ...] = ()
    """Shown instead of the text where there are any."""
    id: str = ""
    """Anchor for scripts; empty where nothing changes it."""


@dataclass(frozen=True, slots=True)
class ContentsLine:
    """One line of a contents list, with dots leading to what stands at its end."""

    to: Link
    end: str = ""


@dataclass(frozen=True, slots=True)
class Relation:
    """What something has to do with others: "Held by", and links."""

    label: str
    links: tuple[Link, ...]


def facts(*candidates: Fact) -> tuple[Fact, ...]:
    """Only those that say something."""
    return tuple(fact for fact in candidates if fact.text or fact.links)


def relations(*candidates: Relation) -> tuple[Relation, ...]:
    """Only those that lead somewhere."""
    return tuple(relation for relation in candidates if relation.links)


def duration(minutes: float) -> str:
    """A working time as people say it: "45 min", "2 h 10 min"."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    return " ".join(
        part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "") if part
    )


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its word: "1 error", "3 errors"."""
    return f"{count} {one if count == 1 else many or one + 's'}"
