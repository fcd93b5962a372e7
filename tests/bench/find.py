"""How long a key takes in Find, in Chromium, on a library of many procedures.

    python -m tests.bench.find [PROCEDURES]

Types queries letter by letter. A key's time runs from its event to the layout of the list that it brought.
"""

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from procgen.manual import find
from procgen.manual.book import book
from procgen.output.write import write_site
from tests.bench.make_library import make
from tests.manual.built import site_of

QUERIES = ("procedure 512", "part 0 1", "bolts of part", "M10 44 N·m", "colth", "gascet", "measre", "torque wrench")
TIMED = """(word) => {
    const box = document.getElementById('wanted'), times = [];
    for (let end = 1; end <= word.length; end += 1) {
        box.value = word.slice(0, end);
        const start = performance.now();
        box.dispatchEvent(new Event('input'));
        document.getElementById('found').getBoundingClientRect();
        times.push(performance.now() - start);
    }
    return times;
}"""


def measure(procedures: int) -> None:
    """Print the weight of the index, the time until Find is ready, and the slowest and the middle key."""
    with tempfile.TemporaryDirectory() as folder:
        library, out = Path(folder) / "library", Path(folder) / "site"
        make(library, procedures)
        site = site_of(library)
        write_site((*find.pages(book(site)), *site.theme.pages()), out, library)
        weight = (out / "find-index.js").stat().st_size
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
            )
            page = browser.new_page()
            page.goto((out / "find.html").as_uri())
            ready = page.evaluate("performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd")
            times = sorted(each for query in QUERIES for each in page.evaluate(TIMED, query))
            browser.close()
    sys.stdout.write(f"{procedures} procedures: the index weighs {weight / 1000:.0f} kB, ready after {ready:.0f} ms\n")
    sys.stdout.write(f"a key: {times[len(times) // 2]:.1f} ms in the middle, {times[-1]:.1f} ms at worst\n")


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
