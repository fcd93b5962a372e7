"""Pictures of every kind of page, to look at: phone, tablet and desktop, by day, by night and at the bench.

    python -m tests.manual.look FOLDER [WORD]

Writes FOLDER/WIDTH-LIGHT-PAGE.png for every page whose path holds WORD, and builds the demo library's manual in
FOLDER/manual first. A picture is as high as its page, up to 6000 pixels.
"""

import sys
from datetime import date
from pathlib import Path

from playwright.sync_api import sync_playwright

from procgen.flow import build
from tests.manual.opened import CHROMIUM, ONE_OF_EACH

DEMO = Path(__file__).parents[2] / "procedures"
WIDTHS = {"phone": (390, 844), "tablet": (820, 1180), "desktop": (1440, 900)}
LIGHTS = ("day", "night", "bench")
HIGHEST = 6000


def look(folder: Path, word: str = "") -> int:
    """Write the pictures. Gives how many."""
    manual = folder / "manual"
    build(DEMO, manual, on=date(2026, 11, 1), draft=True)
    count = 0
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"])
        for name, (width, height) in WIDTHS.items():
            for light in LIGHTS:
                context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce")
                context.add_init_script(f"localStorage.setItem('manual-light', '{light}')")
                page = context.new_page()
                for path in (path for path in ONE_OF_EACH if word in path):
                    page.goto((manual / path).resolve().as_uri())
                    if path == "find.html":
                        page.keyboard.type("coolant pum")
                    high = min(page.evaluate("document.documentElement.scrollHeight"), HIGHEST)
                    page.set_viewport_size({"width": width, "height": high})
                    picture = f"{name}-{light}-{path.removesuffix('.html').replace('/', '-')}.png"
                    page.screenshot(path=folder / picture)
                    page.set_viewport_size({"width": width, "height": height})
                    count += 1
                context.close()
        browser.close()
    return count


if __name__ == "__main__":
    where = Path(sys.argv[1])
    where.mkdir(parents=True, exist_ok=True)
    sys.stdout.write(f"{look(where, *sys.argv[2:3])} pictures in {where}\n")
