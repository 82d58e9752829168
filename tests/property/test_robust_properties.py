"""Properties of plans for unknown wiring on random houses of every region."""

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from builders import Entry, job_of
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.plan import Plan, Violation
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.chance import wilson
from spreadload.solver.robust.least_risk import certificate
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.wiring.evidence import clash, possible
from spreadload.wiring.maps import Maps, can_list, listed_maps, maps_of
from spreadload.wiring.model import WiringModel
from strategies import job_data, jobs, sensible_plans

SLOW = settings(max_examples=25, suppress_health_check=list(HealthCheck))
CONFIG = SolverConfig(time_limit_s=5.0, alternatives=0)


def maps_for(job: Job) -> tuple[WiringModel, Maps]:
    """Return the model and some maps of a job whose statements do not clash."""
    assume(clash(job, Log()) is None)
    assume(all(possible(job).values()))
    model = WiringModel.of(job)
    return model, maps_of(model, 60, 1)


def holds_on(judge: Judge, plan: Plan, maps: Maps, number: int) -> bool:
    """Return whether the judge finds nothing wrong with a plan on one map."""
    return judge.judge(plan, maps.map(number)).holds


@SLOW
@given(jobs())
def test_maps_keep_every_hard_fact(job: Job) -> None:
    """Every outlet of every map is on a circuit it may be on, and weights add up to one."""
    model, maps = maps_for(job)
    allowed = possible(job)
    for number in range(len(maps)):
        assert all(c in allowed[o] for o, c in maps.map(number).items())
    assert float(maps.weights.sum()) == pytest.approx(1.0)
    assert 1.0 - 1e-9 <= maps.effective <= len(maps) + 1e-6
    assert set(model.outlets) == set(job.outlets)


@SLOW
@given(job_data())
def test_the_order_of_a_file_says_nothing_of_the_wiring(data: Entry) -> None:
    """Outlets, circuits and rooms listed backwards: every map there is has the weight it had."""
    backwards = {
        name: dict(reversed(data[name].items())) for name in ("outlets", "circuits", "rooms")
    }
    model, _ = maps_for(job_of(data))
    assume(can_list(model))
    other = WiringModel.of(job_of(data | backwards))
    assert weights_of(other) == pytest.approx(weights_of(model), abs=1e-5)


def weights_of(model: WiringModel) -> dict[str, float]:
    """Return the weight of every map there is, each named by its outlets and circuits."""
    maps = listed_maps(model)
    return {str(sorted(maps.map(n).items())): float(maps.weights[n]) for n in range(len(maps))}


@SLOW
@given(jobs())
def test_a_certificate_is_true_on_every_map(job: Job) -> None:
    """A plan said to hold whatever the wiring passes the judge on every map drawn."""
    model, maps = maps_for(job)
    solved = certificate(model, CONFIG)
    assume(solved is not None)
    assert solved is not None
    judge = Judge(Facts.of(model.job))
    for plan, _ in solved.plans:
        assert all(holds_on(judge, plan, maps, n) for n in range(len(maps)))


@SLOW
@given(st.data())
def test_table_and_judge_agree_on_random_houses(data: st.DataObject) -> None:
    """The table fails exactly the maps on which the judge finds a device over that maps decide."""
    job = data.draw(jobs())
    model, maps = maps_for(job)
    facts = Facts.of(model.job, unknown="maps")
    judge = Judge(facts)
    plan = data.draw(sensible_plans(model.job))
    table = RiskTable.of(facts, maps, list(facts.points.values()))
    decided = {(d.rule, d.name) for d in table.devices}
    seen = RiskTable.of(facts, maps, [facts.points[p.point] for p in plan.placements])
    fails = table.fails(table.violated(table.carried(plan), table.off(plan)))
    for number in range(len(table.maps)):
        on = table.maps.map(number)
        violations = judge.judge(plan, on).violations
        over = any(decided & set(_devices(facts, plan, v, on)) for v in violations)
        event(f"some map fails: {over}")
        assert fails[number] == over
    assert seen.risk(plan) == pytest.approx(table.risk(plan), abs=1e-9)


def _devices(
    facts: Facts, plan: Plan, violation: Violation, on: dict[str, str]
) -> list[tuple[str, tuple[str, ...]]]:
    """Return the devices a violation is about, as the table names them."""
    rule, where = violation.rule, violation.where
    if rule == "single load":
        load, _, unit = where.rpartition(" ")
        placed = [p for p in plan.placements if (p.load, str(p.unit)) == (load, unit)]
        outlets = [facts.points[p.point].outlet for p in placed if p.setup == violation.setup]
        return [(rule, (on[o],)) for o in outlets if o in on]
    if rule == "circuit":
        circuit, _, pole = where.rpartition(" ")
        several = circuit in facts.circuits and facts.circuits[circuit].poles > 1
        return [(rule, (circuit, pole) if several else (where, ""))]
    if rule in ("feed", "rcd amps"):
        name, _, line = where.rpartition(" ")
        return [(rule, (name, line) if name else (where, facts.supply.phases[0]))]
    return [(rule, (where,))]


@given(st.floats(0, 1), st.integers(1, 10_000))
def test_interval_holds_the_share_and_narrows(share: float, number: int) -> None:
    """Wilson's interval contains the share, stays within 0 and 1 and narrows with more maps."""
    low, high = wilson(share, number)
    assert 0.0 <= low <= share + 1e-9
    assert share - 1e-9 <= high <= 1.0
    wider = wilson(share, number * 4)
    assert wider[1] - wider[0] <= high - low + 1e-12


def test_interval_agrees_with_a_published_example() -> None:
    """15 of 148: 0.0624 to 0.1605.

    Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, method 3; from memory.
    """
    low, high = wilson(15 / 148, 148)
    assert np.round([low, high], 4).tolist() == [0.0624, 0.1605]
