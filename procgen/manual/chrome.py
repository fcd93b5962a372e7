"""What stands around every page: running head, thumb index, draft band, safety wording."""

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """One cut of the thumb index."""

    mark: str
    """The section's number or letter."""
    name: str
    href: str
    here: bool
    """The page lies in this section."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chrome:
    """The frame of one page. All links are relative to it."""

    language: str
    paper: str
    """A4 or Letter."""
    title: str
    number: str
    """The page's section number; empty where it has none."""
    manual: str
    publisher: str
    edition: str
    front: str
    find: str
    running: str
    """What a printed page says at its head, beside its page number."""
    stamp: str
    """What a printed page says at its foot: revision and fingerprint; empty where the page has none."""
    tabs: tuple[Tab, ...]
    styles: tuple[str, ...]
    head_scripts: tuple[str, ...]
    """Run before the page is drawn."""
    scripts: tuple[str, ...]
    """Run when the page is there."""
    draft: str
    """The words of the draft band; empty where the manual may be used."""
    safety: tuple[str, ...]
    house_safety: Markup
    """What the library adds; empty where it adds nothing."""
