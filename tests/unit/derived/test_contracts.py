"""Supply by contract: what the meter of a region counts, and what that leaves a plan."""

from pathlib import Path

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_job
from spreadload import practice
from spreadload.app.board import read_board
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


def two_legs(region: str = "JP", current_a: float = 15.1, **supply: object) -> Job:
    """Return a wooden house of two ways, a leg each, with a lamp for each, held to 30 A."""
    stated = {"system": "split-phase", "limit_a": 30.0, "planning_v": 100.0}
    return small_job(
        region=region,
        supply=stated | supply,
        circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        outlets={n: outlet(way, plug="us-20") for n, way in (("O1", "P1"), ("O2", "P2"))},
        heads={"lamp": amps(current_a, count=2, plug="us-20")},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )


LAMPS = (put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))


@pytest.mark.parametrize(
    ("region", "current_a", "supply", "rules"),
    [
        # By hand: 15.1 + 15.1 A are 30.2 A, each leg has half of what it may carry.
        ("JP", 15.1, {"limit_is_contract": True}, ["contract"]),
        ("JP", 15.0, {"limit_is_contract": True}, []),
        ("JP", 15.1, {"limit_is_contract": True, "limit_counts": "each leg"}, []),
        ("JP", 15.1, {}, []),
        # 3 kVA by the main breaker are 15 A on each leg, whatever the other carries.
        ("JP", 14.9, {"limit_a": None, "contract_va": 3000.0}, []),
        ("US", 15.1, {"limit_is_contract": True}, []),
        ("US", 15.1, {"limit_counts": "both legs"}, ["contract"]),
    ],
)
def test_a_limiter_of_amps_may_add_up_both_legs(
    region: str, current_a: float, supply: dict[str, object], rules: list[str]
) -> None:
    """A Japanese contract in amps counts both legs together, one in kVA each; judge and solver.

    Source: public texts on contracts of 30 A on three wires ("30 A on each leg at once are 60 A
    and pass the contract"), verified in public text; the kVA from memory.
    """
    facts = Facts.of(two_legs(region, current_a, **supply))
    judged = Judge(facts).judge(plan_of(*LAMPS))
    assert [violation.rule for violation in judged.violations] == rules
    outcome = plan_job(facts.job).outcome
    assert isinstance(outcome, Impossible if rules else Solved)


def test_both_legs_together_are_told_in_amps() -> None:
    """Answer, clash and board speak of one sum of amps, and the leg is no second reason."""
    job = two_legs(limit_is_contract=True)
    told = plan_job(job)
    assert "needs 30.2 A; the supply contract allows 30.0 A, both legs" in told.answer.text
    assert isinstance(told.outcome, Impossible)
    (conflict,) = told.outcome.conflicts
    limits = [m.words for m in conflict.members if "supply" in m.words]
    assert limits == ["the supply contract allows 30.0 A, both legs together"]
    fits = plan_job(two_legs(current_a=14.0, limit_is_contract=True)).text()
    assert "Contract, both legs            28.0 of 30.0 A   2.0 A left    94 %" in fits
    assert "both legs together held to 30.0 A, as the limiters" in " ".join(fits.split())
    board = read_board(job).text()
    assert board.startswith("USABLE: 30.0 A; bound by the supply contract")
    assert "Contract: 30.0 A, both legs together." in board


@pytest.mark.parametrize(("plate", "taken_ma"), [({"plate_w": 2000.0}, 20_000), ({}, 20_000)])
def test_what_is_on_both_legs_counts_twice(plate: Entry, taken_ma: int) -> None:
    """A heater of 2000 W at 200 V takes 10 A from each leg: 20 A of the contract (by hand)."""
    job = two_legs(limit_is_contract=True, current_a=4.0)
    heater = {"kind": "heater", "circuit": "AC", "starts_by_itself": True}
    heater |= plate or {"measured_a": 10.0}
    data = job.model_dump(mode="json", exclude_unset=True)
    data["circuits"]["AC"] = {"breaker_a": 20.0, "phase": ["A", "B"], "feeds": "air"}
    facts = Facts.of(job_of(data | {"house": {"heater": heater}}))
    assert facts.contract_takes("heater", "AC") == taken_ma
    (usage,) = Judge(facts).judge(plan_of(*LAMPS)).contract
    assert usage.current_a == pytest.approx(28.0)


def test_a_limiter_that_may_count_both_legs_is_asked_about() -> None:
    """Where nobody says that the limit is a contract's, it is asked about, and once said counts."""
    facts = Facts.of(two_legs())
    (said,) = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*LAMPS)))
    assert "state `limit_counts: both legs`" in said
    assert Facts.of(two_legs(limit_counts="both legs")).supply.contract is not None


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
