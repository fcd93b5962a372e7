"""One browser, and one demo manual on a disk, for all that look at it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from procgen.manual.site import pages
from procgen.output.write import write_site
from tests.manual.built import site_of
from tests.manual.opened import CHROMIUM

DEMO = Path(__file__).parents[2] / "procedures"


@pytest.fixture(scope="package")
def site(tmp_path_factory: pytest.TempPathFactory) -> str:
    out = tmp_path_factory.mktemp("a manual") / "on a stick"
    write_site(pages(replace(site_of(DEMO), on=date(2026, 11, 1))), out, DEMO)
    return out.as_uri() + "/"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium here")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        yield opened
        opened.close()
