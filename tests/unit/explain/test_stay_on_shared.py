"""What must stay on and hangs on a breaker with heads is told before anything trips.

Common practice, no source: whoever overloads a circuit owns what else goes dark with it.
"""

from builders import amps, circuits, outlet, put, setup, small_job
from sheets import briefed, sheet_of
from spreadload.explain.stay_on import Shared, shared_with_heads
from spreadload.job.job import Job
from spreadload.report.sections import must_stay_on
from spreadload.report.style import Style


def house(**changes: object) -> Job:
    """Return two circuits, a pump at O2, a pump wired to P1, and an outlet nobody traced."""
    stated: dict[str, object] = {
        "circuits": circuits(P1=10.0, P2=10.0),
        "outlets": {
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet(None, "bed", maybe_on=["P1", "P2"]),
        },
        "house": {
            "pump": amps(1.0, outlet="O2", policy="must stay on"),
            "alarm": amps(0.5, circuit="P1", policy="must stay on"),
            "radio": amps(0.1, outlet="O2"),
        },
        "setups": [setup("SU1", lamp="lounge"), setup("SU2", lamp="lounge")],
    }
    return small_job(**(stated | changes))


def test_each_load_is_told_with_the_circuit_and_the_set_ups() -> None:
    """The lamp is on P1 in SU1, beside the alarm, and on P2 in SU2, beside the pump."""
    told = briefed(
        house(),
        put("lamp", "O1", place="lounge"),
        put("pump", "O2"),
        put("lamp", "O2", name="SU2", place="lounge", socket=2),
        put("pump", "O2", name="SU2"),
    )
    assert shared_with_heads(told.judged) == (
        Shared(("pump",), "P2", ("SU2",)),
        Shared(("alarm",), "P1", ("SU1",)),
    )
    assert told.shared == shared_with_heads(told.judged)
    section = "\n".join(must_stay_on(told, Style()))
    assert "pump shares P2 “PLUGS” with heads in SU2: dark with them if it trips" in section


def test_paper_says_it_in_fewer_words() -> None:
    """Beside each name stands the circuit it shares, or a question."""
    known = sheet_of(
        house(),
        put("lamp", "O1", place="lounge"),
        put("pump", "O2"),
        put("lamp", "O1", name="SU2", place="lounge"),
        put("pump", "O2", name="SU2"),
    )
    assert known.paper.stay_on == ("pump", "alarm (P1, with heads)")
    assert known.stay_on_shared == (
        "alarm shares P1 “PLUGS” with heads in SU1 and SU2: dark with them if it trips",
    )
    open_one = sheet_of(
        house(setups=[setup("SU1", lamp="lounge")]),
        put("lamp", "O3", place="lounge"),
        put("pump", "O2"),
    )
    assert open_one.paper.stay_on == ("pump (with heads?)", "alarm (with heads?)")


def test_where_the_wiring_is_open_it_is_said_to_be() -> None:
    """A lamp at O3 may be on the circuit of either: one line for both."""
    told = briefed(
        house(setups=[setup("SU1", lamp="lounge")]),
        put("lamp", "O3", place="lounge"),
        put("pump", "O2"),
    )
    assert shared_with_heads(told.judged) == (Shared(("pump", "alarm"), None, ("SU1",)),)


def test_a_circuit_without_heads_is_no_warning() -> None:
    """Pump and alarm stay alone when the lamp is left out."""
    told = briefed(house(setups=[setup("SU1")]), put("pump", "O2"))
    assert shared_with_heads(told.judged) == ()
