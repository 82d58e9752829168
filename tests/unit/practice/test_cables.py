"""Cables by region: which are assumed in a house, how long a lead is advised to be."""

import ast
import json
from pathlib import Path

import pytest

import spreadload
from spreadload import practice
from spreadload.app.keys import find_region
from spreadload.electrical.conductors import conductor, loop_ohm
from spreadload.electrical.cords import CordFamily, cord_ratings
from spreadload.errors import InternalError
from spreadload.practice.cables import HouseCables, LeadLength, LeadLengths
from spreadload.practice.load import build, cable_book, check_tables
from spreadload.practice.records import Region

REGIONS = practice.region_ids()
SOURCE = {"source": "made up for a test", "status": "memory"}


def test_no_code_has_a_table_of_regions() -> None:
    """What differs by region is region data: code names a region only to list them all."""
    root = Path(spreadload.__file__).parent
    naming = {
        path.relative_to(root).as_posix()
        for path in root.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and node.value in REGIONS
    }
    # The recce sheet has to begin somewhere when nobody says where the house stands.
    assert naming == {"practice/load.py", "cli/writing.py"}


@pytest.mark.parametrize("region", REGIONS)
def test_sizes_are_written_as_the_physics_writes_them(region: str) -> None:
    """Every size in the tables is a conductor by that very name, and every cord table exists."""
    advised = practice.lead_lengths(region)
    sizes = {row.size for row in practice.house_cables(region).rows}
    sizes |= {row.size for row in practice.ring_cables().rows}
    sizes |= {row.size for row in advised.rows} if advised else set()
    assert {conductor(size).name for size in sizes} == sizes
    assert cord_ratings(CordFamily(practice.region(region).cord_table))


@pytest.mark.parametrize("region", REGIONS)
def test_a_bigger_breaker_never_has_thinner_cable(region: str) -> None:
    """Areas rise with the ratings, and beyond the table its last row holds."""
    table = practice.house_cables(region)
    areas = [conductor(row.size).area_mm2 for row in table.rows]
    assert areas == sorted(areas)
    assert table.behind(1000) == table.rows[-1]


@pytest.mark.reference
@pytest.mark.parametrize(
    ("region", "rating_a", "size"),
    [
        # NEC 240.4(D)(3), (5) and (7): 15 A on 14 AWG, 20 A on 12 AWG, 30 A on 10 AWG.
        ("US", 15, "14 AWG"),
        ("US", 20, "12 AWG"),
        ("CA", 30, "10 AWG"),
        # Regulation pages on AS/NZS 3000: 2.5 mm² for a 20 A power circuit.
        ("AU", 20, "2.5 mm²"),
        ("NZ", 16, "2.5 mm²"),
        # BS 7671 appendix 15: radials of 20 A on 2.5 mm² and of 32 A on 4 mm².
        ("UK", 20, "2.5 mm²"),
        ("UK", 32, "4 mm²"),
        # Common practice, no source: 16 A on 1.5 mm² is the thinnest met on the continent.
        ("EU", 16, "1.5 mm²"),
        ("IT", 16, "1.5 mm²"),
        # 2.0 mm wire has 3.1 mm² and stands behind the 20 A branch breaker; from memory.
        ("JP", 20, "3 mm²"),
    ],
)
def test_cable_behind_a_breaker(region: str, rating_a: float, size: str) -> None:
    """The thinnest cable a rule allows, or a trade expects, behind the usual ratings."""
    assert practice.house_cables(region).behind(rating_a).size == size


def test_lengths_follow_the_region() -> None:
    """AU/NZ allows 25 m of 1.0 mm² at 10 A, the UK 15 m of 1.5 mm²; no row, no figure."""
    australian, british = practice.lead_lengths("AU"), practice.lead_lengths("UK")
    american = practice.lead_lengths("US")
    assert australian is not None
    assert british is not None
    assert american is not None
    longest, shorter = australian.longest(10, "1 mm²"), british.longest(10, "1.5 mm²")
    assert longest is not None
    assert shorter is not None
    assert (longest.longest_m, shorter.longest_m) == (25, 15)
    assert australian.longest(40, "10 mm²") is None
    assert american.longest(12, "1.5 mm²") is None
    assert practice.lead_lengths("EU") is None


