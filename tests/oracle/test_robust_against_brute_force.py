"""The robust plan, its bound and its chance held to plain enumeration with the judge alone."""

from itertools import product

import pytest

from builders import amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Plan, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.variables import Variables
from spreadload.solver.robust.least_risk import find_robust_plans
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.wiring.maps import Maps, listed_maps
from spreadload.wiring.model import WiringModel

CONFIG = SolverConfig(time_limit_s=20.0, alternatives=0)
ROOMS = {
    "lounge": {"use": "living", "at": [0.0, 0.0]},
    "bed": {"use": "bedroom", "at": [6.0, 0.0]},
    "study": {"use": "study", "at": [9.0, 0.0]},
}


def house(**changes: object) -> Job:
    """Return three rooms with four open outlets on two circuits of 10 A, and four lamps."""
    stated: dict[str, object] = {
        "circuits": {"P1": circuit(10.0, rcd="R1"), "P2": circuit(10.0)},
        "rcds": {"R1": {"trips_at_ma": 30.0}},
        "rooms": ROOMS,
        "outlets": {
            "O1": outlet("P1", "lounge", at=[0.0, 0.0]),
            "O2": outlet(None, "lounge", at=[3.0, 0.0]),
            "O3": outlet(None, "bed", at=[6.0, 0.0]),
            "O4": outlet(None, "study", at=[9.0, 0.0]),
        },
        "heads": {"big": amps(6.0), "mid": amps(4.0), "low": amps(3.0, leakage_ma=9.0)},
        "setups": [
            setup("SU1", big="lounge", mid="bed", low="bed"),
            setup("SU2", big="study", low="lounge"),
        ],
    }
    return small_job(**(stated | changes))


def every_plan(facts: Facts) -> list[Plan]:
    """Return every way of plugging each unit straight in at some outlet, the judge's word kept."""
    options = Variables.of(facts).options
    demands = list(options)
    found = []
    for choice in product(*(options[d] for d in demands)):
        plan = _plan(list(zip(demands, choice, strict=True)))
        if plan is not None:
            found.append(plan)
    return found


def _plan(chosen: list[tuple[object, Candidate]]) -> Plan | None:
    sockets: dict[tuple[str, str], int] = {}
    entries = []
    for demand, option in chosen:
        key = (demand.setup, option.point.id)  # type: ignore[attr-defined]
        sockets[key] = sockets.get(key, 0) + 1
        if sockets[key] > option.point.sockets:
            return None
        entries.append(
            put(
                demand.load,  # type: ignore[attr-defined]
                option.point.id,
                name=demand.setup,  # type: ignore[attr-defined]
                place=demand.place,  # type: ignore[attr-defined]
                socket=sockets[key],
            )
        )
    return plan_of(*entries)


def judged_risk(judge: Judge, plan: Plan, maps: Maps) -> float:
    """Return the weight of maps on which the judge finds any limit passed."""
    return sum(
        float(weight)
        for number, weight in enumerate(maps.weights)
        if not judge.judge(plan, maps.map(number)).holds
    )


def test_no_plan_is_less_risky_than_the_one_found() -> None:
    """The least risk over every plan, by enumeration, is what the robust search reaches."""
    model = WiringModel.of(house())
    maps = listed_maps(model)
    facts = Facts.of(model.job, unknown="maps")
    judge = Judge(facts)
    legal = [p for p in every_plan(facts) if judge.judge(p).holds]
    least = min(judged_risk(judge, p, maps) for p in legal)
    outcome = find_robust_plans(model, CONFIG)
    assert isinstance(outcome, Solved)
    chance = outcome.chances[0]
    assert least > 0
    assert not chance.certificate
    assert chance.fails_pct == pytest.approx(100 * least, abs=0.01)
    assert chance.bound_pct is not None
    assert chance.bound_pct <= 100 * least + 0.01
    assert chance.bound_pct >= 100 * least - 0.5


def few_sockets(**changes: object) -> Job:
    """Return a house where sockets, not amps, put a lamp on each of two open outlets."""
    known = {"O1": "P1", "O4": "P2"}
    outlets = {
        name: outlet(known.get(name), "bed", at=[3.0 * n, 0.0], sockets=1)
        for n, name in enumerate(("O1", "O2", "O3", "O4"))
    }
    heads = {name: amps(4.0) for name in ("key", "fill", "back", "top")}
    setups = [setup("SU1", key="bed", fill="bed", back="bed", top="bed")]
    return house(outlets=outlets, heads=heads, setups=setups, **changes)


