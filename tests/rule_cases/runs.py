"""Cases of the run from socket to head: leads, power boards and distribution boxes."""

from builders import Entry, amps, circuit, outlet, plan_of, put, setup
from rule_cases.case import Case, flat
from spreadload.plan import LeftOut

TWO_LAMPS = setup(lamp={"lounge": 2})
FAR = setup(lamp="far")


def walk(leads: list[Entry], **changes: object) -> Entry:
    """Return a flat whose lamp stands 10 m along the wall: 1.3 x 10 + 2 = 15 m of lead."""
    apart: Entry = {
        "outlets": {"O1": outlet("P1", at=[0.0, 0.0])},
        "places": {"far": {"at": [10.0, 0.0]}},
        "heads": {"lamp": amps(6.0, cord_m=3.0)},
        "leads": leads,
        "setups": [FAR],
    }
    return flat(**(apart | changes))


def hall(**changes: object) -> Entry:
    """Return a hall with two five-pin outlets and one box of two outlets a phase."""
    three: Entry = {
        "supply": {"system": "three-phase", "limit_a": 63.0, "limit_source": "stated"},
        "circuits": {
            "T1": circuit(32.0, phase="L1 L2 L3"),
            "T2": circuit(32.0, phase="L1 L2 L3"),
        },
        "outlets": {
            "A": outlet("T1", sockets=1, plug="au-32-5pin"),
            "B": outlet("T2", sockets=1, plug="au-32-5pin"),
        },
        "boxes": {"box": {"inlet": "au-32-5pin", "outlet": "au-10", "outlets_per_phase": 2}},
        "heads": {"lamp": amps(6.0)},
        "setups": [TWO_LAMPS],
    }
    return flat(**(three | changes))


