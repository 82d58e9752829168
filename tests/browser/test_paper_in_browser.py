"""Every shipped scenario on a phone and on paper: alone, narrow, readable, nothing hidden."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from spreadload import app, practice

pytestmark = [pytest.mark.browser, pytest.mark.slow]

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"
SCENARIOS = tuple(sorted(path.name for path in (ROOT / "scenarios").iterdir() if path.is_dir()))
OVERFLOWS = frozenset({"community_hall"})
MOST_BYTES = 1_500_000
CUSTOMARY = {"US": "Letter", "CA": "Letter"}

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
    region = app.load_job(ROOT / "scenarios" / scenario).region
    first = seen(scenario).printed["A4"][0]
    for caution in practice.cautions(region):
        if caution.when in ("always", "before use", "leads"):
            assert caution.text in first
    assert "Must be off" in first
    assert "Must stay on" in first


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_paper_is_read_at_arms_length(scenario: str, seen: Look) -> None:
    """On the region's own paper nothing is below 8.5 pt, outlets and amps 9 pt, map labels 8 pt."""
    region = app.load_job(ROOT / "scenarios" / scenario).region
    sizes = seen(scenario).sizes[CUSTOMARY.get(region, "A4")]
    assert sizes["least"] >= 8.49
    assert sizes["outlets"] >= 9.0
    assert sizes["map"] >= 8.0


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
    assert "http:" not in html
    assert "https:" not in html


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_kept_plans_are_of_the_jobs_as_they_are(scenario: str) -> None:
    """A plan kept for these tests was made from today's scenario and holds."""
    job = app.load_job(ROOT / "scenarios" / scenario)
    loaded = app.load_plan(PLANS / f"{scenario}.json", job)
    assert loaded.warnings == ()
