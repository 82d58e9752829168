"""Readings that cannot all be true are named, with which to take again, and the poorer counts."""

import pytest

from builders import Entry, circuit, job_of, outlet, small_data
from spreadload.derived.facts import Facts
from spreadload.electrical.loadflow import Flow, FlowLoad, load_flow
from spreadload.electrical.source import Strength
from spreadload.electrical.tree import Branch, Wiring, build_tree
from spreadload.network.house import House
from spreadload.network.readings import Clash, clashes

IDLE_V, LOAD_A = 240.0, 10.0


def read(ohm: float, at: str = "board", **more: object) -> Entry:
    """Return the pair of readings that an impedance makes at a point under 10 A."""
    loaded_v = IDLE_V - ohm * LOAD_A
    return {"at": at, "idle_v": IDLE_V, "loaded_v": loaded_v, "load_a": LOAD_A} | more


def facts_of(*readings: Entry, system: str = "single-phase") -> Facts:
    """Return a house with a sub-board, an outlet behind it and one behind the main board."""
    names = {"single-phase": ("L1",), "split-phase": ("A", "B"), "three-phase": ("L1", "L2", "L3")}
    first, last = names[system][0], names[system][-1]
    data = small_data(
        supply={
            "system": system,
            "planning_v": 230.0,
            "limit_a": 63.0,
            "readings": list(readings),
        },
        sub_boards={"SB": {"feed_a": 32.0}},
        circuits={
            "P1": circuit(16.0, phase=first),
            "P2": circuit(16.0, phase=last, sub_board="SB"),
        },
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed"), "O3": outlet(None)},
    )
    return Facts.of(job_of(data))


def numbers(found: tuple[Clash, ...]) -> list[tuple[int, int, tuple[int, ...]]]:
    """Return each clash by the numbers of its readings, and what to take again."""
    return [(each.upstream.number, each.other.number, each.again) for each in found]


def test_two_that_agree_do_not_clash() -> None:
    """What a meter's last digit and a wandering supply may make of one impedance is no clash."""
    assert clashes(facts_of(read(0.8), read(0.9), read(0.95, "O1"), read(1.4, "O2"))) == ()


def test_two_readings_of_one_board_clash_and_both_are_taken_again() -> None:
    """Nothing tells which of two is wrong; the poorer counts until they are read again."""
    facts = facts_of(read(0.9), read(0.1))
    assert numbers(clashes(facts)) == [(1, 2, (1, 2))]
    service = House(facts).service
    assert service.ohm == pytest.approx(0.9)
    assert service.strength is Strength.MEASURED
    assert "Take reading 1 and reading 2 again" in " ".join(service.notes)


def test_the_odd_one_out_of_three_is_the_one_to_take_again() -> None:
    """Two agree against the third: it is named once, with the one it is furthest from."""
    (clash,) = clashes(facts_of(read(0.8), read(0.1), read(0.9)))
    assert (clash.upstream.number, clash.other.number, clash.again) == (3, 2, (2,))
    (poor,) = clashes(facts_of(read(0.8), read(2.5), read(0.9)))
    assert (poor.upstream.number, poor.again) == (2, (2,))
    assert House(facts_of(read(0.8), read(2.5), read(0.9))).service.ohm == pytest.approx(2.5)


def test_what_lies_behind_cannot_show_less() -> None:
    """An outlet shows the board's impedance and its own wiring, whatever circuit it is on."""
    for at in ("O1", "O2", "O3", "SB"):
        (clash,) = clashes(facts_of(read(1.0), read(0.3, at)))
        assert (clash.upstream.at, clash.other.at) == ("board", at)
        assert f"{at} lies behind the board and cannot show less" in clash.words
    assert clashes(facts_of(read(1.0, "SB"), read(0.3, "O1"))) == ()
    (behind,) = clashes(facts_of(read(1.0, "SB"), read(0.3, "O2")))
    assert "O2 lies behind SB" in behind.words


@pytest.mark.parametrize(("system", "lines"), [("split-phase", "AB"), ("three-phase", "L1 L3")])
def test_lines_of_their_own_may_differ(system: str, lines: str) -> None:
    """Readings stated on two lines do not clash; the poorest line counts for all of them."""
    first, last = (lines[0], lines[1]) if system == "split-phase" else tuple(lines.split())
    facts = facts_of(read(0.9, phase=first), read(0.2, phase=last), system=system)
    assert clashes(facts) == ()
    service = House(facts).service
    assert service.ohm == pytest.approx(0.9)
    assert f"on {first}, the poorest line read" in service.words
    same = facts_of(read(0.9, phase=first), read(0.2, phase=first), system=system)
    assert numbers(clashes(same)) == [(1, 2, (1, 2))]
    untold = facts_of(read(0.9), read(0.2), system=system)
    (clash,) = clashes(untold)
    assert "say on which line" in clash.words
    # O1 is on the first line and O2 on the last, so that what is read at them is on it as well.
    assert clashes(facts_of(read(0.9, phase=last), read(0.2, "O1"), system=system)) == ()
    assert clashes(facts_of(read(0.9, phase=first), read(0.2, "O1"), system=system))


def test_one_line_has_no_line_to_say() -> None:
    """On a supply of one line nobody is asked for it."""
    (clash,) = clashes(facts_of(read(0.9), read(0.2)))
    assert "line" not in clash.words


def test_idle_readings_clash_with_nothing() -> None:
    """An idle meter says nothing of the impedance."""
    assert clashes(facts_of(read(0.9), {"at": "board", "idle_v": 229.0})) == ()


@pytest.mark.parametrize("ohm", [0.3, 0.8])
def test_a_load_between_two_phases_gives_the_impedance_back(ohm: float) -> None:
    """Two-way: the load flow makes the readings between two phases, and they lead back to it.

    The supply's neutral has two fifths of the loop (IEC 60725 reference impedance; from memory).
    """
    tree = build_tree(
        Wiring.THREE_PHASE, [Branch("board", "source", complex(0.6 * ohm), complex(0.4 * ohm))]
    )
    load = FlowLoad("heater", "board", 4000.0, 400.0, lines=(0, 1))
    flow = load_flow(tree, IDLE_V, [load])
    assert isinstance(flow, Flow)
    pair = {
        "at": "board",
        "phase": "L1 L2",
        "idle_v": IDLE_V * 3**0.5,
        "loaded_v": float(flow.load_v[0]),
        "load_a": flow.amps("board"),
    }
    assert House(facts_of(pair, system="three-phase")).service.ohm == pytest.approx(ohm, rel=1e-6)
