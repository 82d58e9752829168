"""Shipped and made-up jobs on a phone and on paper: alone, narrow, readable, nothing hidden."""

import csv
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from spreadload import practice
from spreadload.app import planning
from spreadload.app import sheet as app_sheet

pytestmark = [pytest.mark.browser, pytest.mark.slow]

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"
JOBS = {
    path.name: path
    for folder in (ROOT / "scenarios", Path(__file__).parent / "jobs")
    for path in sorted(folder.iterdir())
    if path.is_dir()
}
SCENARIOS = tuple(JOBS)
OVERFLOWS = frozenset({"community_hall"})
MOST_BYTES = 1_500_000

Look = Callable[[str], Any]


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_every_scenario_opens_alone(scenario: str, seen: Look) -> None:
    """No request leaves the page and the browser complains of nothing."""
    assert [url for url in seen(scenario).asked if not url.startswith("file:")] == []
    assert seen(scenario).complaints == []


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_every_scenario_fits_a_phone(scenario: str, seen: Look) -> None:
    """With everything unfolded no tab scrolls sideways, on phones of 360 and of 320 px."""
    wide = {at: width for at, width in seen(scenario).widths.items() if width > at[1]}
    assert wide == {}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_paper_is_one_page_and_a_map(scenario: str, paper: str, seen: Look) -> None:
    """The plan prints on one page and the map on a second; only the hall has a stated overflow."""
    printed = seen(scenario).printed[paper]
    overflow = seen(scenario).has_overflow
    assert overflow == (scenario in OVERFLOWS)
    assert len(printed) == 2 + overflow
    assert "responsible person" in printed[0]
    assert "Map, leads of" in printed[-1]
    if overflow:
        assert "Continued on the overflow page: moves between set-ups" in printed[0]
        assert "overflow page" in printed[1]


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_cautions_and_what_must_be_off_never_overflow(scenario: str, seen: Look) -> None:
    """Every caution of the region, what must be off and what must stay on are on the first page."""
    region = planning.load_job(JOBS[scenario]).region
    # Where a line ends at a hyphen the extracted text has a space that nobody wrote.
    first = "".join(seen(scenario).printed["A4"][0].split())
    for caution in practice.cautions(region):
        if caution.when in ("always", "before use", "leads"):
            assert "".join(caution.text.split()) in first
    assert "Mustbeoff" in first
    assert "Muststayon" in first


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_paper_is_read_at_arms_length(scenario: str, paper: str, seen: Look) -> None:
    """On both papers running text is 9 pt or more, outlets and amps larger, nothing below 8.5."""
    sizes = seen(scenario).sizes[paper]
    assert sizes["least"] >= 8.49
    assert sizes["text"] >= 8.99
    assert sizes["outlets"] >= 9.8
    assert sizes["map"] >= 8.0


def test_moves_on_the_overflow_page_are_ticked_off_one_by_one(
    sheet_page: Callable[[str], str], open_page: Callable[[str], Any]
) -> None:
    """Where a second page is needed each move has a line and a box of its own."""
    page = open_page(sheet_page("community_hall"))
    page.emulate_media(media="print")
    tops = page.evaluate(
        "[...document.querySelectorAll('#paper-more .p-step')].map((each) => each.offsetTop)"
    )
    assert len(tops) > 20
    assert len(set(tops)) > len(tops) / 2
    box = "getComputedStyle(document.querySelector('#paper-more .p-step'), '::before').content"
    assert "☐" in page.evaluate(box)


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_nothing_on_the_map_lies_on_anything_else(scenario: str, seen: Look) -> None:
    """Measured with the letters of this machine, labels and marks are apart and inside the map."""
    assert seen(scenario).overlaps == []


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_the_file_is_small_and_carries_everything(
    scenario: str, sheet_page: Callable[[str], str]
) -> None:
    """The page stays under 1.5 MB and names nothing outside itself."""
    html = sheet_page(scenario)
    assert len(html.encode()) < MOST_BYTES
    asked = html.replace("http://x", "")  # the text of a made-up job, never a link
    assert "http:" not in asked
    assert "https:" not in asked


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_kept_plans_are_of_the_jobs_as_they_are(scenario: str) -> None:
    """A plan kept for these tests was made from today's scenario and holds."""
    job = planning.load_job(JOBS[scenario])
    loaded = planning.load_plan(PLANS / f"{scenario}.json", job)
    assert loaded.warnings == ()


def test_hostile_names_are_on_paper_as_text(seen: Look) -> None:
    """Markup, formulas and turned text of a job are printed as they are written."""
    first = seen("hostile_flat").printed["A4"][0]
    assert "<script>alert('x')</script>" in first
    assert "@cmd|calc" in first
    assert '=HYPERLINK("http://x")' in first


def test_lists_of_hostile_names_hold_no_formula() -> None:
    """No cell of any list starts as a spreadsheet's formula does."""
    job = planning.load_job(JOBS["hostile_flat"])
    plan = planning.load_plan(PLANS / "hostile_flat.json", job).plan
    hostile_lists = app_sheet.sheet_of(job, plan).lists()
    for name, text in hostile_lists.items():
        cells = [cell for line in csv.reader(StringIO(text)) for cell in line]
        assert not [cell for cell in cells if cell[:1] in set("=+-@\t\r\n")], name
    assert any("'=2+5" in text for text in hostile_lists.values())


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_the_map_says_where_board_and_meter_are_or_that_nobody_said(
    scenario: str, seen: Look
) -> None:
    """The key explains the board's mark, or says that the job names no place for it."""
    job = planning.load_job(JOBS[scenario])
    is_stated = job.supply.board_at is not None
    for paper in ("A4", "Letter"):
        words = " ".join(seen(scenario).printed[paper][-1].split())
        assert ("board and meter: place not stated" in words) != is_stated
        assert "board, meter, key: where" in seen(scenario).printed[paper][0]
