"""A real Chromium for pages: found on the machine, or the tests skip and say why.

``SPREADLOAD_REQUIRE_BROWSER=1`` turns a missing browser into a failure; ``SPREADLOAD_BROWSER``
names one that is not on the path.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import pytest

from spreadload import app, app_sheet
from spreadload.explain.sheet import Sheet
from spreadload.report.sheet import sheet_html

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"
SCENARIOS = tuple(sorted(path.stem for path in PLANS.glob("*.json")))
_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
_MADE = datetime(2026, 11, 25, 6, 0, tzinfo=UTC)


def _missing(reason: str) -> NoReturn:
    if os.environ.get("SPREADLOAD_REQUIRE_BROWSER") == "1":
        pytest.fail(f"{reason}, and SPREADLOAD_REQUIRE_BROWSER=1 forbids to skip")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """A headless Chromium for all tests of this folder."""
    if find_spec("playwright") is None:
        _missing("playwright is not installed: pip install -e .[test]")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - may be missing

    named = os.environ.get("SPREADLOAD_BROWSER")
    path = named or next(filter(None, map(shutil.which, _NAMES)), None)
    if path is None:
        _missing("no Chromium on this machine")
    with sync_playwright() as playwright:
        arguments = ["--no-sandbox", "--disable-gpu", "--disable-quic"]
        found = playwright.chromium.launch(executable_path=path, args=arguments)
        yield found
        found.close()


@pytest.fixture
def context(browser: "Browser") -> "Iterator[BrowserContext]":
    """A phone, 360 px wide, that remembers nothing."""
    found = browser.new_context(viewport={"width": 360, "height": 740}, accept_downloads=True)
    found.set_default_timeout(15_000)
    yield found
    found.close()


@pytest.fixture
def open_page(context: "BrowserContext", tmp_path: Path) -> "Iterator[Callable[[str], Page]]":
    """Opens a page from a file; anything it asks of a network or complains of fails the test."""
    asked: list[str] = []
    complaints: list[str] = []

    def open_(html: str) -> "Page":
        path = tmp_path / "page.html"
        path.write_text(html, encoding="utf-8")
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda said: complaints.append(said.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(path.as_uri())
        return page

    yield open_
    outside = [url for url in asked if not url.startswith(("file:", "blob:"))]
    assert outside == []
    assert complaints == []


def sheet_of(scenario: str) -> Sheet:
    """Return the sheet of a shipped scenario and its kept plan."""
    job = app.load_job(ROOT / "scenarios" / scenario)
    plan = app.load_plan(PLANS / f"{scenario}.json", job).plan
    told = app_sheet.sheet_of(job, plan, now=_MADE)
    assert told.sheet is not None
    return told.sheet


@pytest.fixture(scope="session")
def sheet_page() -> Callable[[str], str]:
    """Returns the page of a scenario, made once."""
    made: dict[str, str] = {}

    def page(scenario: str) -> str:
        if scenario not in made:
            made[scenario] = sheet_html(sheet_of(scenario))
        return made[scenario]

    return page
