"""Every hard rule and every goal of the solver changes some answer when it is taken away."""

from dataclasses import dataclass

import pytest
from ortools.sat.python import cp_model

from builders import Entry, amps, circuits, job_of, outlet, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model import rules, run_rules
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.request import NOTHING_RELAXED, Request
from spreadload.solver.model.rules import RULES, Rule
from spreadload.solver.model.variables import Relaxations, Variables
from spreadload.solver.search.ranked_plans import find_one

BOX = {"inlet": "cee-32-5pin", "outlet": "cee-16", "outlets_per_phase": 2, "cable_m": 50.0}
CEE = {"plug": "cee-32-5pin", "sockets": 1, "circuit": "P1", "known": "tested"}
ON_CEE = {
    "supply": {"system": "three-phase", "limit_a": 200.0},
    "circuits": {
        "P1": {"label": "STAGE", "breaker_a": 32.0, "phase": ["L1", "L2", "L3"], "feeds": "outlets"}
    },
}
TWO_LAMPS = {"heads": {"lamp": amps(6.0, count=2)}, "setups": [setup(lamp={"lounge": 2})]}


def small_lamps(count: int, cord_m: float = 50.0) -> Entry:
    """Return so many lamps of 1 A in the lounge."""
    lamp = amps(1.0, count=count) | {"cord_m": cord_m}
    return {"heads": {"lamp": lamp}, "setups": [setup(lamp={"lounge": count})]}


def far(count: int, leads: int, **more: object) -> Entry:
    """Return lamps that need a lead to the only outlet, and so many leads."""
    return small_lamps(count, 1.0) | {
        "rooms": {"lounge": {"use": "living", "at": [0.0, 0.0]}},
        "outlets": {"O1": outlet("P1", at=[4.0, 0.0]) | more},
        "leads": [{"length_m": 20.0, "size_mm2": 2.5, "count": leads}],
    }


TOO_MUCH: dict[Rule, Entry] = {
    rules.place_every_unit: {"heads": {"lamp": amps(40.0)}},
    rules.limit_plates: TWO_LAMPS
    | {"circuits": circuits(P1=20.0), "outlets": {"O1": outlet("P1", plate_a=10.0)}},
    rules.stand_boxes: ON_CEE
    | {"outlets": {"O1": CEE, "O2": CEE}, "boxes": {"B": BOX | {"count": 1}}}
    | {
        "heads": {"lamp": amps(1.0, count=7, plug="cee-16")},
        "setups": [setup(lamp={"lounge": 7})],
        "rooms": {"lounge": {"use": "living"}},
    },
    rules.limit_box_inlets: ON_CEE
    | {
        "outlets": {"O1": CEE | {"socket_a": 16.0, "plate_a": 40.0}},
        "boxes": {"B": BOX | {"count": 1}},
        "heads": {"lamp": amps(10.0, count=4, plug="cee-16")},
        "setups": [setup(lamp={"lounge": 4})],
        "rooms": {"lounge": {"use": "living"}},
    },
    rules.limit_circuits: TWO_LAMPS
    | {"circuits": circuits(P1=10.0), "outlets": {"O1": outlet("P1"), "O2": outlet("P1")}},
    rules.limit_feeds: TWO_LAMPS
    | {
        "sub_boards": {"garage": {"feed_a": 10.0}},
        "circuits": {
            name: entry | {"sub_board": "garage"}
            for name, entry in circuits(P1=10.0, P2=10.0).items()
        },
    },
    rules.limit_phases: TWO_LAMPS | {"supply": {"limit_a": 10.0, "planning_v": 230.0}},
    rules.limit_rcd_amps: TWO_LAMPS
    | {
        "rcds": {"R": {"trips_at_ma": 30.0, "rating_a": 10.0}},
        "circuits": {
            name: entry | {"rcd": "R"} for name, entry in circuits(P1=10.0, P2=10.0).items()
        },
    },
    rules.limit_leakage: {
        "rcds": {"R": {"trips_at_ma": 30.0}},
        "circuits": {
            name: entry | {"rcd": "R"} for name, entry in circuits(P1=10.0, P2=10.0).items()
        },
        "heads": {"lamp": amps(4.0, leakage_ma=10.0, count=2)},
        "setups": [setup(lamp={"lounge": 2})],
    },
    rules.limit_contract: TWO_LAMPS
    | {"supply": {"limit_a": 63.0, "planning_v": 230.0, "contract_w": 2000.0}},
    run_rules.reach_points: small_lamps(2)
    | {
        "outlets": {"O1": outlet("P1", sockets=1)},
        "heads": {"lamp": amps(1.0), "lantern": amps(1.0)},
        "setups": [setup(lamp="lounge", lantern="lounge")],
    },
    run_rules.share_sockets: small_lamps(2)
    | {
        "outlets": {"O1": outlet("P1", sockets=1)},
        "heads": {"lamp": amps(1.0), "lantern": amps(1.0)},
        "setups": [setup(lamp="lounge", lantern="lounge")],
    },
    run_rules.fill_boards: small_lamps(2)
    | {
        "outlets": {"O1": outlet("P1", sockets=1)},
        "power_boards": [{"ways": 2, "count": 1}],
        "heads": {"lamp": amps(1.0, count=2), "lantern": amps(1.0)},
        "setups": [setup(lamp={"lounge": 2}, lantern="lounge")],
    },
    run_rules.fill_remote_boards: far(3, 1, sockets=2)
    | {"power_boards": [{"ways": 2, "count": 1}]},
    run_rules.stock_boards: small_lamps(4)
    | {
        "outlets": {"O1": outlet("P1", sockets=1), "O2": outlet("P2", sockets=1)},
        "power_boards": [{"ways": 2, "count": 1}],
    },
    run_rules.stock_leads: far(2, 1),
}