def test_a_higher_current_never_allows_a_longer_lead() -> None:
    """Between rows the next higher current applies: 16 AWG, 100 ft at 10 A and 50 ft at 12 A."""
    american = practice.lead_lengths("US")
    assert american is not None
    at_10, at_12 = american.longest(10, "16 AWG"), american.longest(12, "16 AWG")
    assert at_10 is not None
    assert at_12 is not None
    assert (at_10.longest_ft, at_12.longest_ft) == (100, 50)


@pytest.mark.reference
@pytest.mark.parametrize("row", cable_book().lead_lengths["au-nz"].rows, ids=str)
def test_the_remembered_length_table_is_a_five_per_cent_rule(row: LeadLength) -> None:
    """Each AU/NZ row, taken from memory, drops 4.5 to 5.4 % of 230 V on copper at 60 °C."""
    assert row.longest_m is not None
    drop_pct = 100 * row.up_to_a * loop_ohm(row.size, row.longest_m) / 230
    assert 4.5 <= drop_pct <= 5.4


@pytest.mark.parametrize("key", ["house_cables", "lead_lengths"])
def test_a_region_with_an_unknown_table_is_refused(key: str) -> None:
    """A misspelt table is our fault, found when the region is read."""
    data = practice.region("AU").model_dump(mode="json") | {key: "au_nz"}
    with pytest.raises(InternalError, match=f"AU: unknown {key} au_nz"):
        check_tables(build(Region, data, "test"), cable_book())


def test_tables_that_are_not_whole_are_refused() -> None:
    """Ratings ascend, and a length is in one unit."""
    rows = [{"up_to_a": 20, "size": "4 mm²"}, {"up_to_a": 20, "size": "6 mm²"}]
    with pytest.raises(InternalError, match="ascend"):
        build(HouseCables, {"rows": rows, **SOURCE}, "test")
    for lengths in ({}, {"longest_m": 15, "longest_ft": 50}):
        row = {"up_to_a": 15, "size": "14 AWG", **lengths}
        with pytest.raises(InternalError, match="either longest_m or longest_ft"):
            build(LeadLengths, {"rows": [row], **SOURCE}, "test")


@pytest.mark.parametrize("region", REGIONS)
def test_a_region_shows_its_cables_with_their_sources(region: str) -> None:
    """Every size, rating and length with where it comes from, as text and as data."""
    told = find_region(region)
    shown = " ".join(told.text().split())
    advised = practice.lead_lengths(region)
    for table in (practice.house_cables(region), practice.ring_cables(), advised):
        assert table is None or f"[{table.source}; {table.status}]" in shown
    for row in practice.house_cables(region).rows:
        assert f"{row.up_to_a:g} A: {row.size}" in shown
    for cord in cord_ratings(CordFamily(practice.region(region).cord_table)):
        assert f"{cord.size}: {cord.rated_a:g} A" in shown
        assert f"[{cord.source}]" in shown
    assert ("Longest lead advised" in shown) is (advised is not None)
    data = json.loads(json.dumps(told.data()))
    assert (data["format"], data["version"]) == ("spreadload region answer", 1)
    assert data["house_cables"]["rows"][0]["size"] == practice.house_cables(region).rows[0].size
    assert (data["lead_lengths"] is None) is (advised is None)


def test_american_lengths_are_shown_in_feet() -> None:
    """As the table is printed and the cord is sold."""
    assert "up to 13 A: 16 AWG 50 ft, 14 AWG 100 ft" in find_region("US").text()
    assert "up to 16 A: 1.5 mm² 15 m, 2.5 mm² 25 m" in find_region("UK").text()
