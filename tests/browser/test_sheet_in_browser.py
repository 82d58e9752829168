"""The sheet on a phone: heads tapped off and on, what may be plugged in, the map."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Open = Callable[[str], "Page"]
Made = Callable[[str], str]


def test_a_head_switched_off_is_followed_by_its_circuit_and_the_supply(
    sheet_page: Made, open_page: Open
) -> None:
    """Killing an 8.9 A head takes it off the way and the supply, and back on again."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU2"]')
    before = page.inner_text("#mains .meter-sum")
    unit = page.locator("#ways .unit", has_text="DH1800 #1")
    assert unit.get_attribute("aria-pressed") == "true"
    unit.click()
    assert (
        page.locator("#ways .unit", has_text="DH1800 #1").get_attribute("aria-pressed") == "false"
    )
    after = page.inner_text("#mains .meter-sum")
    lost_a = float(before.split(" of ")[0]) - float(after.split(" of ")[0])
    assert lost_a == pytest.approx(8.9, abs=0.11)
    assert "not what the plan says" in page.inner_text("#now-said")
    page.click("#reset")
    assert page.inner_text("#mains .meter-sum") == before


def test_a_way_says_what_comes_on_it_next(sheet_page: Made, open_page: Open) -> None:
    """Under every way stands what the next set-up puts there; the last set-up has no next."""
    page = open_page(sheet_page("first_job"))
    assert "Next, SU2: " in page.locator("#ways .way").first.inner_text()
    page.click('#tab-now [data-setup="SU2"]')
    assert page.locator("#ways .next").count() == 0


def test_what_was_tapped_survives_a_reload(sheet_page: Made, open_page: Open) -> None:
    """A phone that locks its screen loses nothing."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU3"]')
    page.locator("#ways .unit").first.click()
    page.reload()
    assert page.get_attribute('#tab-now [data-setup="SU3"]', "aria-pressed") == "true"
    assert page.locator("#ways .unit").first.get_attribute("aria-pressed") == "false"


def test_may_i_plug_in_says_yes_no_and_only_if(sheet_page: Made, open_page: Open) -> None:
    """A small plug may go in, a kettle may not, and one in between only if something is off."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU2"]')
    said = {}
    for amps in ("0.2", "30", "1,5"):
        page.select_option("#ask-outlet", "A4")
        page.fill("#ask-amps", amps)
        page.click("text=May I?")
        said[amps] = (page.get_attribute("#ask-said", "data-says"), page.inner_text("#ask-said"))
    assert said["0.2"][0] == "yes"
    assert said["30"][0] == "no"
    assert said["1,5"][0] == "if"
    assert "would carry 21.2 of 20.0 A" in said["1,5"][1]


def test_an_open_red_flag_comes_before_every_answer(open_page: Open, flagged_page: str) -> None:
    """No yes is a plain one on the phone either, and a no says it as well."""
    page = open_page(flagged_page)
    for amps in ("0.2", "30"):
        page.select_option("#ask-outlet", "O1")
        page.fill("#ask-amps", amps)
        page.click("text=May I?")
        assert "NOT READY while a red flag is open: scorched plate." in page.inner_text("#ask-said")
        assert page.get_attribute("#ask-said", "data-says") != "yes"
    page.fill("#ask-amps", "nothing")
    page.click("text=May I?")
    assert "NOT READY" not in page.inner_text("#ask-said")


@pytest.mark.parametrize(
    ("clock", "shown"),
    [
        ("06:00", "SU1"),
        ("09:00", "SU1"),
        ("11:59", "SU1"),
        ("12:30", "SU2"),
        ("14:00", "SU2"),
        ("15:00", "SU1"),
    ],
)
def test_the_page_opens_on_the_set_up_that_runs_or_comes_next(
    sheet_page: Made, open_page: Open, context: "BrowserContext", clock: str, shown: str
) -> None:
    """SU1 runs from 9 to 12, SU2 from 13 to 15; when the day is over the first one is shown."""
    context.clock.set_fixed_time(f"2026-11-25T{clock}:00Z")
    page = open_page(sheet_page("first_job"))
    assert page.get_attribute(f'#tab-now [data-setup="{shown}"]', "aria-pressed") == "true"


def test_a_set_up_picked_by_hand_stays_until_the_clock_reaches_another(
    sheet_page: Made, open_page: Open, context: "BrowserContext"
) -> None:
    """Who looks ahead is not sent back by opening the page again, nor left behind by lunch."""
    context.clock.set_fixed_time("2026-11-25T10:00:00Z")
    page = open_page(sheet_page("first_job"))
    page.click('#tab-now [data-setup="SU2"]')
    context.clock.set_fixed_time("2026-11-25T11:00:00Z")
    page.reload()
    assert page.get_attribute('#tab-now [data-setup="SU2"]', "aria-pressed") == "true"
    page.click('#tab-now [data-setup="SU1"]')
    context.clock.set_fixed_time("2026-11-25T14:00:00Z")
    page.reload()
    assert page.get_attribute('#tab-now [data-setup="SU2"]', "aria-pressed") == "true"


def test_a_plug_at_an_unknown_outlet_is_not_called_safe(sheet_page: Made, open_page: Open) -> None:
    """Where the answer hangs on wiring that nobody knows, the page says so."""
    page = open_page(sheet_page("family_house"))
    page.click('#tab-now [data-setup="SU2"]')
    page.select_option("#ask-outlet", "B7")
    page.fill("#ask-amps", "6")
    page.click("text=May I?")
    assert page.get_attribute("#ask-said", "data-says") == "unsure"


def test_the_map_follows_the_set_up_and_paper_keeps_its_own(
    sheet_page: Made, open_page: Open
) -> None:
    """Lead routes on the screen change with the set-up; the printed map shows the fullest one."""
    page = open_page(sheet_page("bungalow"))
    page.click('[data-tab="map"]')
    page.click('#tab-map [data-setup="SU4"]')
    shown = "#tab-map [data-route][data-shown]"
    routes = {each.get_attribute("data-route") for each in page.query_selector_all(shown)}
    assert routes == {"SU4"}
    paper = page.query_selector_all(".map-page [data-route][data-shown]")
    assert {each.get_attribute("data-route") for each in paper} == {"SU2"}