RUN_CASES: tuple[Case, ...] = (
    Case(
        "boards in stock",
        "two power boards of one",
        flat(power_boards=[{"ways": 4}], setups=[TWO_LAMPS]),
        plan_of(put("lamp", "O1", unit=1, board=0), put("lamp", "O2", unit=2, board=0)),
        plan_of(put("lamp", "O1", unit=1, board=0), put("lamp", "O2", unit=2)),
        2,
        1,
        "",
        "power board 0",
    ),
    Case(
        "boxes in stock",
        "one box at two outlets",
        hall(),
        plan_of(put("lamp", "A/box/L1", unit=1), put("lamp", "B/box/L1", unit=2)),
        plan_of(put("lamp", "A/box/L1", unit=1), put("lamp", "A/box/L2", unit=2)),
        2,
        1,
        "",
        "box",
    ),
    Case(
        "boxes in stock",
        "a box and a plug in one socket",
        hall(
            heads={"lamp": amps(6.0), "big": amps(6.0, plug="au-32-5pin")},
            setups=[setup(lamp="lounge", big="lounge")],
        ),
        plan_of(put("lamp", "A/box/L1"), put("big", "A")),
        plan_of(put("lamp", "A/box/L1"), put("big", "B")),
        2,
        1,
        "",
        "A",
    ),
    Case(
        "box inlet",
        "12 A on one phase of a 10 A inlet",
        hall(
            boxes={
                "box": {
                    "inlet": "au-32-5pin",
                    "inlet_a": 10.0,
                    "outlet": "au-10",
                    "outlets_per_phase": 2,
                }
            }
        ),
        plan_of(put("lamp", "A/box/L1", unit=1), put("lamp", "A/box/L1", unit=2, socket=2)),
        plan_of(put("lamp", "A/box/L1", unit=1), put("lamp", "A/box/L3", unit=2)),
        12.0,
        10.0,
        "A",
        "A/box/L1",
    ),
    Case(
        "plug",
        "a single-phase plug in a five-pin outlet by an adaptor",
        hall(
            places={"spot": {"room": "lounge"}},
            leads=[{"length_m": 20.0, "size_mm2": 2.5, "plug": "au-32-5pin", "socket": "au-10"}],
            setups=[setup(lamp="spot")],
        ),
        plan_of(put("lamp", "A", lead=0)),
        plan_of(put("lamp", "A/box/L1")),
        1,
        0,
        "",
        "lamp 1",
    ),
    Case(
        "leads in stock",
        "two leads of one",
        walk(
            [{"length_m": 15.0, "size_mm2": 1.5}],
            heads={"lamp": amps(3.0, cord_m=3.0)},
            setups=[setup(lamp={"far": 2})],
        ),
        plan_of(put("lamp", "O1", unit=1, lead=0), put("lamp", "O1", unit=2, socket=2, lead=0)),
        plan_of(put("lamp", "O1", unit=1, lead=0), LeftOut(setup="SU1", load="lamp", unit=2)),
        2,
        1,
        "",
        "lead 0",
    ),
    Case(
        "lead reach",
        "15 m by the walls with 13 m of lead and cord",
        walk([{"length_m": 10.0, "size_mm2": 1.5}, {"length_m": 12.0, "size_mm2": 1.5}]),
        plan_of(put("lamp", "O1", lead=0)),
        plan_of(put("lamp", "O1", lead=1)),
        15.0,
        13.0,
        "m",
        "lamp 1",
    ),
    Case(
        "lead amps",
        "6 A through a 5 A lead",
        walk(
            [
                {"length_m": 15.0, "size_mm2": 1.5, "rating_a": 5.0},
                {"length_m": 15.0, "size_mm2": 1.5, "rating_a": 6.0},
            ]
        ),
        plan_of(put("lamp", "O1", lead=0)),
        plan_of(put("lamp", "O1", lead=1)),
        6.0,
        5.0,
        "A",
        "lamp 1",
    ),
    Case(
        "lead drop",
        "100 m of thin lead",
        walk([{"length_m": 100.0, "size_mm2": 1.0}, {"length_m": 25.0, "size_mm2": 1.0}]),
        plan_of(put("lamp", "O1", lead=0)),
        plan_of(put("lamp", "O1", lead=1)),
        None,
        # 3 % of 230 V; the volts lost follow from the conductor tables.
        6.9,
        "V",
        "lamp 1",
    ),
    Case(
        "board lead",
        "a board on a lead for two places",
        walk(
            [{"length_m": 15.0, "size_mm2": 1.5, "count": 2}],
            places={"far": {"at": [10.0, 0.0]}, "near": {"at": [5.0, 0.0]}},
            heads={"lamp": amps(3.0, cord_m=3.0)},
            power_boards=[{"ways": 4}],
            setups=[setup(lamp={"far": 1, "near": 1})],
        ),
        plan_of(
            put("lamp", "O1", unit=1, place="far", board=0, board_lead=0),
            put("lamp", "O1", unit=2, place="near", board=0, board_lead=0),
        ),
        plan_of(
            put("lamp", "O1", unit=1, place="far", board=0, board_lead=0),
            put("lamp", "O1", unit=2, place="near", socket=2, lead=0),
        ),
        2,
        1,
        "",
        "O1 socket 1",
    ),
    Case(
        "board lead",
        "a lead for a power board that is not there",
        walk([{"length_m": 15.0, "size_mm2": 1.5}]),
        plan_of(put("lamp", "O1", board_lead=0)),
        plan_of(put("lamp", "O1", lead=0)),
        1,
        0,
        "",
        "O1 socket 1",
    ),
    Case(
        "lead amps",
        "6 A of a whole board through a 5 A lead",
        walk(
            [
                {"length_m": 15.0, "size_mm2": 1.5, "rating_a": 5.0},
                {"length_m": 15.0, "size_mm2": 1.5, "rating_a": 6.0},
            ],
            heads={"lamp": amps(3.0)},
            power_boards=[{"ways": 4}],
            setups=[setup(lamp={"far": 2})],
        ),
        plan_of(*(put("lamp", "O1", unit=unit, board=0, board_lead=0) for unit in (1, 2))),
        plan_of(*(put("lamp", "O1", unit=unit, board=0, board_lead=1) for unit in (1, 2))),
        6.0,
        5.0,
        "A",
        "O1 socket 1",
    ),
    Case(
        "leads in stock",
        "a board on the only lead, and a lamp on it too",
        walk(
            [{"length_m": 15.0, "size_mm2": 1.5}],
            heads={"lamp": amps(3.0, cord_m=3.0)},
            power_boards=[{"ways": 4}],
            setups=[setup(lamp={"far": 2})],
        ),
        plan_of(
            put("lamp", "O1", unit=1, board=0, board_lead=0),
            put("lamp", "O1", unit=2, socket=2, lead=0),
        ),
        plan_of(*(put("lamp", "O1", unit=unit, board=0, board_lead=0) for unit in (1, 2))),
        2,
        1,
        "",
        "lead 0",
    ),
)
