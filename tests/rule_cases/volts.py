"""Forbidden plans and their neighbours for volts under load, sagging amps and the neutral."""

from builders import Entry, amps, circuit, outlet, plan_of, put, setup, small_data
from rule_cases.case import Case
from spreadload.plan import LeftOut

# One ohm in front of the board: 10 A take 10 V.
READ = {
    "limit_a": 63.0,
    "planning_v": 230.0,
    "readings": [{"at": "board", "idle_v": 242.0, "loaded_v": 232.0, "load_a": 10.0}],
}
NEAR = {"cable_m": 0.0, "cable_mm2": 2.5}
FAR = {"cable_m": 50.0, "cable_mm2": 2.5}


def near_and_far(breaker_a: float, **lamp: float) -> Entry:
    """Return a flat with O1 at the board, O2 at the end of 50 m, and a regulated lamp of 10 A."""
    return small_data(
        supply=READ,
        circuits={"P1": circuit(breaker_a, **NEAR), "P2": circuit(breaker_a, **FAR)},
        outlets={
            "O1": outlet("P1", "lounge", plug="au-15"),
            "O2": outlet("P2", "bed", plug="au-15"),
        },
        heads={"lamp": amps(10.0, kind="led", power_factor=1.0, plug="au-15", **lamp)},
        setups=[setup(lamp="lounge")],
    )


def two_on_a_board() -> Entry:
    """Return a near and a far outlet, a power board of 10 A and two regulated lamps of 4.9 A."""
    lamp = amps(4.9, kind="led", power_factor=1.0, min_v=100.0, count=2)
    more = {
        "heads": {"lamp": lamp},
        "power_boards": [{"ways": 4, "rating_a": 10.0, "count": 1}],
        "setups": [setup(lamp={"lounge": 2})],
    }
    return near_and_far(16.0) | more


def _three_phase() -> Entry:
    names = ("L1", "L2", "L3")
    return small_data(
        supply={"system": "three-phase", "limit_a": 10.0, "planning_v": 230.0},
        circuits={f"P{n}": circuit(10.0, phase=name) for n, name in enumerate(names, 1)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge") for n in (1, 2, 3)},
        heads={"lamp": amps(8.0, kind="electronics", power_factor=0.6, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )


def _out(unit: int) -> LeftOut:
    return LeftOut(setup="SU1", load="lamp", unit=unit, place="lounge")


VOLTS_CASES: tuple[Case, ...] = (
    Case(
        "volts",
        "a head at the end of a long cable",
        near_and_far(16.0, min_v=228.0),
        plan_of(put("lamp", "O2", place="lounge")),
        plan_of(put("lamp", "O1", place="lounge")),
        None,
        228.0,
        "V",
        "lamp 1",
    ),
    Case(
        "circuit under sag",
        "a regulated lamp that draws more than its breaker as volts fall",
        near_and_far(10.0, min_v=100.0),
        plan_of(put("lamp", "O2", place="lounge")),
        plan_of(put("lamp", "O1", place="lounge")),
        None,
        10.0,
        "A",
        "P2",
    ),
    Case(
        "gear under sag",
        "two regulated lamps fill a power board as their volts fall",
        two_on_a_board(),
        plan_of(*(put("lamp", "O2", unit=n, board=0, place="lounge") for n in (1, 2))),
        plan_of(*(put("lamp", "O1", unit=n, board=0, place="lounge") for n in (1, 2))),
        None,
        10.0,
        "A",
        "O2 socket 1",
    ),
    Case(
        "neutral",
        "third harmonics of three even phases add up to more than one phase",
        _three_phase(),
        plan_of(*(put("lamp", f"O{n}", unit=n, place="lounge") for n in (1, 2, 3))),
        plan_of(put("lamp", "O1", place="lounge"), _out(2), _out(3)),
        3 * 8.0 * 0.577,
        10.0,
        "A",
        "neutral",
    ),
)
