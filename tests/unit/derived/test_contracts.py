"""Supply by contract: what the meter of a region counts, and what that leaves a plan."""

from pathlib import Path

import pytest

from builders import Entry, amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload import practice
from spreadload.app.keys import find_region
from spreadload.app.planning import plan_job
from spreadload.check.judge import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import InputError
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.own_cautions import own_cautions
from spreadload.explain.recce import recce
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.plan import Impossible, Solved

# Three drivers of 1000 W at 0.6 draw 3000 W and 5000 VA: 7.25 A each at 230 V.
POOR: Entry = {"kind": "electronics", "plate_w": 1000.0, "power_factor": 0.6, "count": 3}


def flat(**supply: object) -> Job:
    """Return a flat on the continent with two ways and three poor drivers."""
    return small_job(
        region="EU",
        supply={"planning_v": 230.0, **supply},
        circuits={"P1": circuit(16.0), "P2": circuit(16.0)},
        outlets={
            "O1": outlet("P1", "lounge", plug="eu-16", sockets=2),
            "O2": outlet("P2", "bed", plug="eu-16", sockets=2),
        },
        heads={"poor": POOR | {"cord_m": 50.0}},
        setups=[setup(poor={"lounge": 3})],
    )


@pytest.mark.parametrize(
    ("supply", "cap_ma"),
    [
        # By hand: 6000 / 230 = 26.087 A; 9000 / 3 / 230 = 13.043 A on each phase.
        ({"contract_va": 6000.0}, 26086),
        ({"contract_va": 9000.0, "system": "three-phase"}, 13043),
        # A fuse smaller than the contract still is the limit.
        ({"contract_va": 4000.0, "limit_a": 20.0}, 17391),
        ({"contract_va": 4600.0, "limit_a": 20.0}, 20000),
    ],
)
def test_a_contract_in_volt_amps_is_a_limit_in_amps_on_each_phase(
    supply: dict[str, object], cap_ma: int
) -> None:
    """Apparent power is volts times amps, whatever the power factor (definition)."""
    facts = Facts.of(flat(**supply)).supply
    assert facts.cap_ma == cap_ma
    assert facts.contract_w is None
    assert facts.is_contract is (cap_ma != 20000)
    if facts.is_contract:
        assert f"supply contract {supply['contract_va']:g} VA" in facts.source


@pytest.mark.parametrize(
    ("supply", "fits"),
    [
        # By hand: 3000 W and 5000 VA in all.
        ({"contract_w": 4000.0}, True),
        ({"contract_va": 4000.0}, False),
        ({"contract_va": 5001.0}, True),
    ],
)
def test_poor_power_factors_count_where_the_meter_counts_volt_amps(
    supply: dict[str, object], *, fits: bool
) -> None:
    """Loads of few watts and many amps run on 4 kW of a contract and not on 4 kVA."""
    outcome = plan_job(flat(limit_a=40.0, **supply)).outcome
    assert isinstance(outcome, Solved if fits else Impossible)


def test_a_contract_in_volt_amps_is_named_where_it_clashes() -> None:
    """Of what clashes, the contract is one: with a larger one the three would run."""
    outcome = plan_job(flat(limit_a=40.0, contract_va=4000.0)).outcome
    assert isinstance(outcome, Impossible)
    (conflict,) = outcome.conflicts
    assert any("supply contract 4000 VA" in member.words for member in conflict.members)


def test_the_limiter_of_a_contract_in_amps_is_told_from_a_fuse() -> None:
    """Japan sells amps: what opens then is the limiter, and the limit stays as stated."""
    stated = {"limit_a": 30.0, "planning_v": 100.0, "limit_is_contract": True}
    facts = Facts.of(small_job(region="JP", supply=stated)).supply
    assert (facts.cap_ma, facts.is_contract) == (30000, True)
    assert not Facts.of(small_job(region="JP", supply={"limit_a": 30.0})).supply.is_contract


def test_regions_say_what_their_meters_count() -> None:
    """Watts in Italy, amps or volt-amps in Japan, either on the continent; from memory."""
    counts = {
        i: rule.counts for i in practice.region_ids() if (rule := practice.region(i).contract)
    }
    assert counts == {"IT": ("W",), "EU": ("W", "VA"), "JP": ("A", "VA")}
    assert "A contract counts         W\n" in find_region("IT").text()
    assert "Available of a contract   x 1.1\n" in find_region("IT").text()
    assert "contract" not in find_region("AU").text()


@pytest.mark.parametrize(
    ("region", "asked"),
    [("IT", ["contract_w"]), ("EU", ["contract_w", "contract_va"]), ("JP", ["contract_va"]),
     ("AU", [])],
)  # fmt: skip
def test_the_recce_asks_for_a_contract_as_bills_are_written(region: str, asked: list[str]) -> None:
    """No crew is asked for watts of a contract that has none."""
    (supply,) = (section for section in recce(region).sections if section.key == "supply")
    assert [f.key for f in supply.fields if f.key.startswith("contract")] == asked


def test_a_limiter_of_both_legs_is_proposed_at_the_power_factor_of_the_day() -> None:
    """30 A at 100 V are 3000 VA; of loads at 0.6 no more than 1800 W (3000 x 0.6, by hand).

    The legs take 2 x 15.1 A, the set-up's watts 2 x 15.1 x 100 x 0.6 = 1812 W.
    """
    job = small_job(
        region="JP",
        supply={"system": "split-phase", "limit_a": 30.0, "planning_v": 100.0},
        circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        outlets={n: outlet(way, plug="us-20") for n, way in (("O1", "P1"), ("O2", "P2"))},
        heads={"lamp": amps(15.1, count=2) | {"power_factor": 0.6}},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )
    facts = Facts.of(job)
    lamps = (put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))
    (said,) = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*lamps)))
    assert "`contract_w: 1800`" in said


@pytest.mark.parametrize(
    ("was", "problem"),
    [
        ("contract_w: 6 kVA", "this key is in W: kVA goes under contract_va, as 6000"),
        ("contract_va: 3 kW", "this key is in VA: kW goes under contract_w, as 3000"),
        ("contract_w: 20 A", "this key is in W: write that number alone"),
        ("contract_w: 3000, contract_va: 3000", "a contract in watts and in volt-amps"),
        ("contract_va: 9000, limit_a: 16", "more than 16 A can deliver"),
    ],
)
def test_units_of_a_contract_are_never_mixed_up(was: str, problem: str, tmp_path: Path) -> None:
    """Watts and volt-amps differ by a power factor nobody states; the bill says which it is."""
    path = tmp_path / "job.yaml"
    path.write_text(
        f"region: EU\nsupply: {{planning_v: 230, {was}}}\n"
        "circuits: {P1: {breaker_a: 16}}\noutlets: {O1: {circuit: P1}}\nsetups: [{id: A}]\n",
        encoding="utf-8",
    )
    with pytest.raises(InputError, match=problem):
        load_job(path)
