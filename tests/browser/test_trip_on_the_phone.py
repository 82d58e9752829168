"""A trip on the phone: what is tapped dark or lit, what it blames, the log that it keeps."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from spreadload.app import planning
from spreadload.cli import cli
from spreadload.derived.facts import Facts
from spreadload.explain.sheet.possible import possible_wirings
from spreadload.io.log_file import load_log
from spreadload.job.observations import Seen

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Open = Callable[[str], "Page"]
Made = Callable[[str], str]
ROOT = Path(__file__).parents[2]


def save_log(page: "Page", path: Path) -> None:
    """Save what was tapped as a log file."""
    with page.expect_download() as download:
        page.click("#save-log")
    download.value.save_as(path)


def run(*words: str) -> tuple[int, str]:
    """Run the command line; return its exit code and what it printed."""
    result = CliRunner().invoke(cli, list(words), prog_name="spreadload")
    return result.exit_code, " ".join(result.stdout.split())


def test_a_trip_narrows_undoes_and_is_kept_as_a_log_the_tool_reads(
    sheet_page: Made, open_page: Open, tmp_path: Path
) -> None:
    """Dark and still-on taps leave one breaker; what is saved is a log without faults."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU2"]')
    page.click('[data-tab="trip"]')
    page.click('[data-tap="A8 dark"]')
    assert page.locator(".suspect").count() == 2  # its breaker, or the RCD before it
    page.click('[data-tap="A1 dark"]')
    assert "RCD1" in page.inner_text("#trip-said h3")
    page.click("#undo")
    page.click('[data-tap="A1 on"]')
    assert page.locator(".suspect").count() == 1
    assert "P2" in page.inner_text("#trip-said h3")
    assert "First move:" in page.inner_text("#trip-said")
    page.select_option("#trip-device", label="P2 “PLUGS / KIT”")
    page.fill("#who", 'best boy: "Jo" # 1')
    page.click("#keep")
    with page.expect_download() as download:
        page.click("#save-log")
    path = tmp_path / "log.yaml"
    download.value.save_as(path)
    log = load_log(path, planning.load_job(ROOT / "scenarios/bungalow"))
    (seen,) = log.observations
    assert seen.what is Seen.TRIP
    assert (seen.circuits, seen.dark, seen.still_on) == (("P2",), ("A8",), ("A1",))
    assert seen.who == 'best boy: "Jo" # 1'


def test_a_night_on_the_phone_ends_in_the_log_of_the_job(
    sheet_page: Made, open_page: Open, tmp_path: Path
) -> None:
    """Set-up, head off, question, trip, undo, save; the tool merges it and knows more of the house.

    The wiring is unknown before: what the phone calls possible is what the tool then teaches.
    """
    page = open_page(sheet_page("family_house"))
    page.click('#tab-now [data-setup="SU2"]')
    page.locator("#ways .unit").first.click()
    page.select_option("#ask-outlet", "B5")
    page.fill("#ask-amps", "30")
    page.click("text=May I?")
    assert page.get_attribute("#ask-said", "data-says") == "no"
    page.click('[data-tab="trip"]')
    page.click('[data-tap="B19 dark"]')
    page.click('[data-tap="B11 dark"]')
    assert page.locator("#trip-device option", has_text="P4").count() == 1
    assert page.locator("#trip-device option", has_text="P2").count() == 0
    page.click("#undo")
    page.click('[data-tap="B11 on"]')
    offered = {each.inner_text() for each in page.locator("#trip-device option").all()}
    assert any(name.startswith("P2") for name in offered)
    assert not any(name.startswith("P4") for name in offered)
    page.select_option("#trip-device", label=next(n for n in offered if n.startswith("P2")))
    page.fill("#who", "best boy")
    page.click("#keep")
    save_log(page, tmp_path / "phone.yaml")

    folder = tmp_path / "job"
    shutil.copytree(ROOT / "scenarios/family_house", folder)
    code, said = run("note", str(folder), "--merge", str(tmp_path / "phone.yaml"))
    assert code == 0
    assert "trip P2: dark B19, lit B11 (best boy" in said
    assert "B19 on P2" in said
    log = load_log(folder / "log.yaml", planning.load_job(folder))
    facts = Facts.of(planning.load_job(folder), unknown="maps")
    number = possible_wirings(facts)["outlets"].index("B19") + 1
    on = {each[number] for each in possible_wirings(facts, log)["maps"]}
    assert [list(facts.circuits)[n] for n in on] == ["P2"]


