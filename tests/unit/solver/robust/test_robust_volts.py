"""Wirings that starve a head count as failing, are told, and are steered clear of."""

from itertools import pairwise

import numpy as np
import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup
from rule_cases.volts import FAR, NEAR, near_and_far
from spreadload.app.planning import plan_job
from spreadload.check import Judge
from spreadload.check.on_map import short_of_volts
from spreadload.derived.facts import Facts
from spreadload.explain.chance_words import chance_sentences
from spreadload.job.job import Job
from spreadload.plan import Chance, Plan, Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.solver.robust.volts_risk import VoltsRisk, volts_risk
from spreadload.wiring.maps import Maps, maps_of
from spreadload.wiring.model import WiringModel

QUICK = SolverConfig(time_limit_s=20.0, alternatives=1)


def two_lamps(min_v: float, **more: object) -> Entry:
    """Return two lamps of 9 A, two circuits one of which is far away, open outlets, one known."""
    data = near_and_far(16.0)
    data["circuits"] = {"P1": circuit(25.0, **NEAR), "P2": circuit(25.0, **FAR)}
    data["outlets"] = {f"O{n}": outlet(None, "lounge", plug="au-15", sockets=1) for n in (1, 2, 3)}
    data["outlets"]["O4"] = outlet("P1", "lounge", plug="au-15", sockets=1)
    data["heads"] = {
        "lamp": amps(9.0, kind="led", power_factor=1.0, min_v=min_v, count=2, plug="au-15")
    }
    data["setups"] = [setup(lamp={"lounge": 2})]
    return data | more


def plan_at(*points: str) -> Plan:
    """Return a plan with one lamp at each point."""
    return plan_of(*(put("lamp", p, unit=n, place="lounge") for n, p in enumerate(points, 1)))


def risk_of(job: Job, plan: Plan, maps: Maps) -> tuple[VoltsRisk, list[bool]]:
    """Return what volts add, and per map whether the judge finds the plan short of volts only."""
    facts = Facts.of(job, unknown="maps")
    judge = Judge(facts)
    table = RiskTable.of(facts, maps, facts.points.values())
    fails = table.fails(table.violated(table.carried(plan), table.off(plan)))
    said = volts_risk(judge, plan, table, fails)
    ways = [judge.states(plan, table.maps.map(n)) for n in range(len(table.maps))]
    short = [any(any(short_of_volts(state)) for state in states) for states in ways]
    return said, [bool(s and not f) for s, f in zip(short, fails, strict=True)]


@pytest.mark.parametrize("min_v", [198.0, 205.0, 212.0, 220.0])
def test_what_is_counted_is_what_the_judge_finds_wiring_by_wiring(min_v: float) -> None:
    """With every wiring listed, the weight told is that of the wirings the judge refuses."""
    job = job_of(two_lamps(min_v))
    maps = maps_of(WiringModel.of(job), 1, 1)
    assert maps.is_exact
    seen = set()
    for points in (("O1", "O2"), ("O1", "O4"), ("O2", "O3")):
        said, short = risk_of(job, plan_at(*points), maps)
        facts = Facts.of(job, unknown="maps")
        merged = RiskTable.of(facts, maps, facts.points.values()).maps
        assert said.share == pytest.approx(float(merged.weights @ np.array(short)))
        assert sum(w.bad.weight_pct for w in said.ways) == pytest.approx(100 * said.share)
        seen.add(round(said.share, 6))
    assert max(seen) > 0 or min_v == 198.0


def test_many_wirings_are_drawn_and_told_nearly_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there are more wirings than load flows allowed, some are drawn by their weight."""
    job = job_of(two_lamps(212.0))
    maps = maps_of(WiringModel.of(job), 1, 1)
    exact, _ = risk_of(job, plan_at("O1", "O2"), maps)
    monkeypatch.setattr("spreadload.solver.robust.volts_risk.MOST_FLOWS", 1)
    drawn, _ = risk_of(job, plan_at("O1", "O2"), maps)
    assert exact.draws == 0
    assert drawn.draws > 0
    assert 0 < exact.share < 1
    assert drawn.share == pytest.approx(exact.share, abs=0.02)


def chance_and_plan(data: Entry) -> tuple[Chance, Plan]:
    """Return the best plan found for a job with open wiring and its chance of failing."""
    _, outcome = look_for_plans(job_of(data), QUICK)
    assert isinstance(outcome, Solved)
    return outcome.chances[0], outcome.plans[0][0]


def test_the_plan_keeps_clear_of_wirings_that_starve_a_head() -> None:
    """Amps cannot tell the outlets apart; volts put a lamp at the one that is known to be near."""
    chance, plan = chance_and_plan(two_lamps(212.0))
    outlets = {p.point for p in plan.placements}
    assert "O4" in outlets
    job = job_of(two_lamps(212.0))
    maps = maps_of(WiringModel.of(job), 1, 1)
    others = [risk_of(job, plan_at(a, b), maps)[0].share for a, b in pairwise(("O1", "O2", "O3"))]
    assert chance.volts_pct <= 100 * min(others)


def test_an_answer_that_most_wirings_refuse_on_volts_is_no_plain_yes() -> None:
    """Where volts fail on most of the wirings, the first line says that it fits only if."""
    data = two_lamps(220.0)
    data["outlets"]["O4"] = outlet(None, "lounge", plug="au-15", sockets=1)
    told = plan_job(job_of(data), QUICK, reasons=False)
    (chance, *_) = told.outcome.chances if isinstance(told.outcome, Solved) else ()
    assert chance.volts_pct > 50
    assert told.answer.text.startswith("FITS ONLY IF the wiring is kinder to the volts")
    said = "\n".join(chance_sentences(chance))
    assert "every breaker holds and the volts do not" in said
    assert "V in SU1 and works from 220.0 V" in said


def test_without_loaded_readings_no_flow_is_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """A house nobody measured is told as before, and costs no load flow."""
    data = two_lamps(212.0, supply={"limit_a": 63.0, "planning_v": 230.0})
    job = job_of(data)
    maps = maps_of(WiringModel.of(job), 1, 1)
    monkeypatch.setattr("spreadload.network.house.House.solve", lambda *_: pytest.fail("solved"))
    facts = Facts.of(job, unknown="maps")
    table = RiskTable.of(facts, maps, facts.points.values())
    plan = plan_at("O1", "O2")
    fails = table.fails(table.violated(table.carried(plan), table.off(plan)))
    assert volts_risk(Judge(facts), plan, table, fails) == VoltsRisk(0.0)
