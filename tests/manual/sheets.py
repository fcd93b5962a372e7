"""Sheets in a real browser, opened from a disk: building them, and working on them as a person does."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from fractions import Fraction
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, sync_playwright

from procgen import flow

CHROMIUM = Path("/usr/bin/chromium")
DAY = date(2026, 11, 1)


def build(library: Path, out: Path) -> Path:
    """Build the manual of a library. Gives its folder."""
    assert flow.build(library, out, on=DAY, draft=True).written
    return out


@contextmanager
def bench(profile: Path) -> Iterator[BrowserContext]:
    """A browser that keeps what it is given in a folder, as one on a tablet does."""
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=str(CHROMIUM),
            args=["--no-sandbox", "--disable-gpu"],
            accept_downloads=True,
            viewport={"width": 1280, "height": 900},
        )
        yield context
        context.close()


def opened(context: BrowserContext, file: Path) -> Page:
    """A page from a disk. What it complains about fails the test."""
    page = context.new_page()
    page.on("pageerror", _fail)
    page.goto(file.as_uri())
    return page


def _fail(error: Exception) -> None:
    raise AssertionError(str(error))


def step(number: str) -> str:
    """The selector of a step."""
    return f'[id="s{number}"]'


def tick(page: Page, number: str) -> None:
    """Tick every box of a step."""
    for box in page.locator(f"{step(number)} > .step-number input").all():
        box.check()


def complete(page: Page, number: str) -> None:
    """Fill in every box of a step, all good, and tick it."""
    own = page.locator(step(number))
    for verdict in own.locator(":scope > .step-body .verdict input[value=true]").all():
        verdict.check()
    for box in own.locator(":scope > .step-side .reading").all():
        for field in box.locator("input").all():
            field.fill(_inside(box.get_attribute("data-scale") or ""))
    for field in own.locator(":scope > .step-side .run-down input").all():
        field.fill("4")
    for field in own.locator(":scope > .step-body [data-written]").all():
        field.fill("All as it should be")
    for place, field in enumerate(own.locator(":scope > .step-side [data-role]").all()):
        field.fill("AB"[place] + ". Person")
    tick(page, number)


def _inside(scale: str) -> str:
    """A reading inside the limits of a scale: "mm 5 7|in 25/127 35/127"."""
    if not scale:
        return "1 mm"
    _, low, high = scale.split("|", maxsplit=1)[0].split(" ")
    ends = [Fraction(end) for end in (low, high) if end != "-"]
    return f"{float(sum(ends) / len(ends)):g}"


def next_step(page: Page) -> str:
    """Number of the step that the sheet says is next; empty where none is."""
    found = page.locator(".step.is-next")
    return (found.first.get_attribute("id") or "").removeprefix("s") if found.count() else ""
