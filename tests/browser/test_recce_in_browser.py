"""The recce form in a real browser: filled in by taps, saved, and planned from."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unicodedata import normalize

import pytest
from typer.testing import CliRunner

from spreadload.app import planning
from spreadload.app import sheet as app_sheet
from spreadload.cli import cli
from spreadload.errors import ExitCode, InputError
from spreadload.job.site import HowKnown, RoomUse
from spreadload.practice import region_ids

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Open = Callable[[str], "Page"]

# An invented house, as somebody would tap it in: section, then one dictionary per entry.
HOUSE: dict[str, list[dict[str, str]]] = {
    "rcds": [{"RCD": "RCD1", "trips at mA": "30"}],
    "circuits": [
        {"way": "P1", "words on the label": "FRONT “old”", "breaker A": "16", "RCD": "RCD1"},
        {"way": "P2", "words on the label": "POINTS back: new", "breaker A": "20", "RCD": "RCD1"},
        {"way": "LT", "words on the label": "LIGHTS", "breaker A": "10", "feeds": "lighting"},
    ],
    "rooms": [
        {"room": "front room", "used as": "living"},
        {"room": "kitchen", "used as": "kitchen"},
        {"room": "no", "used as": "bedroom", "floor": "1"},
    ],
    "outlets": [
        {"outlet": "A1", "room": "front room", "x, y in metres": "0, 3", "sockets": "2",
         "circuit": "P1", "how known": "tested"},
        {"outlet": "A2", "room": "front room", "x, y in metres": "4,5 1", "sockets": "2",
         "circuit": "P2", "how known": "told"},
        {"outlet": "A3", "room": "kitchen", "x, y in metres": "7; 2", "sockets": "2",
         "circuit": "P2", "how known": "tested"},
        {"outlet": "A4", "room": "no", "sockets": "1", "circuit": "P1", "how known": "guessed"},
    ],
    "places": [{"place": "window", "room": "front room", "x, y in metres": "-1, 3"}],
    "house": [{"load": "fridge", "kind": "motor", "watts on the plate": "150",
               "room": "kitchen", "agreed": "must stay on"}],
    "departments": [{"load": "kettle", "department": "catering", "kind": "heater",
                     "watts on the plate": "2200", "room": "kitchen"}],
    "heads": [
        {"head": "daylight", "what": "discharge head 1200 W", "kind": "discharge",
         "watts on the plate": "1350", "power factor": "0,98", "how many": "1"},
        {"head": "soft", "kind": "led", "watts on the plate": "350", "how many": "2"},
    ],
    "leads": [{"metres": "10", "mm²": "1.5", "how many": "6"}],
    "setups": [
        {"what is shot": "wide", "from": "09:00", "to": "12:00"},
        {"what is shot": "close", "from": "13:00", "to": "15:00"},
    ],
}  # fmt: skip


# Another, on split-phase, with leads in feet and ways of two poles.
CABIN: dict[str, list[dict[str, str]]] = {
    "circuits": [
        {"way": "1", "words on the label": "GREAT ROOM", "breaker A": "15", "phase": "A"},
        {"way": "2", "words on the label": "KITCHEN", "breaker A": "20", "phase": "B",
         "we may use it": "last resort"},
        {"way": "3", "words on the label": "BEDROOMS UP", "breaker A": "15", "phase": "B"},
        {"way": "4-6", "words on the label": "RANGE", "breaker A": "40", "phase": "AB",
         "feeds": "cooking"},
    ],
    "rooms": [
        {"room": "great room", "used as": "living"},
        {"room": "loft", "used as": "bedroom", "floor": "1"},
    ],
    "outlets": [
        {"outlet": "G1", "room": "great room", "x, y in feet": "0, 0", "sockets": "2",
         "circuit": "1", "how known": "tested"},
        {"outlet": "G2", "room": "great room", "x, y in feet": "20, 0", "sockets": "2"},
        {"outlet": "U1", "room": "loft", "x, y in feet": "7, 10", "sockets": "2",
         "circuit": "3", "how known": "labelled"},
    ],
    "places": [{"place": "hearth", "room": "great room", "x, y in feet": "10, 13"}],
    "heads": [
        {"head": "panel", "kind": "led", "watts on the plate": "300", "how many": "4"},
    ],
    "leads": [{"feet": "50", "gauge": "12", "how many": "6"}],
    "setups": [{"what is shot": "fireside", "from": "18:00", "to": "22:00"}],
}  # fmt: skip


def fill_sections(page: "Page", house: dict[str, list[dict[str, str]]]) -> None:
    """Add every entry of a house to its section."""
    for section, entries in house.items():
        part = page.locator(f'[data-section="{section}"]')
        part.locator("summary").click()
        for number, entry in enumerate(entries):
            part.locator(f'[data-add="{section}"]').click()
            row = part.locator("ol.rows > li").nth(number)
            for label, text in entry.items():
                put(row, label, text)


def fill(page: "Page") -> None:
    """Fill the form in, section by section."""
    page.get_by_label("place and scene").fill("Invented house: by the sea # 3")
    page.get_by_label("owner, phone").fill('Mr O"Hara')
    page.get_by_label("service fuse or main breaker A").fill("63")
    page.get_by_label("who says so, or where it is marked").fill("fuse marked on the meter box")
    fill_sections(page, HOUSE)
    setups = page.locator('[data-section="setups"] ol.rows > li')
    light(setups.nth(0), [("daylight", "window", "1"), ("soft", "front room", "2")])
    light(setups.nth(1), [("soft", "A1", "1")])
    setups.nth(1).get_by_label("kettle").check()
    page.get_by_label("damp").check()


def put(row: Any, label: str, text: str) -> None:  # noqa: ANN401 - a locator
    """Put text into the control with a label, or choose it."""
    control = row.get_by_label(label, exact=True).or_(
        row.locator("label", has_text=label).locator("input, select")
    )
    control = control.first
    if control.evaluate("each => each.tagName") == "SELECT":
        control.select_option(text)
    else:
        control.fill(text)
        control.dispatch_event("change")


def light(row: Any, heads: list[tuple[str, str, str]]) -> None:  # noqa: ANN401 - a locator
    """Say which heads are lit together and where."""
    for number, (head, place, count) in enumerate(heads, start=1):
        row.locator('[data-add="lit"]').click()
        row.get_by_label(f"head {number}", exact=True).select_option(head)
        row.get_by_label(f"place of head {number}").select_option(place)
        row.get_by_label(f"how many of head {number}").fill(count)


def save(page: "Page", path: Path) -> None:
    """Save the form as a job file."""
    with page.expect_download() as download:
        page.click("#save")
    download.value.save_as(path)


def test_a_form_filled_in_on_a_phone_is_a_job_that_plans(open_page: Open, tmp_path: Path) -> None:
    """An invented house goes from taps to a file to a plan without anybody typing YAML."""
    page = open_page(app_sheet.recce_of("AU").html())
    fill(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert "electrician" in page.inner_text("#flags-said")
    path = tmp_path / "job.yaml"
    save(page, path)
    job = planning.load_job(path)
    assert job.title == "Invented house: by the sea # 3"
    assert job.circuits["P1"].label == "FRONT “old”"
    assert job.outlets["A2"].at == (4.5, 1.0)
    assert job.outlets["A4"].known is HowKnown.GUESSED
    assert job.rooms["no"].use is RoomUse.BEDROOM
    assert 'owner, phone: Mr O"Hara' in job.note
    assert job.red_flags == ("damp",)
    assert job.setups[0].heads == {"daylight": {"window": 1}, "soft": {"front room": 2}}
    told = planning.plan_job(job, planning.SolverConfig(time_limit_s=5, alternatives=0))
    assert told.exit_code is ExitCode.HOLDS
    assert told.plan is not None
    assert len(told.plan.placements) == 3 + 1 + 2 + 1  # heads, kettle, and the fridge twice


def test_a_cabin_on_split_phase_goes_from_taps_to_the_command_line(
    open_page: Open, tmp_path: Path
) -> None:
    """Feet, two legs, a way of two poles and an outlet nobody knows: ``plan`` and ``sheet`` run."""
    page = open_page(app_sheet.recce_of("US").html())
    page.get_by_label("place and scene").fill("Cabin, fireside")
    page.get_by_label("system", exact=True).select_option("split-phase")
    page.get_by_label("service fuse or main breaker A").fill("100")
    fill_sections(page, CABIN)
    setup = page.locator('[data-section="setups"] ol.rows > li').first
    light(setup, [("panel", "hearth", "4")])
    path = tmp_path / "job.yaml"
    save(page, path)
    job = planning.load_job(path)
    assert job.circuits["4-6"].phase == "AB"
    assert job.outlets["G2"].circuit is None
    assert job.leads[0].length_ft == 50
    assert job.outlets["G2"].at_ft == (20.0, 0.0)
    kept, sheet = tmp_path / "plan.json", tmp_path / "sheet.html"
    for words in (
        ["plan", str(path), "--save", str(kept), "--time-limit", "5"],
        ["sheet", str(path), "--plan", str(kept), "--out", str(sheet)],
    ):
        assert CliRunner().invoke(cli, words, prog_name="spreadload").exit_code == 0
    assert "Cabin, fireside" in sheet.read_text(encoding="utf-8")


@pytest.mark.parametrize("watts", ["1,450", "1.450"])
def test_a_sign_between_thousands_is_not_saved_as_a_decimal_point(
    watts: str, open_page: Open, tmp_path: Path
) -> None:
    """Saved as 1.45 W a large head would fit anywhere: it is saved as typed, and ``plan`` asks."""
    page = open_page(app_sheet.recce_of("US").html())
    heads = [{"head": "panel", "kind": "led", "watts on the plate": watts, "how many": "1"}]
    fill_sections(page, CABIN | {"heads": heads})
    light(page.locator('[data-section="setups"] ol.rows > li').first, [("panel", "hearth", "1")])
    path = tmp_path / "job.yaml"
    save(page, path)
    with pytest.raises(InputError) as refused:
        planning.load_job(path)
    (fault,) = (f for f in refused.value.faults if f.key == "heads.panel.plate_w")
    assert "write 1450" in fault.remedy


def test_a_reload_brings_the_form_back_and_an_empty_one_is_not_called_a_job(
    open_page: Open, tmp_path: Path
) -> None:
    """What was filled in is still there after the phone slept; missing parts are named."""
    page = open_page(app_sheet.recce_of("NZ").html())
    page.get_by_label("service fuse or main breaker A").fill("40")
    page.reload()
    assert page.get_by_label("service fuse or main breaker A").input_value() == "40"
    path = tmp_path / "job.yaml"
    save(page, path)
    missing = page.inner_text("#missing")
    assert "no way of the board yet" in missing
    with pytest.raises(InputError) as refused:
        planning.load_job(path)
    assert {fault.key for fault in refused.value.faults} >= {"circuits", "setups"}


def test_a_number_that_is_none_is_named_before_the_tool_sees_it(open_page: Open) -> None:
    """Sixteen in letters is pointed out with the way it stands at."""
    page = open_page(app_sheet.recce_of("AU").html())
    part = page.locator('[data-section="circuits"]')
    part.locator("summary").click()
    part.locator('[data-add="circuits"]').click()
    part.get_by_label("breaker A", exact=True).fill("sixteen")
    with page.expect_download():
        page.click("#save")
    assert "“sixteen” is no number (breaker A)" in page.inner_text("#missing")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_form_keeps_the_rules_of_accessibility(scheme: str, open_page: Open) -> None:
    """No rule of axe-core is broken with every section open; in the dark only contrast differs."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415 - with the browser only

    page = open_page(app_sheet.recce_of("AU").html())
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    for add in page.query_selector_all("[data-add]:not([data-add='lit'])"):
        add.evaluate("each => { each.closest('details').open = true; each.click(); }")
    page.locator('[data-add="lit"]').first.click()
    options = {"runOnly": ["color-contrast"]} if scheme == "dark" else {}
    found = Axe().run(page, options=options)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("region", region_ids())
def test_the_blank_sheet_prints_in_every_region(region: str, open_page: Open) -> None:
    """Printed, the form is a blank sheet of a few pages with every part of the recce on it."""
    from pypdf import PdfReader  # noqa: PLC0415 - with the browser only

    page = open_page(app_sheet.recce_of(region).html())
    reader = PdfReader(BytesIO(page.pdf(format="Letter" if region == "US" else "A4")))
    text = normalize("NFKC", " ".join(each.extract_text() for each in reader.pages))
    assert 3 <= len(reader.pages) <= 5
    for part in ("Supply", "Board, way by way", "Outlets", "Volts", "Openings", "Red flags"):
        assert part in text
    assert "Save job.yaml" not in text
