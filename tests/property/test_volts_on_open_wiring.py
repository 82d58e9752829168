"""Volts on wiring nobody knows, on random houses of every region whose supply was read."""

from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from builders import Entry, job_of
from spreadload.check import Judge
from spreadload.check.volts import fixed, hung
from spreadload.derived.facts import Facts
from spreadload.job.observations import Log
from spreadload.network.floor import floor_units
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.least_risk import certificate
from spreadload.wiring.evidence import clash, possible
from spreadload.wiring.maps import maps_of
from spreadload.wiring.model import WiringModel
from strategies import job_data, sensible_plans

SLOW = settings(max_examples=40, suppress_health_check=list(HealthCheck))


@st.composite
def read_houses(draw: st.DrawFn) -> Entry:
    """Return a small house with one pair of readings at its board."""
    data: Entry = draw(job_data())
    idle_v = Facts.of(job_of(data)).supply.planning_v * draw(st.floats(0.95, 1.08))
    ohm = draw(st.floats(0.1, 1.5))
    pair = {"at": "board", "idle_v": idle_v, "loaded_v": idle_v - 10.0 * ohm, "load_a": 10.0}
    data["supply"]["readings"] = [pair]
    return data


@SLOW
@given(st.data())
def test_no_map_takes_a_load_below_its_floor(data: st.DataObject) -> None:
    """On every map drawn each unit gets at least its floor and draws at most what it may there."""
    job = job_of(data.draw(read_houses()))
    assume(clash(job, Log()) is None)
    assume(all(possible(job).values()))
    model = WiringModel.of(job)
    maps = maps_of(model, 20, 1)
    plan = data.draw(sensible_plans(model.job))
    judge = Judge(Facts.of(model.job, unknown="maps"))
    on_maps = [judge.states(plan, maps.map(n)) for n in range(min(len(maps), 20))]
    for s, state in enumerate(judge.states(plan)):
        assert state.volts is not None
        plugged, wired = [hung(u) for u in state.plugged], [fixed(w) for w in state.wired]
        floor = floor_units(judge.house, plugged, wired, state.volts.units)
        event(f"a floor is found: {floor is not None}")
        for states in on_maps if floor else []:
            seen = states[s].volts
            assert seen is not None
            assert not seen.collapse
            for least, unit in zip(floor or (), seen.units, strict=True):
                assert unit.volts >= least.volts
                assert unit.amps_ratio <= least.amps_ratio * (1 + 1e-9)


@settings(SLOW, max_examples=20)
@given(st.data())
def test_a_certificate_keeps_its_volts_on_every_map(data: st.DataObject) -> None:
    """A plan said to hold whatever the wiring passes the judge on every map drawn, volts too."""
    job = job_of(data.draw(read_houses()))
    assume(clash(job, Log()) is None)
    assume(all(possible(job).values()))
    model = WiringModel.of(job)
    solved = certificate(model, SolverConfig(time_limit_s=5.0, alternatives=0))
    event(f"certain: {solved is not None}")
    assume(solved is not None)
    assert solved is not None
    maps = maps_of(model, 20, 1)
    judge = Judge(Facts.of(model.job))
    for plan, _ in solved.plans:
        for number in range(min(len(maps), 20)):
            assert judge.judge(plan, maps.map(number)).holds
