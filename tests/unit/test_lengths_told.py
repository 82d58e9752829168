"""Lengths: told in the unit of the region, taken in either, kept in metres."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from builders import job_of
from spreadload import load_job
from spreadload.cli import cli
from spreadload.derived.facts import Facts
from spreadload.errors import InputError
from spreadload.units import FOOT_M, Lengths

METRES_TOLD = re.compile(r"(?<![\w.])-?\d+(\.\d+)? m\b|\bmetres\b")
FEET_TOLD = re.compile(r"(?<![\w.])-?\d+(\.\d+)? ft\b|\bfeet\b")

# An invented house of two rooms and a way between them; positions, cords and cables in feet.
IN_FEET = """
region: {region}
supply:
  limit_a: 100
  board_at_ft: [0, 0]
  readings: [{{at: board, idle_v: {idle}, loaded_v: {loaded}, load_a: 10}}]
circuits:
  "1": {{label: FRONT, breaker_a: 20}}
  "2": {{label: BACK, breaker_a: 20, cable_ft: 60}}
rooms: {{front: {{use: living}}, back: {{use: bedroom, at_ft: [40, 30]}}}}
outlets:
  D1: {{room: front, at_ft: [0, 10], circuit: "1", known: tested}}
  D2: {{room: front, at_ft: [20, 10], maybe_on: ["1", "2"]}}
  D3: {{room: back, circuit: "2", known: tested}}
places:
  window: {{room: front, at_ft: [10, 0]}}
  far end: {{room: back, at_ft: [60, 40]}}
heads:
  key: {{class_w: 600, cord_ft: 10}}
  fill: {{class_w: 300, count: 2}}
{leads}
setups:
  - {{id: A, from: "9:00", to: "10:00", heads: {{key: window, fill: {{window: 1, far end: 1}}}}}}
  - {{id: B, from: "10:00", to: "11:00", heads: {{key: far end}}}}
"""
VOLTS = {"AU": (235, 230), "US": (121, 119), "CA": (121, 119)}


def house(folder: Path, region: str, leads: str = "") -> Path:
    """Write the house of a region down."""
    idle, loaded = VOLTS[region]
    path = folder / f"{region}.yaml"
    text = IN_FEET.format(region=region, idle=idle, loaded=loaded, leads=leads)
    path.write_text(text, encoding="utf-8")
    return path


def said(*words: str) -> str:
    """Return what a command prints."""
    result = CliRunner().invoke(cli, list(words), prog_name="spreadload")
    assert result.exit_code in (0, 1), result.output
    return result.output


@pytest.mark.reference
def test_a_foot_is_what_the_treaty_says() -> None:
    """International yard and pound agreement of 1959: 1 yd is 0.9144 m; verified in public text."""
    assert pytest.approx(0.9144, abs=1e-12) == 3 * FOOT_M


@pytest.mark.parametrize(
    ("length_m", "in_feet", "in_metres"),
    [(25 * FOOT_M, "25 ft", "8 m"), (100 * FOOT_M, "100 ft", "31 m"), (0.0, "0 ft", "0 m"),
     (7.63, "26 ft", "8 m"), (2.0, "7 ft", "2 m")],
)  # fmt: skip
def test_what_has_to_be_there_is_rounded_up(length_m: float, in_feet: str, in_metres: str) -> None:
    """A whole number of feet stays one, whatever the conversion's last bits say."""
    assert Lengths("ft").whole(length_m) == in_feet
    assert Lengths("m").whole(length_m) == in_metres


def test_what_is_missing_is_never_rounded_away() -> None:
    """A need goes up and a reach down by the tenth, in either unit."""
    for unit in ("m", "ft"):
        need, reach = Lengths(unit).needed(10.01), Lengths(unit).at_hand(10.0)
        assert float(need.split()[0]) > float(reach.split()[0])
    assert Lengths("ft").plain(10 * FOOT_M) == "10 ft"
    assert (Lengths("ft").near(10.0), Lengths("ft").word) == ("33 ft", "feet")


@pytest.mark.parametrize(
    ("region", "told", "never"),
    [
        ("US", FEET_TOLD, METRES_TOLD),
        ("CA", FEET_TOLD, METRES_TOLD),
        ("AU", METRES_TOLD, FEET_TOLD),
    ],
)
def test_every_page_keeps_to_the_unit_of_the_region(
    region: str, told: re.Pattern[str], never: re.Pattern[str], tmp_path: Path
) -> None:
    """Plan, reasons, volts, map, lists and the board speak of feet or of metres, never of both."""
    job, plan, page = house(tmp_path, region), tmp_path / "plan.json", tmp_path / "sheet.html"
    texts = [
        said("plan", str(job), "--save", str(plan)),
        said("sag", str(job), "--plan", str(plan)),
        said("board", str(job)),
        said("why", str(job), "key", "D1", "--setup", "A", "--plan", str(plan)),
        said("trip", str(job), "--plan", str(plan), "--dark", "D1", "--lit", "D3"),
        said("turn", str(job), "--plan", str(plan)),
        said("ask", str(job), "5A", "anywhere", "--plan", str(plan)),
        said("sheet", str(job), "--plan", str(plan), "--out", str(page), "--lists", str(tmp_path)),
        re.sub(r"<(script|style)\b.*?</\1>", "", page.read_text(encoding="utf-8"), flags=re.DOTALL),
        *(path.read_text(encoding="utf-8") for path in tmp_path.glob("*.csv")),
    ]
    assert [found[0] for text in texts for found in [never.search(text)] if found] == []
    for text in (texts[0], texts[1], texts[8]):
        assert told.search(text)