@dataclass(frozen=True)
class Split:
    """A job on which one goal and another pull in different directions."""

    data: Entry
    other: Goal = Goal.CABLE
    relaxed: Relaxations = NOTHING_RELAXED


def is_feasible(data: Entry, kept: tuple[Rule, ...]) -> bool:
    """Whether a model with these rules has any solution."""
    v = Variables.of(Facts.of(job_of(small_data(**data))))
    for rule in kept:
        rule(v)
    status = cp_model.CpSolver().solve(v.model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return bool(status != cp_model.INFEASIBLE)


@pytest.mark.parametrize("rule", TOO_MUCH, ids=lambda rule: rule.__name__)
def test_without_the_rule_the_impossible_is_possible(rule: Rule) -> None:
    """The rule alone forbids every plan of its job."""
    assert not is_feasible(TOO_MUCH[rule], RULES)
    assert is_feasible(TOO_MUCH[rule], tuple(kept for kept in RULES if kept is not rule))


def test_every_rule_of_the_solver_has_a_job() -> None:
    """A rule without a job that it decides does not exist."""
    assert set(TOO_MUCH) == set(RULES)


def house(**changes: object) -> Entry:
    """Return a room with O1 on P1 beside it and O2 on P2 twenty metres off, leads to both."""
    entries: Entry = {
        "circuits": circuits(P1=20.0, P2=20.0),
        "rooms": {},
        "places": {"here": {"at": [0.0, 0.0]}, "there": {"at": [20.0, 0.0]}},
        "outlets": {"O1": outlet("P1", at=[0.0, 0.0]), "O2": outlet("P2", at=[20.0, 0.0])},
        "leads": [{"length_m": 60.0, "size_mm2": 6.0, "count": 9}],
        "rules": {"lead_drop_pct": 20.0},
        "heads": {"lamp": lamp()},
        "setups": [setup(lamp={"here": 2})],
    }
    return entries | changes


def lamp(**changes: object) -> Entry:
    """Return a 4 A lamp with a short cord."""
    return amps(4.0, count=2) | {"cord_m": 4.0} | changes


def behind(**rcds: str) -> Entry:
    """Return the two circuits, each behind an RCD."""
    return {name: e | {"rcd": rcds[name]} for name, e in circuits(P1=20.0, P2=20.0).items()}


CONFLICTS: dict[Goal, Split] = {
    Goal.KEEP_HEADS: Split(house(), relaxed=Relaxations(heads_may_be_left_out=True)),
    Goal.KEEP_HOUSE_ON: Split(
        house(
            house={"heater": amps(5.0, kind="heater") | {"circuit": "P1", "policy": "may be off"}},
            setups=[setup(on=["heater"], lamp={"here": 2})],
        ),
        other=Goal.TIGHTEST,
    ),
    Goal.DISCHARGE_APART: Split(house(heads={"lamp": lamp(kind="discharge", big=True)})),
    Goal.LAST_RESORT: Split(
        house(
            outlets={
                "O1": outlet("P1", at=[0.0, 0.0], use="last resort"),
                "O2": outlet("P2", at=[20.0, 0.0]),
            }
        )
    ),
    Goal.HEAT_APART: Split(
        house(
            departments={"dryer": amps(5.0, kind="heater", by="make-up") | {"outlet": "O1"}},
            setups=[setup(on=["dryer"], lamp={"here": 1})],
        )
    ),
    Goal.LIGHT_STAYS: Split(house()),
    Goal.LEAKAGE_GUIDE: Split(
        house(
            rcds={"R": {"trips_at_ma": 30.0}, "S": {"trips_at_ma": 30.0}},
            circuits=behind(P1="R", P2="S"),
            heads={"lamp": lamp(leakage_ma=6.0)},
        )
    ),
    Goal.TIGHTEST: Split(house()),
    Goal.EACH_SETUP: Split(
        house(setups=[setup("SU1", lamp={"here": 2}), setup("SU2", lamp={"here": 2})])
    ),
    Goal.BALANCE: Split(
        house(
            supply={"system": "three-phase", "limit_a": 63.0},
            circuits={
                "P1": circuits(P1=20.0)["P1"] | {"phase": "L1"},
                "P2": circuits(P2=20.0)["P2"] | {"phase": "L2"},
                "P3": circuits(P3=20.0)["P3"] | {"phase": "L3"},
            },
            outlets={f"O{n}": outlet(f"P{n}", at=[10.0 * n - 10.0, 0.0]) for n in (1, 2, 3)},
            heads={"lamp": amps(6.0, count=3) | {"cord_m": 4.0}},
            setups=[setup(lamp={"here": 3})],
        )
    ),
    Goal.REPLUGS: Split(
        house(setups=[setup("SU1", lamp={"here": 1}), setup("SU2", lamp={"there": 1})])
    ),
    Goal.CABLE: Split(house(), other=Goal.TIGHTEST),
}


def value(split: Split, goal: Goal, goals: tuple[Goal, ...]) -> int:
    """Return what one goal is worth in the best plan under some goals."""
    facts = Facts.of(job_of(small_data(**split.data)))
    request = Request(goals=goals, relaxed=split.relaxed)
    best, _ = find_one(facts, Judge(facts), SolverConfig(), Clock(20.0), request)
    assert best is not None
    return next(g.value for g in best[1].goals if g.goal == goal.value)


@pytest.mark.parametrize("goal", CONFLICTS, ids=str)
def test_without_the_goal_the_plan_is_worse_in_it(goal: Goal) -> None:
    """The goal outweighs the one after it; alone, the other would choose otherwise."""
    split = CONFLICTS[goal]
    kept = value(split, goal, (goal, split.other))
    assert value(split, goal, (split.other,)) > kept


def test_every_goal_of_the_solver_has_a_conflict() -> None:
    """A goal that never decides anything does not exist."""
    assert set(CONFLICTS) == set(GOALS)
