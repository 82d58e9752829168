"""Slips in the supply, its readings, the boards and their ways."""

from builders import circuit
from slips.case import Case, reading, subs, supply, way

BOARD = {
    "planning between lines": Case(
        ("supply", "planning_v"),
        "not the volts",
        supply(planning_v=400.0),
        supply(planning_v=240.0),
    ),
    "floor above the plan": Case(
        ("supply", "min_v"),
        "not below",
        supply(planning_v=230.0, min_v=230.0),
        supply(planning_v=230.0, min_v=229.0),
    ),
    "main breaker without rating": Case(
        ("supply", "main_switch"),
        "needs its rating",
        supply(main_switch={"is_limit": True}),
        supply(main_switch={"is_limit": True, "rating_a": 63.0}),
    ),
    "contract beyond the fuse": Case(
        ("supply", "contract_w"),
        "can deliver",
        supply(planning_v=230.0, contract_w=4601.0),
        supply(planning_v=230.0, contract_w=4600.0),
    ),
    "contract without its amps": Case(
        ("supply", "limit_is_contract"),
        "no limit stated",
        {"supply": {"limit_is_contract": True}},
        supply(limit_is_contract=True),
    ),
    "legs of a single line": Case(
        ("supply", "limit_counts"),
        "only a supply of two legs",
        supply(limit_counts="both legs"),
        supply(system="split-phase", limit_counts="both legs"),
    ),
    "legs without their amps": Case(
        ("supply", "limit_counts"),
        "no limit stated",
        {"supply": {"system": "split-phase", "limit_counts": "each leg"}},
        supply(system="split-phase", limit_counts="each leg"),
    ),
    "contract in two units": Case(
        ("supply",),
        "in watts and in volt-amps",
        supply(contract_w=3000.0, contract_va=3000.0),
        supply(contract_va=3000.0),
    ),
    "contract beyond three fuses": Case(
        ("supply", "contract_w"),
        "can deliver",
        supply(system="three-phase", planning_v=230.0, contract_w=13801.0),
        supply(system="three-phase", planning_v=230.0, contract_w=13800.0),
    ),
    "amps for milliamps": Case(
        ("rcds", "R1", "trips_at_ma"),
        "opens at so little",
        {"rcds": {"R1": {"trips_at_ma": 0.03}}},
        {"rcds": {"R1": {"trips_at_ma": 5.0}}},
    ),
    "loaded above idle": Case(
        ("supply", "readings", 0, "loaded_v"),
        "more volts",
        reading(loaded_v=236.0, load_w=2000.0),
        reading(loaded_v=235.0, load_w=2000.0),
    ),
    "loaded without the load": Case(
        ("supply", "readings", 0), "without the load", reading(loaded_v=230.0), reading()
    ),
    "load without its volts": Case(
        ("supply", "readings", 0),
        "not the volts",
        reading(load_a=8.0),
        reading(load_a=8.0, loaded_v=230.0),
    ),
    "reading of other volts": Case(
        ("supply", "readings", 0, "idle_v"), "not the volts", reading(idle_v=23.5), reading()
    ),
    "sub-board that feeds itself": Case(
        ("sub_boards", "S", "fed_from"), "round and round", subs(S="S"), subs(S=None)
    ),
    "loop of sub-boards": Case(
        ("sub_boards", "T", "fed_from"),
        "round and round",
        subs(S="T", T="U", U="S"),
        subs(S="T", T="U", U=None),
    ),
    "fed from the main board by name": Case(
        ("sub_boards", "S", "fed_from"), "main board", subs(S="Main"), subs(S=None)
    ),
    "breaker and fuse": Case(
        ("circuits", "P1"),
        "not both",
        way(fuse_a=15.0),
        {"circuits": {"P1": {"fuse_a": 15.0}, "P2": circuit(10.0)}},
    ),
    "rewireable breaker": Case(
        ("circuits", "P1", "rewireable"),
        "only a fuse",
        way(rewireable=True),
        {"circuits": {"P1": {"fuse_a": 15.0, "rewireable": True}, "P2": circuit(10.0)}},
    ),
    "curve of a fuse": Case(
        ("circuits", "P1", "curve"),
        "no tripping curve",
        {"circuits": {"P1": {"fuse_a": 15.0, "curve": "C"}, "P2": circuit(10.0)}},
        way(curve="C"),
    ),
    "cable of a circuit ten times too thin": Case(
        ("circuits", "P1", "cable_mm2"),
        "not a size of fixed wiring",
        way(cable_mm2=0.25),
        way(cable_mm2=2.5),
    ),
    "cable of a sub-board ten times too thin": Case(
        ("sub_boards", "SB", "cable_mm2"),
        "not a size of fixed wiring",
        {"sub_boards": {"SB": {"feed_a": 32.0, "cable_mm2": 0.4}}},
        {"sub_boards": {"SB": {"feed_a": 32.0, "cable_mm2": 4.0}}},
    ),
    "phase of another system": Case(
        ("circuits", "P1", "phase"),
        "no such phase",
        way(phase="L2") | supply(system="single-phase"),
        way(phase="L2") | supply(system="three-phase"),
    ),
    "leg on three phases": Case(
        ("circuits", "P1", "phase"),
        "no such phase",
        way(phase="A") | supply(system="three-phase"),
        way(phase="A") | supply(system="split-phase"),
    ),
    "phase twice": Case(
        ("circuits", "P1", "phase"),
        "named twice",
        way(phase=["A", "A"]) | supply(system="split-phase"),
        way(phase=["A", "B"]) | supply(system="split-phase"),
    ),
    "phase of a sub-board": Case(
        ("sub_boards", "S", "phase"),
        "no such phase",
        supply(system="single-phase") | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L3"}}},
        supply(system="three-phase") | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L3"}}},
    ),
    "phase its sub-board lacks": Case(
        ("circuits", "P1", "phase"),
        "has no such phase",
        supply(system="three-phase")
        | way(phase="L2", sub_board="S")
        | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L1"}}},
        supply(system="three-phase")
        | way(phase="L2", sub_board="S")
        | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L1 L2"}}},
    ),
}
