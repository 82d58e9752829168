"""What is taken for a plate nobody looked at closely, and for a contract nobody knows."""

from pathlib import Path

import pytest

from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.practice import region, region_ids

JOB = """
region: {region}
supply: {{system: single-phase{supply}}}
circuits: {{P1: {{breaker_a: 16, feeds: outlets}}}}
outlets:
  O1: {{circuit: P1}}
  O2: {{circuit: P1, sockets: 1}}
  O3: {{circuit: P1, sockets: 3}}
setups: [{{id: A}}]
"""


def facts(folder: Path, region_id: str, supply: str = "") -> Facts:
    """Return the facts of a job with three plates."""
    path = folder / "job.yaml"
    path.write_text(JOB.format(region=region_id, supply=supply), encoding="utf-8")
    return Facts.of(load_job(path))


@pytest.mark.parametrize("region_id", [r for r in region_ids() if r not in {"US", "CA", "JP"}])
def test_a_plate_nobody_counted_is_the_usual_one(tmp_path: Path, region_id: str) -> None:
    """Sockets and plate rating are those of the region; a stated count wins (source: its rows)."""
    points = facts(tmp_path, region_id).points
    rows = region(region_id)
    assert points["O1"].sockets == rows.sockets_per_plate.value
    assert points["O1"].plate_ma == rows.double_plate_a.value * 1000
    assert points["O2"].sockets == 1
    assert points["O2"].plate_ma == rows.socket_a.value * 1000
    assert points["O3"].plate_ma == rows.double_plate_a.value * 1000


@pytest.mark.parametrize(
    ("region_id", "plug", "sockets"),
    [("US", "us-20", 2), ("CA", "us-20", 2), ("US", "us-l5-30", 1), ("IT", "it-dual", 2)],
)
def test_a_plate_of_another_room_plug_has_as_many_sockets(
    tmp_path: Path, region_id: str, plug: str, sockets: int
) -> None:
    """A 20 A receptacle is a duplex too, a locking one is not (common practice, no source)."""
    path = tmp_path / "job.yaml"
    one = (
        f"region: {region_id}\nsetups: [{{id: A}}]\ncircuits: {{P1: {{breaker_a: 20, phase: A}}}}\n"
    )
    path.write_text(f"{one}outlets: {{O1: {{circuit: P1, plug: {plug}}}}}\n", encoding="utf-8")
    assert Facts.of(load_job(path)).points["O1"].sockets == sockets


@pytest.mark.parametrize(
    ("region_id", "supply", "limit_ma"),
    [
        ("IT", "", 16_000),
        ("IT", ", contract_w: 3000", 16_000),
        ("IT", ", contract_w: 6000", 32_000),
        ("IT", ", contract_w: 4500", 25_000),
        ("EU", ", contract_w: 9200", 40_000),
        ("EU", ", contract_w: 5000", 25_000),
        ("IT", ", contract_w: 6000, limit_a: 25", 25_000),
    ],
)
def test_a_large_contract_has_the_fuses_for_it(
    tmp_path: Path, region_id: str, supply: str, limit_ma: int
) -> None:
    """Nobody read the main fuse, but 6 kW and a tenth at 230 V are 28.7 A: the next breaker is 32.

    Source: IEC 60898-1 clause 5.3.2, ratings of 16, 20, 25, 32 and 40 A; from memory.
    """
    assert facts(tmp_path, region_id, supply).supply.cap_ma == limit_ma


def test_an_unknown_contract_is_assumed_where_supply_is_by_contract(tmp_path: Path) -> None:
    """In Italy 3 kW and a tenth (from memory; row in regions/it.yaml) bind until a bill is read."""
    assert facts(tmp_path, "IT").supply.contract_w == 3300
    assumed = facts(tmp_path, "IT").supply.contract
    assert assumed is not None
    assert "not known" in assumed.source
    assert facts(tmp_path, "IT", ", contract_w: 4500").supply.contract_w == 4950
    assert facts(tmp_path, "IT", ", limit_a: 25").supply.contract_w is None
    assert facts(tmp_path, "AU").supply.contract_w is None


@pytest.mark.parametrize(
    ("region_id", "lengths"),
    [("US", ["25 ft", "50 ft", "100 ft"]), ("UK", ["5 m", "10 m", "20 m", "30 m"])],
)
def test_leads_nobody_listed_are_those_of_a_van_there(
    tmp_path: Path, region_id: str, lengths: list[str]
) -> None:
    """Crews reckon cable in feet or in metres (common practice, no source; rows in habits.yaml)."""
    leads = facts(tmp_path, region_id).leads
    assert [lead.name.removesuffix(f" {lead.size}") for lead in leads] == lengths
