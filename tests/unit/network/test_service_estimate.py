"""The supply as readings show it: what made the readings is found again."""

import pytest

from builders import circuit, outlet, small_data
from builders import job_of as job
from spreadload.derived.facts import Facts
from spreadload.electrical.source import Strength
from spreadload.network.house import House


def house(readings: list[dict[str, object]], **changes: object) -> House:
    """Return the small flat with readings as a network."""
    supply = {"limit_a": 63.0, "planning_v": 230.0, "readings": readings}
    wired = {key: changes.pop(key) for key in ("circuits",) if key in changes}
    if wired:
        wired["outlets"] = {"O1": outlet("P1", "lounge")}
    return House(Facts.of(job(small_data(supply=supply | changes, **wired))))


@pytest.mark.parametrize("ohm", [0.1, 0.35, 0.75, 1.4])
@pytest.mark.parametrize("amps", [8.0, 16.0, 30.0])
def test_the_impedance_that_made_the_readings_is_found_again(ohm: float, amps: float) -> None:
    """Volts made from Ohm's law lead back to the same impedance, inside its own band."""
    read = {"at": "board", "idle_v": 238.0, "loaded_v": 238.0 - ohm * amps, "load_a": amps}
    service = house([read]).service
    assert service.ohm == pytest.approx(ohm)
    assert service.low_ohm < ohm < service.high_ohm


def test_a_kettle_stated_in_watts_counts_at_the_volts_it_had() -> None:
    """A 2300 W kettle of 230 V draws less when the volts fall (Ohm's law)."""
    resistance = 230.0**2 / 2300.0
    loaded = 236.0 * resistance / (resistance + 0.9)
    read = {"at": "board", "idle_v": 236.0, "loaded_v": loaded, "load_w": 2300.0}
    assert house([read]).service.ohm == pytest.approx(0.9)


def test_readings_between_lines_are_brought_down_to_the_neutral() -> None:
    """On a split supply 10 A between the legs see both legs, so the loop to neutral is the same."""
    loop = 0.4
    read = {"at": "board", "idle_v": 244.0, "loaded_v": 244.0 - loop * 10.0, "load_a": 10.0}
    found = house([read], system="split-phase", planning_v=120.0)
    assert found.service.idle_v == pytest.approx(122.0)
    assert found.service.ohm == pytest.approx(loop)


def test_nothing_may_be_refused_on_an_idle_reading() -> None:
    """An idle meter always reads fine: the impedance is assumed and said to be."""
    service = house([{"at": "board", "idle_v": 237.0}]).service
    assert (service.strength, service.may_refuse) == (Strength.ASSUMED, False)
    assert "assumed" in service.words
    assert any("idle only" in note for note in service.notes)


def test_a_load_too_small_for_its_drop_is_weak() -> None:
    """Half a volt of drop is no more than the supply wanders by itself."""
    read = {"at": "board", "idle_v": 237.0, "loaded_v": 236.5, "load_a": 1.0}
    service = house([read]).service
    assert (service.strength, service.may_refuse) == (Strength.WEAK, False)


def test_board_and_outlet_readings_tell_the_wiring_between_them() -> None:
    """What is over the supply's own impedance is the cable to the outlet."""
    made = house(
        [
            {"at": "board", "idle_v": 238.0, "loaded_v": 230.0, "load_a": 10.0},
            {"at": "O1", "idle_v": 238.0, "loaded_v": 225.0, "load_a": 10.0},
        ]
    )
    wire = made.wires.to_outlet("P1", "O1")
    assert wire.ohm.real == pytest.approx(0.5)
    assert not wire.is_assumed
    assert made.service.ohm == pytest.approx(0.8)


def barn(*readings: tuple[str, float]) -> House:
    """Return a house and a barn on 80 m of 6 mm², read with 10 A on from 238 V idle."""
    taken = [
        {"at": at, "idle_v": 238.0, "loaded_v": volts, "load_a": 10.0} for at, volts in readings
    ]
    shed = {"sub_board": "BARN", "cable_m": 10.0, "cable_mm2": 2.5}
    data = small_data(
        supply={"planning_v": 230.0, "readings": taken},
        sub_boards={"BARN": {"feed_a": 32.0, "cable_m": 80.0, "cable_mm2": 6.0}},
        circuits={"P1": circuit(16.0, **shed), "P2": circuit(16.0, **shed)},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
    )
    data["heads"]["lamp"]["cord_m"] = 3.0
    return House(Facts.of(job(data)))


@pytest.mark.parametrize(("volts", "is_suspect"), [(229.0, False), (200.0, True)])
def test_a_reading_behind_a_board_nobody_read_at_holds_feed_and_cable(
    volts: float, *, is_suspect: bool
) -> None:
    """From 238 V the main board falls to 235 under 10 A, 0.3 Ω, and the barn's outlet further.

    Feed and cable together are what was read beyond that, shared as their lengths and sizes have
    it; IEC 60228: 80 m of 3.08 Ω/km and 10 m of 7.41, so 77 % is the feed. Its other outlet
    shares the feed. 3.5 Ω is no cable of that length.
    """
    made = barn(("board", 235.0), ("O1", volts))
    feed, cable = made.wires.to_sub_board("BARN"), made.wires.to_outlet("P1", "O1")
    read_ohm = (238.0 - volts) / 10.0 - 0.3
    assert feed.ohm.real + cable.ohm.real == pytest.approx(read_ohm)
    assert feed.ohm.real / read_ohm == pytest.approx(0.80 * 3.08 / (0.80 * 3.08 + 0.10 * 7.41))
    assert made.wires.to_outlet("P2", "O2").is_assumed is False
    assert bool(made.wires.joints()) is is_suspect


