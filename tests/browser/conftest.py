"""A real Chromium for pages: found on the machine, or the tests skip and say why.

``SPREADLOAD_REQUIRE_BROWSER=1`` turns a missing browser into a failure; ``SPREADLOAD_BROWSER``
names one that is not on the path.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn
from unicodedata import normalize

import pytest

from spreadload.app import planning
from spreadload.app import sheet as app_sheet
from spreadload.explain.sheet import Sheet
from spreadload.report.sheet import sheet_html

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"
JOBS = {
    path.name: path
    for folder in (ROOT / "scenarios", Path(__file__).parent / "jobs")
    for path in sorted(folder.iterdir())
    if path.is_dir()
}
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

    with sync_playwright() as playwright:
        arguments = ["--no-sandbox", "--disable-gpu", "--disable-quic"]
        path = browser_path(Path(playwright.chromium.executable_path))
        if path is None:
            _missing("no Chromium on this machine")
        found = playwright.chromium.launch(executable_path=path, args=arguments)
        yield found
        found.close()


def browser_path(playwrights_own: Path) -> str | None:
    """Return the browser named, the machine's, or the one that playwright installed for itself."""
    named = os.environ.get("SPREADLOAD_BROWSER")
    own = str(playwrights_own) if playwrights_own.exists() else None
    return named or next(filter(None, map(shutil.which, _NAMES)), None) or own


@pytest.fixture
def context(browser: "Browser") -> "Iterator[BrowserContext]":
    """A phone, 360 px wide, that remembers nothing."""
    found = browser.new_context(
        viewport={"width": 360, "height": 740}, accept_downloads=True, timezone_id="Etc/UTC"
    )
    found.set_default_timeout(15_000)
    # Before any set-up: a page opens on the one that runs by the clock, else on the next.
    found.clock.set_fixed_time(_MADE)
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


def sheet_of(scenario: str, **changes: object) -> Sheet:
    """Return the sheet of a shipped scenario, or of a job made up for these tests.

    Args:
        scenario: Its name.
        changes: Top-level entries of the job to replace.
    """
    job = planning.load_job(JOBS[scenario])
    plan = planning.load_plan(PLANS / f"{scenario}.json", job).plan
    job = job.model_copy(update=changes)
    told = app_sheet.sheet_of(job, plan, now=_MADE)
    assert told.sheet is not None
    return told.sheet


@cache
def page_of(scenario: str) -> str:
    """Return the page of a scenario, made once."""
    return sheet_html(sheet_of(scenario))


@pytest.fixture(scope="session")
def sheet_page() -> Callable[[str], str]:
    """Returns the page of a scenario, made once."""
    return page_of


@pytest.fixture(scope="session")
def flagged_page() -> str:
    """The page of the first job with a red flag that nobody has cleared."""
    return sheet_html(sheet_of("first_job", red_flags=("scorched plate",)))


def printed_pages(page: "Page", paper: str) -> list[str]:
    """Return the text of every page as printed."""
    from pypdf import PdfReader  # noqa: PLC0415 - with the browser only

    reader = PdfReader(BytesIO(page.pdf(format=paper, print_background=False)))
    # Fonts join letters such as f and l; taken apart they can be searched.
    texts = (normalize("NFKC", each.extract_text()) for each in reader.pages)
    return [" ".join(text.split()) for text in texts]


@pytest.fixture(scope="session")
def print_out() -> "Callable[[Page, str], list[str]]":
    """Returns the text of every page as printed on a paper."""
    return printed_pages


@dataclass
class Seen:
    """What one look at a page showed, on a phone and on paper.

    Attributes:
        widths: How wide the page is, by tab and width of the phone [px].
        printed: Text of every printed page, by paper.
        sizes: Least letter on the power plan and the letter of its map labels, by paper [pt].
        overlaps: Labels and marks of the printed map that lie on each other or over its edge.
        asked: What the page asked of a network.
        complaints: What the browser had to say.
    """

    widths: dict[tuple[str, int], int] = field(default_factory=dict)
    printed: dict[str, list[str]] = field(default_factory=dict)
    sizes: dict[str, Any] = field(default_factory=dict)
    overlaps: list[Any] = field(default_factory=list)
    has_overflow: bool = False
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


