"""What a test of the wiring is worth, held to every plan and every wiring of small houses.

Plans are listed, the judge alone says on which wirings each fails, and the value of a test is
averaged over its outcomes in plain Python.
"""

from collections import defaultdict
from functools import cache
from itertools import product

import pytest

from builders import amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Plan
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.variables import Variables
from spreadload.solver.tracing.tracer import trace
from spreadload.solver.tracing.worth import Tracing, Wanted
from spreadload.wiring.maps import Maps, listed_maps
from spreadload.wiring.model import WiringModel
from spreadload.wiring.trials import Trial, TrialKind

pytestmark = pytest.mark.slow

CONFIG = SolverConfig(time_limit_s=30.0, alternatives=0)
HOUSES = {
    "two circuits": {
        "circuits": {"P1": circuit(10.0, rcd="R1"), "P2": circuit(10.0)},
        "heads": {"big": amps(6.0), "mid": amps(4.0), "low": amps(3.0)},
    },
    "three circuits": {
        "circuits": {
            "P1": circuit(10.0, rcd="R1"),
            "P2": circuit(8.0, rcd="R1"),
            "P3": circuit(6.0),
        },
        "heads": {"big": amps(6.0), "mid": amps(5.0), "low": amps(2.0)},
    },
    "a house that trips anyhow": {
        "circuits": {"P1": circuit(10.0, rcd="R1"), "P2": circuit(6.0)},
        "heads": {"big": amps(6.0), "mid": amps(5.5), "low": amps(1.0)},
    },
}


def house(name: str) -> Job:
    """Return three rooms with one known and three open outlets, and three lamps."""
    stated = {
        "rcds": {"R1": {"trips_at_ma": 30.0}},
        "rooms": {
            "lounge": {"use": "living", "at": [0.0, 0.0]},
            "bed": {"use": "bedroom", "at": [6.0, 0.0]},
            "study": {"use": "study", "at": [9.0, 0.0]},
        },
        "outlets": {
            "O1": outlet("P1", "lounge", at=[0.0, 0.0]),
            "O2": outlet(None, "lounge", at=[3.0, 0.0]),
            "O3": outlet(None, "bed", at=[6.0, 0.0]),
            "O4": outlet(None, "study", at=[9.0, 0.0]),
        },
        "setups": [setup("SU1", big="lounge", mid="bed", low="study")],
    }
    return small_job(**(stated | HOUSES[name]))


def every_plan(facts: Facts) -> list[Plan]:
    """Return every way of plugging each unit straight in at some outlet."""
    options = Variables.of(facts).options
    found = []
    for choice in product(*options.values()):
        plan = _plan(list(zip(options, choice, strict=True)))
        if plan is not None:
            found.append(plan)
    return found


def _plan(chosen: list[tuple[Demand, Candidate]]) -> Plan | None:
    sockets: dict[str, int] = defaultdict(int)
    entries = []
    for demand, option in chosen:
        sockets[option.point.id] += 1
        if sockets[option.point.id] > option.point.sockets:
            return None
        socket = sockets[option.point.id]
        entries.append(
            put(demand.load, option.point.id, name="SU1", place=demand.place, socket=socket)
        )
    return plan_of(*entries)


@cache
def judged(name: str) -> tuple[Maps, list[list[bool]], Tracing]:
    """Return a house's wirings, where each plan fails by the judge's word, and the tracing."""
    model = WiringModel.of(house(name))
    maps = listed_maps(model)
    facts = Facts.of(model.job, unknown="maps")
    judge = Judge(facts)
    on = [maps.map(n) for n in range(len(maps))]
    fails = [
        [not judge.judge(plan, wiring).holds for wiring in on]
        for plan in every_plan(facts)
        if judge.judge(plan).holds
    ]
    found = trace(model, Wanted(), CONFIG)
    assert isinstance(found, Tracing)
    return maps, fails, found


def worth(maps: Maps, fails: list[list[bool]], trial: Trial) -> float:
    """Return the chance that the best plan after a test still trips, by plain sums."""
    outcomes: dict[tuple[bool, ...], list[int]] = defaultdict(list)
    for n in range(len(maps)):
        wiring = maps.map(n)
        outcomes[tuple(wiring[lamp] in trial.off for lamp in trial.lamps)].append(n)
    return sum(
        min(sum(float(maps.weights[n]) for n in some if row[n]) for row in fails)
        for some in outcomes.values()
    )


def told(maps: Maps, fails: list[list[bool]], trial: Trial) -> float:
    """Return the same for an owner who names the right circuit so many times likelier."""
    right = trial.sure / (trial.sure + len(trial.off) - 1)
    wrong = 1 / (trial.sure + len(trial.off) - 1)
    left = 0.0
    for said in trial.off:
        chance = [
            float(maps.weights[n]) * (right if maps.map(n)[trial.lamps[0]] == said else wrong)
            for n in range(len(maps))
        ]
        left += min(sum(c for c, f in zip(chance, row, strict=True) if f) for row in fails)
    return left


@pytest.mark.parametrize("name", HOUSES)
def test_every_test_is_worth_what_all_plans_and_wirings_say(name: str) -> None:
    """Doing nothing, knowing everything, and each test: the figures of full enumeration."""
    maps, fails, found = judged(name)
    everything = Trial(TrialKind.BREAKER, off=())
    assert found.now == pytest.approx(worth(maps, fails, everything), abs=1e-9)
    best_each = [not any(not row[n] for row in fails) for n in range(len(maps))]
    whole = sum(float(w) for w, is_lost in zip(maps.weights, best_each, strict=True) if is_lost)
    assert found.known == pytest.approx(whole, abs=1e-9)
    kinds = {w.trial.kind for w in found.worths}
    assert {TrialKind.BREAKER, TrialKind.RCD, TrialKind.ASK} <= kinds
    for w in found.worths:
        exact = told if w.trial.kind is TrialKind.ASK else worth
        assert w.after == pytest.approx(exact(maps, fails, w.trial), abs=1e-6), w.trial


@pytest.mark.parametrize("name", HOUSES)
def test_lamps_stand_where_they_tell_as_much_as_lamps_everywhere(name: str) -> None:
    """The lamps chosen give up nothing against a lamp in every open outlet."""
    maps, fails, found = judged(name)
    everywhere = tuple(o for o in maps.outlets if len(maps.chances(o)) > 1)
    for w in found.worths:
        if w.trial.kind is TrialKind.BREAKER:
            full = Trial(TrialKind.BREAKER, w.trial.off, everywhere)
            assert w.after <= worth(maps, fails, full) + 0.01, w.trial


def test_some_house_has_tests_worth_making_and_some_has_none() -> None:
    """The houses above are not all alike, so that the figures say something."""
    gains = [max(w.gain for w in judged(name)[2].worths) for name in HOUSES]
    assert max(gains) > 0.02
    assert judged("a house that trips anyhow")[2].known > 0
