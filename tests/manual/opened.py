"""The demo manual opened in a real browser."""

from pathlib import Path

from playwright.sync_api import Browser, ConsoleMessage, Page

CHROMIUM = Path("/usr/bin/chromium")
ONE_OF_EACH = (
    "index.html",
    "machine/m40.html",
    "assembly/m40/timing.html",
    "machine/m40/timing-belt.html",
    "machine/m40/pump-bolts.html",
    "machine/m40/belt-deflection.html",
    "procedure/renew-coolant-pump.html",
    "sheet/renew-coolant-pump.html",
    "job/launch-two-belt.html",
    "torque/m40.html",
    "torque-calculator.html",
    "fleet.html",
    "individual/launch-two.html",
    "visits/launch-two.html",
    "tools.html",
    "tool/angle-gauge.html",
    "parts.html",
    "part/pump-gasket.html",
    "notices.html",
    "notice/scald.html",
    "sources.html",
    "source/maker-3.html",
    "words.html",
    "find.html",
    "report.html",
)
"""A page of every type."""


def open_page(
    browser: Browser, url: str, *, width: int = 1280, light: str = "", javascript: bool = True, still: bool = False
) -> Page:
    """A page in a browser of its own; what the console says while it loads fails the test. still: nothing glides."""
    context = browser.new_context(
        viewport={"width": width, "height": 900},
        java_script_enabled=javascript,
        reduced_motion="reduce" if still else "no-preference",
    )
    if light:
        context.add_init_script(f"localStorage.setItem('manual-light', '{light}')")
    page = context.new_page()
    said: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        said.append(message.text)

    page.on("console", hear)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(url)
    assert said == []
    return page