TABS = ("now", "trip", "map", "plan", "lists")
PHONES = (320, 360)
# A4 and Letter at 96 px an inch.
PAPERS = {"A4": (794, 1123), "Letter": (816, 1056)}

_WIDTH = """(tab) => {
    document.querySelector(`[data-tab="${tab}"]`).click();
    return document.documentElement.scrollWidth;
}"""

_SIZES = """() => {
    const points = (each) => parseFloat(getComputedStyle(each).fontSize) * 0.75;
    const paper = document.getElementById("paper");
    const texts = document.createTreeWalker(paper, NodeFilter.SHOW_TEXT);
    let least = 99;
    while (texts.nextNode()) {
        const each = texts.currentNode.parentElement;
        if (texts.currentNode.data.trim() && each.getClientRects().length)
            least = Math.min(least, points(each));
    }
    const big = [...paper.querySelectorAll(".p-outlet > b:first-child, .p-amps")].map(points);
    const maps = [...document.querySelectorAll(".map-page svg[role=img]")].map((svg) => {
        const box = svg.viewBox.baseVal;
        return 12 * 0.75 * Math.min(svg.clientWidth / box.width, svg.clientHeight / box.height);
    });
    return { least, text: points(paper), outlets: Math.min(99, ...big), map: Math.min(...maps) };
}"""

_OVERLAPS = """() => {
    const found = [];
    for (const svg of document.querySelectorAll(".map-page svg[role=img]")) {
        const things = [...svg.querySelectorAll("text.label, text.room-name, g.outlet")];
        const boxes = things.map((each) => [each.textContent, each.getBBox()]);
        for (const [n, [name, a]] of boxes.entries())
            for (const [other, b] of boxes.slice(n + 1))
                if (a.x + 1 < b.x + b.width && b.x + 1 < a.x + a.width
                    && a.y + 1 < b.y + b.height && b.y + 1 < a.y + a.height)
                    found.push([name, other]);
        const view = svg.viewBox.baseVal;
        for (const [name, a] of boxes)
            if (a.x < view.x || a.y < view.y || a.x + a.width > view.x + view.width
                || a.y + a.height > view.y + view.height) found.push([name, "the edge"]);
    }
    return found;
}"""


def look(browser: "Browser", path: Path) -> Seen:
    """Open a page once and see everything about it that needs no tap."""
    seen = Seen()
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.on("request", lambda request: seen.asked.append(request.url))
    page.on("console", lambda said: seen.complaints.append(said.text))
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.goto(path.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    for phone in PHONES:
        page.set_viewport_size({"width": phone, "height": 740})
        for tab in TABS:
            seen.widths[tab, phone] = page.evaluate(_WIDTH, tab)
    seen.has_overflow = page.evaluate("!document.getElementById('paper-more').hidden")
    seen.printed = {paper: printed_pages(page, paper) for paper in PAPERS}
    page.emulate_media(media="print")
    for paper, (width, height) in PAPERS.items():
        page.set_viewport_size({"width": width, "height": height})
        seen.sizes[paper] = page.evaluate(_SIZES)
    seen.overlaps = page.evaluate(_OVERLAPS)
    context.close()
    return seen


@pytest.fixture(scope="session")
def seen(browser: "Browser", tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Seen]:
    """Returns what a scenario's page shows; each is looked at once."""
    folder = tmp_path_factory.mktemp("seen")

    @cache
    def look_at(scenario: str) -> Seen:
        path = folder / f"{scenario}.html"
        path.write_text(page_of(scenario), encoding="utf-8")
        return look(browser, path)

    return look_at
