"""Set-ups under load against closed forms."""

from math import sqrt

import pytest

from builders import Entry, amps, circuit, job_of, outlet, put, setup, small_data
from builders import plan_of as plan
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.network.records import HouseVolts
from spreadload.plan import Plan

NO_CABLE: Entry = {"cable_m": 0.0, "cable_mm2": 2.5}


def read(ohm: float, idle_v: float = 240.0) -> Entry:
    """Return a supply whose one pair of readings shows an impedance."""
    pair = {"at": "board", "idle_v": idle_v, "loaded_v": idle_v - 10.0 * ohm, "load_a": 10.0}
    return {"limit_a": 63.0, "planning_v": 230.0, "readings": [pair]}


def under_load(data: Entry, of: Plan) -> HouseVolts:
    """Return the first set-up of a plan under load."""
    found = Judge(Facts.of(job_of(data))).states(of)[0].volts
    assert found is not None
    return found


def flat(ohm: float, **lamp: object) -> Entry:
    """Return a flat with no cable behind the board and one lamp of 10 A."""
    return small_data(
        supply=read(ohm),
        circuits={"P1": circuit(16.0, **NO_CABLE), "P2": circuit(16.0, **NO_CABLE)},
        heads={"lamp": amps(10.0, **({"power_factor": 1.0} | lamp))},
        setups=[setup(lamp="lounge")],
    )


def test_constant_power_falls_to_the_root_of_the_quadratic() -> None:
    """V = (E + √(E² - 4RP))/2, the two-bus closed form (textbook)."""
    load = under_load(flat(0.8, kind="led"), plan(put("lamp", "O1", place="lounge")))
    expected = (240.0 + sqrt(240.0**2 - 4 * 0.8 * 2300.0)) / 2
    assert load.board_v == pytest.approx(expected, abs=1e-6)
    assert load.line_a[0] == pytest.approx(2300.0 / expected, abs=1e-6)


def test_a_heater_divides_the_volts() -> None:
    """V = E·r/(r + R) (Ohm's law)."""
    load = under_load(flat(0.8, kind="heater"), plan(put("lamp", "O1", place="lounge")))
    assert load.board_v == pytest.approx(240.0 * 23.0 / 23.8, abs=1e-6)


def test_what_goes_in_comes_out_or_is_lost() -> None:
    """Idle volts times current equals what is taken plus what is lost."""
    data = flat(0.8, kind="led")
    data["circuits"]["P1"] = circuit(16.0, cable_m=30.0, cable_mm2=2.5)
    load = under_load(data, plan(put("lamp", "O1", place="lounge")))
    given_w = 240.0 * load.line_a[0]
    assert load.taken_w + load.losses_w == pytest.approx(given_w, rel=1e-4)


def test_more_than_the_cable_can_carry_is_a_finding() -> None:
    """Beyond E²/4R no volts settle: told in words, and the plan is refused."""
    data = flat(7.0, kind="led")
    told = Judge(Facts.of(job_of(data))).judge(plan(put("lamp", "O1", place="lounge")))
    (found,) = [violation for violation in told.violations if violation.rule == "volts"]
    assert "collapse" in found.text


def test_an_unknown_circuit_counts_where_it_is_worst() -> None:
    """An outlet that may hang on the far circuit is told the volts it would have there."""
    data = flat(0.5, kind="led")
    data["circuits"]["P2"] = circuit(16.0, cable_m=60.0, cable_mm2=2.5)
    data["outlets"]["O1"] = outlet(None, "lounge", maybe_on=["P1", "P2"])
    at = plan(put("lamp", "O1", place="lounge"))
    unknown = under_load(data, at).units[0]
    data["outlets"]["O1"] = outlet("P2", "lounge")
    assert unknown.volts == pytest.approx(under_load(data, at).units[0].volts)
    assert unknown.circuit == "P2"


def test_even_phases_leave_the_neutral_empty() -> None:
    """Three equal loads on three phases: no current in the neutral, the least drop."""
    names = ("L1", "L2", "L3")
    data = small_data(
        supply=read(0.8) | {"system": "three-phase"},
        circuits={f"P{n}": circuit(16.0, phase=p, **NO_CABLE) for n, p in enumerate(names, 1)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge") for n in (1, 2, 3)},
        heads={"lamp": amps(10.0, count=3, kind="heater")},
        setups=[setup(lamp={"lounge": 3})],
    )
    all_on = [put("lamp", f"O{n}", unit=n, place="lounge") for n in (1, 2, 3)]
    load = under_load(data, plan(*all_on))
    assert load.neutral_a == pytest.approx(0.0, abs=1e-9)
    assert load.board_v == pytest.approx(240.0 * 23.0 / (23.0 + 0.6 * 0.8), abs=1e-6)


def test_tungsten_loses_light_faster_than_volts() -> None:
    """Light follows V^3.4 (encyclopedia, lamp rerating)."""
    load = under_load(flat(2.0, kind="tungsten"), plan(put("lamp", "O1", place="lounge")))
    lamp = load.units[0]
    assert lamp.light_pct == pytest.approx(100 * (lamp.volts / 230.0) ** 3.4)
    assert not lamp.is_short


def test_without_loaded_readings_the_judge_tells_no_volts() -> None:
    """No pair of readings, no volts and nothing refused; asked for, they are told as assumed."""
    data = flat(0.8, kind="led", min_v=239.0)
    data["supply"] = {"limit_a": 63.0, "planning_v": 230.0}
    at = plan(put("lamp", "O1", place="lounge"))
    facts = Facts.of(job_of(data))
    assert Judge(facts).judge(at).volts == ()
    told = Judge(facts, always_volts=True).judge(at)
    assert told.holds
    assert any("only guessed" in note for note in told.notes)


def test_a_long_way_past_the_guide_is_noted_not_refused() -> None:
    """More than the guide in all is a note; the head still works."""
    told = Judge(Facts.of(job_of(flat(1.5, kind="heater")))).judge(
        plan(put("lamp", "O1", place="lounge"))
    )
    assert told.holds
    assert any("the guide is 5 %" in note for note in told.notes)
