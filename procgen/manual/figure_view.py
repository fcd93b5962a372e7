"""Figures: the author's picture as it is, with numbers on it that lead to what they show and to the steps."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from procgen.library.library import Library
from procgen.library.machine import Callout, Figure, Machine
from procgen.manual.book import Leaf, Link
from procgen.manual.page import Page
from procgen.manual.paths import safe_name
from procgen.manual.work import StepMark

KINDS = {kind: kind for kind in (".svg", ".png", ".jpg", ".gif", ".webp", ".avif")} | {".jpeg": ".jpg"}
"""Picture files that a manual may show, and the ending that they get."""


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
    callouts: tuple[CalloutView, ...]


def figure_path(figure: Figure) -> str | None:
    """Where the picture goes in the manual; None for a file that is no picture, or is not there."""
    ending = KINDS.get(Path(figure.file).suffix.lower())
    if figure.missing or ending is None:
        return None
    return f"figures/{safe_name(figure.file.rpartition('.')[0])}{ending}"


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
        anchor=anchor, source=leaf.href(path), alt=figure.alt or figure.title, title=figure.title, callouts=callouts
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


def figure_pages(library: Library) -> Iterator[Page]:
    """Every picture that a figure names, once, byte for byte."""
    files: dict[str, str] = {}
    shelves = (*(machine.figures for machine in library.machines.values()),)
    shelves += (*(procedure.figures for procedure in library.procedures.values()),)
    for figure in (figure for shelf in shelves for figure in shelf.values()):
        path = figure_path(figure)
        if path:
            files.setdefault(path, figure.file)
    for path, file in sorted(files.items()):
        yield Page(path, (library.root / file).read_bytes())