def test_the_phone_and_the_tool_blame_the_same_breaker(sheet_page: Made, open_page: Open) -> None:
    """The same taps through the page and through ``trip`` name one device, wherever it is known."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU2"]')
    page.click('[data-tab="trip"]')
    plan = str(Path(__file__).parent / "plans/bungalow.json")
    for dark, lit in (("A8", "A1"), ("A1", "A8"), ("A2", "A9"), ("A12", "A2")):
        page.click(f'[data-tap="{dark} dark"]')
        page.click(f'[data-tap="{lit} on"]')
        (blamed,) = page.locator(".suspect h3").all()
        job = str(ROOT / "scenarios/bungalow")
        words = ("--plan", plan, "--setup", "SU2", "--dark", dark, "--lit", lit, "--json")
        result = CliRunner().invoke(cli, ["trip", job, *words], prog_name="spreadload")
        causes = json.loads(result.stdout)["causes"]
        assert blamed.inner_text().startswith(causes[0]["device"])
        page.click("#undo")
        page.click("#undo")


@pytest.mark.parametrize("size", [(360, 740), (320, 568)])
def test_undo_and_the_answer_stay_in_sight(
    size: tuple[int, int], sheet_page: Made, open_page: Open
) -> None:
    """However long the answer and however far down the tap, both are on the screen, thumb-high."""
    page = open_page(sheet_page("family_house"))
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.click('#tab-now [data-setup="SU2"]')
    page.click('[data-tab="trip"]')
    page.locator("#trip-used .tap-dark").last.click()
    for selector in ("#undo", ".suspect.first h3"):
        box = page.locator(selector).bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= size[1]
    page.click("#undo")
    assert page.locator(".suspect").count() == 0


def test_the_first_move_on_the_phone_is_the_one_on_paper(sheet_page: Made, open_page: Open) -> None:
    """What a trip shows first is what was prepared for that set-up and breaker."""
    page = open_page(sheet_page("bungalow"))
    page.click('#tab-now [data-setup="SU2"]')
    page.click('[data-tab="trip"]')
    page.click('[data-tap="A8 dark"]')
    page.click('[data-tap="A1 on"]')
    live = page.evaluate("JSON.parse(document.getElementById('live').textContent)")
    prepared = next(m for m in live["first_moves"] if (m["setup"], m["circuit"]) == ("SU2", "P2"))
    assert prepared["text"] in page.inner_text(".suspect.first")
    assert f"({prepared['before']} → {prepared['after']} A)" in page.inner_text(".suspect.first")
    page.click('[data-tab="plan"]')
    assert prepared["text"] in page.inner_text("#tab-plan")


def test_no_breaker_is_called_free_where_wiring_is_open(sheet_page: Made, open_page: Open) -> None:
    """GPO 1 has no sum of its own, and half of the house may hang on it."""
    page = open_page(sheet_page("family_house"))
    assert "Not known which" in page.inner_text("#tab-now")
    assert "Free:" not in page.inner_text("#tab-now")
    assert "Free:" in open_page(sheet_page("two_storey")).inner_text("#tab-now")


def test_an_unknown_house_is_narrowed_by_its_own_wirings(sheet_page: Made, open_page: Open) -> None:
    """Each tap can only rule out; what nothing explains is said to be so."""
    page = open_page(sheet_page("family_house"))
    page.click('#tab-now [data-setup="SU2"]')
    page.click('[data-tab="trip"]')
    page.click('[data-tap="B19 dark"]')
    first = page.locator("#trip-device option").count()
    assert "Look next at" in page.inner_text("#trip-said")
    page.click('[data-tap="B5 on"]')  # told: P2
    assert page.locator("#trip-device option").count() < first
    assert page.locator("#trip-device option", has_text="P2").count() == 0
    page.click('[data-tap="B11 dark"]')  # P4, and B19 with it
    page.click('[data-tap="B5 dark"]')  # P2: behind another RCD than P4
    assert "No single breaker or RCD" in page.inner_text("#trip-said")