def test_the_bound_knows_how_many_sockets_there_are() -> None:
    """Where amps alone would let every unit crowd onto sure outlets, the bound is still reached."""
    model = WiringModel.of(few_sockets())
    maps = listed_maps(model)
    facts = Facts.of(model.job, unknown="maps")
    judge = Judge(facts)
    least = min(judged_risk(judge, p, maps) for p in every_plan(facts) if judge.judge(p).holds)
    outcome = find_robust_plans(model, CONFIG)
    assert isinstance(outcome, Solved)
    assert 0 < least < 1
    assert outcome.chances[0].bound_pct == pytest.approx(100 * least, abs=0.5)


def test_a_power_board_in_stock_gives_the_bound_its_seats_back() -> None:
    """With boards two lamps sit on each outlet that is known, and no wiring makes that fail."""
    boards = [{"ways": 4, "rating_a": 10.0, "count": 2}]
    model = WiringModel.of(few_sockets(power_boards=boards))
    outcome = find_robust_plans(model, CONFIG)
    assert isinstance(outcome, Solved)
    assert outcome.chances[0].fails_pct == 0


def test_table_says_what_the_judge_says_on_every_map() -> None:
    """Whether a plan fails on a map is the same from the table of groups and from the judge."""
    model = WiringModel.of(house())
    maps = listed_maps(model)
    facts = Facts.of(model.job, unknown="maps")
    judge = Judge(facts)
    for plan in [p for p in every_plan(facts) if judge.judge(p).holds][::7]:
        table = RiskTable.of(facts, maps, list(facts.points.values()))
        assert table.risk(plan) == pytest.approx(judged_risk(judge, plan, maps), abs=1e-9)


def test_leakage_that_depends_on_the_map_counts_as_failing() -> None:
    """An RCD that trips on some maps only makes a plan fail on those."""
    heads = {"leaky": amps(1.0, leakage_ma=8.0, count=2)}
    outlets = {
        "O1": outlet("P1", "lounge", sockets=1),
        "O2": outlet(None, "bed", sockets=1),
    }
    setups = [setup("SU1", leaky={"lounge": 1, "bed": 1})]
    job = house(heads=heads, outlets=outlets, setups=setups)
    model = WiringModel.of(job)
    maps = listed_maps(model)
    plan = plan_of(
        put("leaky", "O1", place="lounge", unit=1), put("leaky", "O2", place="bed", unit=2)
    )
    facts = Facts.of(model.job, unknown="maps")
    table = RiskTable.of(facts, maps, list(facts.points.values()))
    assert table.risk(plan) == pytest.approx(maps.chances("O2")["P1"])
    assert 0 < table.risk(plan) < 1


def test_certificate_is_found_where_one_exists() -> None:
    """A light list gets a plan that is certain, and no map makes it fail."""
    job = house(heads={"big": amps(4.0), "mid": amps(3.0), "low": amps(2.0)})
    outcome = find_robust_plans(WiringModel.of(job), CONFIG)
    assert isinstance(outcome, Solved)
    assert outcome.chances[0].certificate
    maps = listed_maps(WiringModel.of(job))
    judge = Judge(Facts.of(job))
    assert judged_risk(judge, outcome.plans[0][0], maps) == 0


def test_same_input_gives_the_same_plan() -> None:
    """Two runs on one job agree to the last plug and the last digit of the chance."""
    first, second = (find_robust_plans(WiringModel.of(house()), CONFIG) for _ in range(2))
    assert first == second


def test_a_changed_belief_changes_the_plan_and_the_number() -> None:
    """Believing that bedroom and study share a circuit moves a lamp and the chance."""
    told = house(wiring={"zones": {"back": ["bed", "study"]}, "stray_pct": 1.0})
    doubtful = house(wiring={"stray_pct": 40.0})
    sure, unsure = (find_robust_plans(WiringModel.of(j), CONFIG) for j in (told, doubtful))
    assert isinstance(sure, Solved)
    assert isinstance(unsure, Solved)
    assert sure.chances[0].fails_pct < unsure.chances[0].fails_pct / 2
