"""A plan for a supply nobody read under load says what the volts might do, and rests on it."""

import pytest

from builders import Entry, amps, circuit, job_of, plan_of, put, setup, small_data
from rule_cases.volts import NEAR
from spreadload.app.planning import plan_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.unread_volts import Unread, unread_volts
from spreadload.solver.engine.limits import SolverConfig

PLAN = plan_of(put("lamp", "O1", place="lounge"))
ASSUMED_OHM = 0.47  # IEC 60725 reference impedance; from memory


def flat(min_v: float, **supply: object) -> Entry:
    """Return a flat at the board with a regulated lamp of 10 A."""
    return small_data(
        supply={"limit_a": 63.0, "limit_source": "fuse", "planning_v": 230.0} | supply,
        circuits={"P1": circuit(16.0, **NEAR), "P2": circuit(16.0, **NEAR)},
        heads={"lamp": amps(10.0, kind="led", power_factor=1.0, min_v=min_v)},
        setups=[setup(lamp="lounge")],
    )


def told(data: Entry) -> Unread | None:
    """Return what is said of the volts of the only plan."""
    facts = Facts.of(job_of(data))
    return unread_volts(JudgedPlan.of(facts, Judge(facts), PLAN))


def test_the_least_volts_on_an_assumed_supply_are_told() -> None:
    """V = (E + √(E² - 4RP))/2 (two-bus closed form), rounded down as capacity is."""
    expected_v = (230.0 + (230.0**2 - 4 * ASSUMED_OHM * 2300.0) ** 0.5) / 2
    assert expected_v == pytest.approx(225.2, abs=0.05)
    unread = told(flat(200.0))
    assert unread is not None
    assert not unread.is_short
    assert "the least would be 225.1 V at lamp at lounge in SU1" in unread.text
    assert "0.47 Ω that is assumed" in unread.text


def test_a_head_that_might_get_too_little_is_what_the_plan_rests_on() -> None:
    """Nothing is refused on an assumed supply, and the answer does not keep quiet about it."""
    unread = told(flat(226.0))
    assert unread is not None
    assert unread.is_short
    assert "lamp at lounge would get 225.1 V in SU1 of the 226.0 V it works from" in unread.text
    assert len(unread.brief) < len(unread.text) / 2
    plan = plan_job(job_of(flat(226.0)), SolverConfig(time_limit_s=10.0), reasons=False)
    said = " ".join(plan.text().split())
    assert "Rests on what nobody has proved: volts under load, not read" in said
    fine = plan_job(job_of(flat(200.0)), SolverConfig(time_limit_s=10.0), reasons=False)
    assert "Rests on" not in fine.text()
    assert "volts: not read under load" in " ".join(fine.text().split())


def test_where_the_wiring_is_open_the_volts_told_are_those_at_its_best() -> None:
    """The judge gives each open outlet its best cable; a reader should not take that for likely."""
    data = flat(226.0)
    data["outlets"]["O1"].pop("circuit")
    data["outlets"]["O1"].pop("known")
    facts = Facts.of(job_of(data), unknown="maps")
    unread = unread_volts(JudgedPlan.of(facts, Judge(facts), PLAN))
    assert unread is not None
    assert "assumed, and the wiring as good as it may be, " in unread.text
    assert "on the likeliest wiring, which `sag` goes by, it may be worse" in unread.text
    known = told(flat(226.0))
    assert known is not None
    assert "as good as it may be" not in known.text
    assert "likeliest" not in known.text


def test_a_supply_that_was_read_needs_no_word() -> None:
    """Its volts are told and held against the plan."""
    pair = {"at": "board", "idle_v": 240.0, "loaded_v": 236.0, "load_a": 10.0}
    assert told(flat(226.0, readings=[pair])) is None


def test_nothing_lit_nothing_told() -> None:
    """Volts matter to heads."""
    data = flat(200.0)
    facts = Facts.of(job_of(data))
    assert unread_volts(JudgedPlan.of(facts, Judge(facts), plan_of())) is None
