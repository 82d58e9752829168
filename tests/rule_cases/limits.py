"""Cases of sums: breakers, one load on a breaker, feeds, RCDs, phases, contract."""

from builders import Entry, amps, circuit, circuits, outlet, plan_of, put, setup
from rule_cases.case import Case, flat
from spreadload.plan import LeftOut

TWO_LAMPS = setup(lamp={"lounge": 2})
SIX_AMPS: Entry = {"lamp": amps(6.0)}
TOGETHER = plan_of(put("lamp", "O1", unit=1), put("lamp", "O1", unit=2, socket=2))
APART = plan_of(put("lamp", "O1", unit=1), put("lamp", "O2", unit=2))
ON_THE_THIRD = plan_of(put("lamp", "O1", unit=1), put("lamp", "O3", unit=2))
ONE_LEFT_OUT = plan_of(put("lamp", "O1", unit=1), LeftOut(setup="SU1", load="lamp", unit=2))


def with_third(**changes: object) -> Entry:
    """Return the flat with two lamps of 6 A and a third outlet on a third circuit."""
    three: Entry = {
        "circuits": circuits(P1=10.0, P2=10.0, P3=10.0),
        "outlets": {"O1": outlet("P1"), "O2": outlet("P2"), "O3": outlet("P3")},
        "heads": SIX_AMPS,
        "setups": [TWO_LAMPS],
    }
    return flat(**(three | changes))


LIMIT_CASES: tuple[Case, ...] = (
    Case(
        "plug amps",
        "12 A on a 10 A plug in a 20 A outlet",
        flat(
            circuits=circuits(P1=20.0, P2=20.0),
            outlets={"O1": outlet("P1", plug="au-20"), "O2": outlet("P2", plug="au-20")},
            heads={"lamp": amps(12.0, plug="au-10", count=2)},
        ),
        plan_of(put("lamp", "O1")),
        plan_of(LeftOut(setup="SU1", load="lamp", unit=1)),
        12.0,
        10.0,
        "A",
        "lamp 1",
    ),
    Case(
        "circuit",
        "12 A on a 10 A breaker",
        flat(heads=SIX_AMPS, setups=[TWO_LAMPS]),
        TOGETHER,
        APART,
        12.0,
        10.0,
        "A",
        "P1",
    ),
    Case(
        "circuit",
        "an outlet that might be on a loaded circuit",
        with_third(
            outlets={
                "O1": outlet("P1"),
                "O2": outlet(None, maybe_on=["P1", "P2"]),
                "O3": outlet(None, maybe_on=["P2", "P3"]),
            }
        ),
        APART,
        ON_THE_THIRD,
        12.0,
        10.0,
        "A",
        "P1",
    ),
    Case(
        "circuit",
        "what is wired to the circuit counts",
        flat(
            heads=SIX_AMPS,
            house={"pump": amps(5.0, circuit="P1", policy="must stay on")},
        ),
        plan_of(put("lamp", "O1")),
        plan_of(put("lamp", "O2")),
        11.0,
        10.0,
        "A",
        "P1",
    ),
    # NEC 210.20(A): 125 % of a continuous load; 12 A and 5 A make 21.25 A against 20 A.
    Case(
        "circuit",
        "continuous loads count for a quarter more",
        flat(
            region="US",
            supply={"system": "split-phase", "limit_a": 100.0, "limit_source": "stated"},
            circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
            heads={"key": amps(12.0), "fill": amps(5.0)},
            setups=[setup(key="lounge", fill="lounge")],
        ),
        plan_of(put("key", "O1"), put("fill", "O1", socket=2)),
        plan_of(put("key", "O1"), put("fill", "O2")),
        21.25,
        20.0,
        "A",
        "P1",
    ),
    # NEC 210.23(A)(1): one cord-and-plug load takes at most 80 % of a branch circuit.
    Case(
        "single load",
        "13 A of one load on a 15 A breaker",
        flat(
            region="US",
            supply={"system": "single-phase", "limit_a": 100.0, "limit_source": "stated"},
            circuits=circuits(P1=15.0, P2=20.0),
            outlets={"O1": outlet("P1", plug="us-20"), "O2": outlet("P2", plug="us-20")},
            departments={"heater": amps(13.0, plug="us-20", intermittent=True)},
            setups=[setup(on=["heater"])],
        ),
        plan_of(put("heater", "O1")),
        plan_of(put("heater", "O2")),
        13.0,
        12.0,
        "A",
        "heater 1",
    ),
    Case(
        "feed",
        "12 A under a sub-board fed with 10 A",
        with_third(
            sub_boards={"shed": {"feed_a": 10.0}},
            circuits={
                "P1": circuit(10.0, sub_board="shed"),
                "P2": circuit(10.0, sub_board="shed"),
                "P3": circuit(10.0),
            },
        ),
        APART,
        ON_THE_THIRD,
        12.0,
        10.0,
        "A",
        "shed",
    ),
    # IEC 61008-1: a device need not hold above half its rated residual current.
    Case(
        "rcd leakage",
        "16 mA behind a 30 mA RCD",
        with_third(
            rcds={"R1": {}},
            circuits={
                "P1": circuit(10.0, rcd="R1"),
                "P2": circuit(10.0, rcd="R1"),
                "P3": circuit(10.0),
            },
            heads={"lamp": amps(6.0) | {"leakage_ma": 8.0}},
        ),
        APART,
        ON_THE_THIRD,
        16.0,
        15.0,
        "mA",
        "R1",
    ),
    Case(
        "rcd amps",
        "12 A behind an RCD rated 10 A",
        with_third(
            rcds={"R1": {"rating_a": 10.0}},
            circuits={
                "P1": circuit(10.0, rcd="R1"),
                "P2": circuit(10.0, rcd="R1"),
                "P3": circuit(10.0),
            },
        ),
        APART,
        ON_THE_THIRD,
        12.0,
        10.0,
        "A",
        "R1",
    ),
    Case(
        "phase",
        "12 A on a phase of 10 A",
        with_third(
            supply={"system": "three-phase", "limit_a": 10.0, "limit_source": "stated"},
            circuits={
                "P1": circuit(10.0, phase="L1"),
                "P2": circuit(10.0, phase="L1"),
                "P3": circuit(10.0, phase="L2"),
            },
        ),
        APART,
        ON_THE_THIRD,
        12.0,
        10.0,
        "A",
        "L1",
    ),
    # 6 A at 230 V is 1,380 W; two of them 2,760 W.
    Case(
        "contract",
        "2,760 W on a contract of 2,500 W",
        flat(
            supply={"limit_a": 63.0, "planning_v": 230.0, "contract_w": 2500.0},
            heads=SIX_AMPS,
            setups=[TWO_LAMPS],
        ),
        APART,
        ONE_LEFT_OUT,
        2760.0,
        2500.0,
        "W",
        "supply",
    ),
)
