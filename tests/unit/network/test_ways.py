"""The best and the worst ways a house may be wired, held to every way there is."""

from itertools import product

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from spreadload.check import Judge
from spreadload.check.volts import fixed, hung
from spreadload.derived.facts import Facts
from spreadload.network.floor import floor_units
from spreadload.network.records import HouseVolts
from spreadload.plan import Plan

PHASES = {
    "single-phase": ("L1", "L1", "L1"),
    "split-phase": ("A", "B", "A"),
    "three-phase": ("L1", "L2", "L3"),
}
CIRCUITS = ("P1", "P2", "P3")
OPEN = ("O1", "O2", "O3")
AT = plan_of(
    put("lamp", "O1", unit=1, place="lounge"),
    put("lamp", "O2", unit=2, place="lounge"),
    put("fresnel", "O3", place="lounge"),
    put("ballast", "O4", place="lounge"),
)


def open_house(system: str) -> Entry:
    """Return three circuits, one behind a long feed, three open outlets and one known."""
    phases = PHASES[system]
    reading = {"at": "board", "idle_v": 240.0, "loaded_v": 234.0, "load_a": 10.0}
    ways = zip(CIRCUITS, phases, (10.0, 30.0, 25.0), strict=True)
    wired = {c: circuit(20.0, phase=p, cable_m=m, cable_mm2=2.5) for c, p, m in ways}
    wired["P3"] |= {"sub_board": "SB"}
    return small_data(
        supply={
            "system": system,
            "limit_a": 63.0,
            "planning_v": 230.0,
            "readings": [reading],
        },
        sub_boards={"SB": {"feed_a": 32.0, "cable_m": 40.0, "cable_mm2": 4.0}},
        circuits=wired,
        outlets={o: outlet(None, "lounge") for o in OPEN} | {"O4": outlet("P2", "lounge")},
        heads={
            "lamp": amps(6.0, kind="led", power_factor=0.95, min_v=200.0, count=2),
            "fresnel": amps(4.0),
            "ballast": amps(7.0, kind="discharge", power_factor=0.6, min_v=200.0),
        },
        setups=[setup(lamp={"lounge": 2}, fresnel="lounge", ballast="lounge")],
    )


def every_way(data: Entry, plan: Plan) -> list[HouseVolts]:
    """Return the set-up under load on each way the open outlets may be wired."""
    judge = Judge(Facts.of(job_of(data), unknown="maps"))
    found = []
    for way in product(CIRCUITS, repeat=len(OPEN)):
        (state,) = judge.states(plan, dict(zip(OPEN, way, strict=True)))
        assert state.volts is not None
        found.append(state.volts)
    return found


def by_unit(data: Entry) -> list[list[float]]:
    """Return, unit by unit, the volts it gets on each way."""
    ways = [[unit.volts for unit in way.units] for way in every_way(data, AT)]
    return [list(each) for each in zip(*ways, strict=True)]


@pytest.mark.parametrize("system", PHASES)
def test_nothing_is_left_to_the_maps_that_every_wiring_refuses(system: str) -> None:
    """On one line no wiring gives any head more than the best told; on several hardly one does."""
    data = open_house(system)
    (state,) = Judge(Facts.of(job_of(data), unknown="maps")).states(AT)
    assert state.volts is not None
    lowest = [min(unit.volts for unit in way.units) for way in every_way(data, AT)]
    least_lowest = min(unit.volts for unit in state.volts.units)
    assert least_lowest >= max(lowest) - (1e-6 if system == "single-phase" else 0.2)
    if system == "single-phase":
        for told, others in zip(state.volts.units, by_unit(data), strict=True):
            assert told.volts >= max(others) - 0.01


@pytest.mark.parametrize("system", PHASES)
def test_counted_everywhere_a_head_gets_what_its_worst_wiring_gives(system: str) -> None:
    """What is told of an outlet counted on every circuit is within a volt of its worst wiring."""
    data = open_house(system)
    (state,) = Judge(Facts.of(job_of(data))).states(AT)
    assert state.volts is not None
    for told, others in zip(state.volts.units, by_unit(data), strict=True):
        assert told.volts == pytest.approx(min(others), abs=1.0)


@pytest.mark.parametrize("system", PHASES)
def test_no_wiring_goes_below_the_floor(system: str) -> None:
    """Each unit gets at least its floor, and draws at most what it draws there, on every way."""
    data = open_house(system)
    judge = Judge(Facts.of(job_of(data), unknown="maps"))
    (state,) = judge.states(AT)
    assert state.volts is not None
    plugged, wired = [hung(u) for u in state.plugged], [fixed(w) for w in state.wired]
    floor = floor_units(judge.house, plugged, wired, state.volts.units)
    assert floor is not None
    for way in every_way(data, AT):
        for least, unit in zip(floor, way.units, strict=True):
            assert unit.volts >= least.volts
            assert unit.amps_ratio <= least.amps_ratio + 1e-9
    lowest = min(u.volts for way in every_way(data, AT) for u in way.units)
    assert min(unit.volts for unit in floor) >= lowest - 8.0  # a bound, but not a useless one


def test_more_than_the_supply_can_carry_has_no_floor() -> None:
    """Where the volts may collapse nothing is certified."""
    data = open_house("single-phase")
    data["supply"]["readings"][0]["loaded_v"] = 140.0
    judge = Judge(Facts.of(job_of(data), unknown="maps"))
    (state,) = judge.states(AT)
    assert state.volts is not None
    assert floor_units(judge.house, [hung(u) for u in state.plugged], (), state.volts.units) is None
