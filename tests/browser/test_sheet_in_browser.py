"""The sheet in a real browser: alone, narrow, printed, tapped, hostile, accessible."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from typer.testing import CliRunner

from spreadload.app import planning
from spreadload.app import sheet as app_sheet
from spreadload.cli import cli
from spreadload.derived.facts import Facts
from spreadload.explain.sheet.possible import possible_wirings
from spreadload.io.log_file import load_log
from spreadload.job.observations import Seen
from spreadload.plan import Plan
from spreadload.report.sheet import sheet_html

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

ROOT = Path(__file__).parents[2]
RULES: dict[str, dict[str, Any]] = {"light": {}, "dark": {"runOnly": ["color-contrast"]}}
TABS = ("now", "trip", "map", "plan", "lists")

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


def save_log(page: "Page", path: Path) -> None:
    """Save what was tapped as a log file."""
    with page.expect_download() as download:
        page.click("#save-log")
    download.value.save_as(path)


def run(*words: str) -> tuple[int, str]:
    """Run the command line; return its exit code and what it printed."""
    result = CliRunner().invoke(cli, list(words), prog_name="spreadload")
    return result.exit_code, " ".join(result.stdout.split())


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


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_accessibility_rules_hold_on_every_tab(
    scheme: str, sheet_page: Made, open_page: Open
) -> None:
    """No rule of the axe-core engine is broken; in the dark, contrast is all that can differ."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415 - with the browser only

    page = open_page(sheet_page("bungalow"))
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.click('#tab-now [data-setup="SU2"]')
    page.locator("#ways .unit").first.click()
    page.fill("#ask-amps", "30")
    page.click("text=May I?")
    page.click('[data-tab="trip"]')
    page.click('[data-tap="A8 dark"]')
    # One look at all that the tabs show one after another, everything unfolded.
    page.evaluate(
        """() => {
            for (const each of document.querySelectorAll("[role=tabpanel]")) each.hidden = false;
            for (const each of document.querySelectorAll("details")) each.open = true;
            document.querySelector(".sticky").style.position = "static";
        }"""
    )
    found = Axe().run(page, options=RULES[scheme])
    assert found.violations_count == 0, found.generate_report()


def press_on(page: "Page", selector: str, key: str = "Enter") -> None:
    """Press a key on what a selector names, as somebody without a pointer would."""
    page.focus(selector)
    page.keyboard.press(key)


def test_keys_alone_do_everything(sheet_page: Made, open_page: Open) -> None:
    """Tabs by arrows; a head off, a question and a trip by Enter, the focus staying there."""
    page = open_page(sheet_page("first_job"))
    press_on(page, "#ways .unit >> nth=0", "Space")
    assert page.evaluate("document.activeElement.getAttribute('aria-pressed')") == "false"
    page.focus("#ask-amps")
    page.keyboard.type("0.1")
    page.keyboard.press("Enter")
    assert page.get_attribute("#ask-said", "data-says") == "yes"
    press_on(page, '[data-tab="now"]', "ArrowRight")
    assert page.evaluate("document.activeElement.dataset.tab") == "trip"
    assert page.is_visible("#tab-trip")
    assert not page.is_visible("#tab-now")
    press_on(page, "#trip-used .tap-dark >> nth=0")
    assert page.evaluate("document.activeElement.getAttribute('aria-pressed')") == "true"
    assert page.locator(".suspect").count() >= 1
    press_on(page, "#undo")
    assert page.locator(".suspect").count() == 0


def test_everything_a_finger_needs_is_large(sheet_page: Made, open_page: Open) -> None:
    """Buttons, fields and taps are at least 44 px high, as WCAG 2.2 (2.5.5, enhanced) asks."""
    page = open_page(sheet_page("bungalow"))
    small = page.evaluate(
        """() => {
            for (const each of document.querySelectorAll("[role=tabpanel]")) each.hidden = false;
            for (const each of document.querySelectorAll("details")) each.open = true;
            return [...document.querySelectorAll("button, select, input[type=text], summary")]
                .filter((each) => each.getClientRects().length
                    && each.getBoundingClientRect().height < 44)
                .map((each) => each.outerHTML.slice(0, 80));
        }"""
    )
    assert small == []