def test_of_two_outlets_read_behind_a_feed_the_better_one_bounds_it() -> None:
    """O1 shows 0.6 Ω beyond the board and O2 2.0: what O2 has more is behind the feed, on P2."""
    made = barn(("board", 235.0), ("O1", 229.0), ("O2", 215.0))
    feed_ohm = made.wires.to_sub_board("BARN").ohm.real
    assert feed_ohm < 0.6
    assert feed_ohm + made.wires.to_outlet("P1", "O1").ohm.real == pytest.approx(0.6)
    assert feed_ohm + made.wires.to_outlet("P2", "O2").ohm.real == pytest.approx(2.0)


def test_an_outlet_reading_alone_is_split_into_supply_and_wiring() -> None:
    """Supply and assumed wiring together give back what was read."""
    read = {"at": "O1", "idle_v": 238.0, "loaded_v": 226.0, "load_a": 10.0}
    made = house([read])
    wiring = made.wires.estimated("P1", "O1").ohm.real
    assert made.service.ohm + wiring == pytest.approx(1.2, abs=1e-9)
    assert made.service.may_refuse


def test_a_joint_that_reads_like_a_long_cable_is_told() -> None:
    """Two ohms on ten metres of 2.5 mm² is no cable."""
    supply = {
        "planning_v": 230.0,
        "readings": [
            {"at": "board", "idle_v": 238.0, "loaded_v": 236.0, "load_a": 10.0},
            {"at": "O1", "idle_v": 238.0, "loaded_v": 216.0, "load_a": 10.0},
        ],
    }
    wired = {"P1": circuit(16.0, cable_m=10.0, cable_mm2=2.5), "P2": circuit(16.0)}
    data = small_data(supply=supply, circuits=wired, outlets={"O1": outlet("P1", "lounge")})
    data["heads"]["lamp"]["cord_m"] = 3.0
    (said,) = House(Facts.of(job(data))).wires.joints()
    assert "O1" in said
    assert "joint" in said


def test_a_ring_is_thin_cable_twice() -> None:
    """A ring of 32 A is 2.5 mm² (BS 7671 433.1.204), and its two ways lie in parallel."""
    ring = {"region": "UK", "circuits": {"P1": circuit(32.0, ring=True, cable_m=30.0)}}
    made = House(Facts.of(job(small_data(outlets={"O1": outlet("P1", "lounge")}, **ring))))
    wire = made.wires.to_outlet("P1", "O1")
    hot = (234.5 + 70) / (234.5 + 20)
    assert wire.ohm.real == pytest.approx(2 * 30 * 7.41 / 1000 * hot / 2, rel=2e-3)
    assert wire.is_assumed
    stated = {"P1": circuit(32.0, ring=True, cable_m=30.0, cable_mm2=4.0)}
    ring["circuits"] = stated
    made = House(Facts.of(job(small_data(outlets={"O1": outlet("P1", "lounge")}, **ring))))
    assert made.wires.to_outlet("P1", "O1").size == "4 mm²"


def test_a_ring_that_reads_like_one_leg_is_looked_at() -> None:
    """Half the cable is what a whole ring reads; the whole of it may be a leg that is open."""
    pair = {"idle_v": 240.0, "load_a": 12.0}
    ohm = 2 * 30 * 7.41 / 1000 * 1.2
    for share, is_told in ((0.5, False), (1.0, True)):
        readings = [
            pair | {"at": "board", "loaded_v": 240.0 - 12.0 * 0.2},
            pair | {"at": "O1", "loaded_v": 240.0 - 12.0 * (0.2 + share * ohm)},
        ]
        made = house(
            readings,
            circuits={"P1": circuit(32.0, ring=True, cable_m=30.0)},
        )
        assert any("a leg of it may be open" in words for words in made.wires.joints()) is is_told


@pytest.mark.parametrize(
    ("idle_v", "said"), [(216.0, "below"), (216.5, ""), (243.0, ""), (253.5, "above")]
)
def test_idle_volts_outside_the_usual_range_are_looked_at(idle_v: float, said: str) -> None:
    """216.2 to 253 V at an Australian supply (AS 60038:2000; verified in public text)."""
    pair = {"at": "board", "idle_v": idle_v, "loaded_v": idle_v - 8.0, "load_a": 10.0}
    notes = " ".join(house([pair]).service.notes)
    assert ("the usual 216.2 to 253 V" in notes) is bool(said)
    assert said in notes


def test_nobody_who_read_nothing_is_told_of_a_range() -> None:
    """Nominal volts are no reading."""
    assert not any("usual" in note for note in house([]).service.notes)


@pytest.mark.parametrize(("region", "notes"), [("US", 1), ("CA", 0)])
def test_idle_volts_are_held_to_the_band_of_the_very_region(region: str, notes: int) -> None:
    """112 V is below ANSI C84.1 range A (114 V) and within CSA CAN3-C235 (110 V)."""
    read = {"at": "board", "idle_v": 112.0, "loaded_v": 111.0, "load_a": 10.0}
    supply = {"limit_a": 100.0, "planning_v": 120.0, "readings": [read]}
    made = House(Facts.of(job(small_data(region=region, supply=supply))))
    assert len([note for note in made.service.notes if "below the usual" in note]) == notes
