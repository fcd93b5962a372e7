"""Figures: the author's picture as it is, with numbers on it that lead to what they show and to the steps."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from procgen.library.machine import Callout, Figure, Machine
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.page import Page
from procgen.manual.paths import figure_path, safe_name
from procgen.manual.work import StepMark


@dataclass(frozen=True, slots=True, kw_only=True)
class CalloutView:
    """A number on a figure."""

    number: int
    x: str
    y: str
    """Per cent of width and height, with the sign."""
    anchor: str
    """Of its line in the key below the figure."""
    item: Link | None
    text: str
    steps: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureView:
    """A figure with its key."""

    anchor: str
    source: str
    """Of the picture, relative to the page."""
    alt: str
    title: str
    note: Markup
    callouts: tuple[CalloutView, ...]


def figure_view(
    figure: Figure, leaf: Leaf, machine: Machine, steps: Mapping[str, tuple[StepMark, ...]]
) -> FigureView | None:
    """The figure on that page; None where there is no picture.

    steps: for each item, the steps on this page that are about it.
    """
    path = figure_path(figure)
    if path is None:
        return None
    anchor = f"figure-{safe_name(figure.id)}"
    callouts = tuple(_callout(callout, anchor, leaf, machine, steps) for callout in figure.callouts)
    return FigureView(
        anchor=anchor,
        source=leaf.href(path),
        alt=figure.alt or figure.title,
        title=figure.title,
        note=leaf.line(figure.note, machine),
        callouts=callouts,
    )


def _callout(
    callout: Callout, anchor: str, leaf: Leaf, machine: Machine, steps: Mapping[str, tuple[StepMark, ...]]
) -> CalloutView:
    item = machine.items.get(callout.item) if callout.item else None
    return CalloutView(
        number=callout.number,
        x=f"{callout.x_percent:g}%",
        y=f"{callout.y_percent:g}%",
        anchor=callout_anchor(anchor, callout.number),
        item=leaf.record(item) if item else None,
        text=callout.text,
        steps=tuple(Link(mark.number, f"#{mark.anchor}") for mark in steps.get(callout.item or "", ())),
    )


def callout_anchor(figure_anchor: str, number: int) -> str:
    """The anchor of a number's line in the key."""
    return f"{figure_anchor}-{number}"


def figure_pages(book: Book) -> Iterator[Page]:
    """Every picture that a figure names, once, byte for byte."""
    files: dict[str, str] = {}
    for machine in book.library.machines.values():
        for figure in machine.figures.values():
            path = figure_path(figure)
            if path:
                files.setdefault(path, figure.file)
    for extract in book.extracts.values():
        for path, file in extract.pictures.items():
            files.setdefault(path, file)
    for path, file in sorted(files.items()):
        yield Page(path, (book.library.root / file).read_bytes())