def test_a_reach_that_fails_is_told_in_feet_and_counted_in_metres(tmp_path: Path) -> None:
    """The text is for the crew; value, limit and unit of the finding are for machines."""
    job, plan = house(tmp_path, "US"), tmp_path / "plan.json"
    said("plan", str(job), "--save", str(plan))
    data = json.loads(plan.read_text(encoding="utf-8"))
    for placement in data["plan"]["placements"]:
        placement["lead"] = 0
    plan.write_text(json.dumps(data), encoding="utf-8")
    told = json.loads(said("check", str(job), str(plan), "--json"))
    short = [v for v in told["plan"]["verdict"]["violations"] if v["rule"] == "lead reach"]
    assert short
    for violation in short:
        asked, has = (float(x) for x in re.findall(r"([\d.]+) ft", violation["text"])[::2])
        assert violation["unit"] == "m"
        assert asked * FOOT_M == pytest.approx(violation["value"], abs=0.1 * FOOT_M)
        assert has * FOOT_M == pytest.approx(violation["limit"], abs=0.1 * FOOT_M)


def test_leads_to_pull_have_their_length_in_metres_for_machines(tmp_path: Path) -> None:
    """A 25 ft lead is 7.62 m long, whatever it is called."""
    told = json.loads(said("plan", str(house(tmp_path, "US")), "--json"))
    leads = {pull["name"]: pull["length_m"] for pull in told["pull"] if pull["kind"] == "lead"}
    assert leads
    for name, length_m in leads.items():
        assert length_m == pytest.approx(float(name.split()[0]) * FOOT_M)


def test_a_lead_is_called_what_is_written_on_it(tmp_path: Path) -> None:
    """A metric lead on an American van keeps its name; what is measured is in feet."""
    leads = "leads: [{length_m: 15, size_mm2: 2.5, count: 9}, {length_m: 30, size_mm2: 4}]"
    text = said("plan", str(house(tmp_path, "US", leads)))
    assert re.search(r"\b(15|30) m lead\b", text)
    assert FEET_TOLD.search(text)


def _metric(node: Any) -> Any:  # noqa: ANN401 - any part of a job file
    """Return a part of a job with every length in feet turned into metres."""
    if isinstance(node, list):
        return [_metric(part) for part in node]
    if not isinstance(node, dict):
        return node
    turned = {}
    for key, value in node.items():
        if not key.endswith("_ft"):
            turned[key] = _metric(value)
        elif isinstance(value, list | tuple):
            turned[key.removesuffix("_ft")] = tuple(each * FOOT_M for each in value)
        elif value is not None:
            turned[f"{key.removesuffix('_ft')}_m"] = value * FOOT_M
    return turned


def test_feet_and_metres_are_the_same_house(tmp_path: Path) -> None:
    """Routes, cords, cables and boards come out alike from either unit."""
    in_feet = load_job(house(tmp_path, "AU"))
    data = _metric(in_feet.model_dump(exclude_unset=True, by_alias=True))
    in_metres = job_of(data)
    assert in_metres.outlets["D1"].at == pytest.approx((0.0, 10 * FOOT_M))
    one, other = Facts.of(in_feet), Facts.of(in_metres)
    for place in in_feet.places:
        for point in one.points:
            there_m = other.route_m(place, other.points[point])
            assert one.route_m(place, one.points[point]) == pytest.approx(there_m)
    assert {i: load.cord_m for i, load in one.loads.items()} == {
        i: load.cord_m for i, load in other.loads.items()
    }
    assert in_feet.circuits["2"].cable_in_m == in_metres.circuits["2"].cable_in_m
    assert in_feet.supply.board_at_in_m == in_metres.supply.board_at_in_m


@pytest.mark.parametrize(
    ("was", "now", "problem"),
    [
        ("at_ft: [10, 0]", "at_ft: [10, 0], at: [3, 0]", "places.window: a position in metres and"),
        ("cord_ft: 10", "cord_ft: 10, cord_m: 3", "heads.key: a length in metres and in feet"),
        ("cable_ft: 60", "cable_ft: 60, cable_m: 18", "circuits.2: a length in metres and in feet"),
        ("board_at_ft: [0, 0]", "board_at_ft: [0, 0]\n  board_at: [0, 0]", "supply: a position in"),
    ],
)
def test_both_units_at_once_are_refused(was: str, now: str, problem: str, tmp_path: Path) -> None:
    """Which of the two is meant is for the crew to say."""
    path = house(tmp_path, "US")
    path.write_text(path.read_text(encoding="utf-8").replace(was, now), encoding="utf-8")
    with pytest.raises(InputError, match=problem):
        load_job(path)


def test_the_other_unit_behind_a_number_is_turned_into_the_one_asked(tmp_path: Path) -> None:
    """``10 ft`` under a key in metres is 3.05, not 10."""
    path = house(tmp_path, "US")
    text = path.read_text(encoding="utf-8").replace("cord_ft: 10", "cord_m: 10 ft")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=r"this key is in m: write 3\.05"):
        load_job(path)