HOSTILE = {
    "script": "<script>document.title='owned'</script>",
    "closes": "</script><img src=x onerror=\"document.title='owned'\">",
    "quotes": "a\"b'c`d${document.title='owned'}",
    "rtl": "\u202eright-to-left \u05d0\u05d1",
    "emoji": "💡🔌 lamp",
    "long": "x" * 300,
    "template": "{{ 7 * 7 }}{% raw %}",
    "comment": "--><!-- & &lt;b&gt;",
}


def hostile_page() -> str:
    """Return the sheet of a small job with hostile text wherever a job takes text."""
    job = planning.load_job(ROOT / "scenarios/first_job")
    plan = planning.load_plan(Path(__file__).parent / "plans/first_job.json", job).plan
    text = {"O1": HOSTILE["closes"], "O2": HOSTILE["quotes"], "O3": HOSTILE["rtl"]}
    names = iter(HOSTILE.values())

    def renamed(value: object) -> object:
        if isinstance(value, dict):
            return {text.get(k, k): renamed(v) for k, v in value.items()}
        if isinstance(value, (list, tuple)):
            return [renamed(each) for each in value]
        return text.get(value, value) if isinstance(value, str) else value

    data = renamed(job.model_dump(mode="json", by_alias=True))
    assert isinstance(data, dict)
    data["title"] = HOSTILE["script"] + HOSTILE["long"]
    data["heads"]["daylight"]["what"] = HOSTILE["template"]
    data["circuits"]["P1"]["label"] = HOSTILE["closes"]
    data["circuits"]["P2"]["label"] = HOSTILE["long"]
    for setup in data["setups"]:
        setup["name"] = next(names)
    for outlet in data["outlets"].values():
        outlet["where"] = next(names)
    made = plan.model_dump(mode="json")
    for placement in made["placements"]:
        placement["point"] = text.get(placement["point"], placement["point"])
    hostile = type(job).model_validate_json(json.dumps(data))
    told = app_sheet.sheet_of(hostile, Plan.model_validate_json(json.dumps(made)))
    assert told.sheet is not None
    return sheet_html(told.sheet)


def test_hostile_names_stay_text(
    open_page: Open, print_out: Callable[["Page", str], list[str]]
) -> None:
    """Markup, script, quotes, right-to-left marks, emoji and 300 characters do no harm."""
    page = open_page(hostile_page())
    for tab in TABS:
        page.click(f'[data-tab="{tab}"]')
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, tab
    assert page.title().endswith("power plan")
    assert page.locator("img").count() == 0
    assert HOSTILE["script"] in page.inner_text("h1 >> nth=0")
    assert "{{ 7 * 7 }}" in page.inner_text("body") or "{{ 7 * 7 }}" in page.content()
    page.click('[data-tab="trip"]')
    page.locator(".tap-dark").first.click()
    assert page.locator(".suspect").count() >= 1
    assert len(print_out(page, "A4")) <= 3


def test_on_a_phone_a_row_of_a_list_is_a_card_and_still_a_row(
    sheet_page: Made, open_page: Open
) -> None:
    """Every cell has its heading beside it and fits the screen; a screen reader hears a table."""
    page = open_page(sheet_page("family_house"))
    page.click('[data-tab="lists"]')
    page.click("text=Department sheets")
    card = page.locator("#tab-lists details[open] tbody tr").first
    box = card.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 360
    shown = card.locator("td:visible")
    assert shown.count() > 5
    label = "getComputedStyle(each, '::before').content"
    assert shown.first.evaluate(f"(each) => {label}") == '"department"'
    region = page.get_by_role("region", name="Department sheets")
    assert region.get_by_role("row").count() > 2
    assert region.get_by_role("columnheader").count() == 9
    page.set_viewport_size({"width": 1200, "height": 800})
    assert shown.first.evaluate("(each) => getComputedStyle(each).display") == "table-cell"
