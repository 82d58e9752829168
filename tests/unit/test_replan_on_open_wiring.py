"""The rest of the day planned again where nobody knows which circuit an outlet is on."""

import json
from pathlib import Path

import pytest

from builders import amps, circuit, outlet, plan_of, put, setup
from replanning import day_in, told
from rule_cases.volts import NEAR, near_and_far
from spreadload.app.loaded import load_day
from spreadload.app.note import note
from spreadload.app.replan import ReplanSaid, replan
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.report.replan_text import ReplanSays


def doubtful(**odds: int) -> dict[str, object]:
    """Return what makes O1 an outlet of unknown circuit, with odds of its own."""
    return {
        "outlets": {
            "O1": outlet(None, "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "lounge"),
        },
        "wiring": {"outlets": {"O1": odds}},
    }


def test_open_wiring_tells_the_chance_and_what_to_look_at(tmp_path: Path) -> None:
    """A head that may be on the dead circuit counts as dark; to look is free, so it is said."""
    day = day_in(tmp_path, **doubtful(P1=20, P2=40, P3=40))
    found = told(day, since="SU1", off=("P1",))
    assert found.found is not None
    assert found.found.says is ReplanSays.KEEP
    assert found.found.look_at == ("O1",)
    assert found.found.fails == pytest.approx(0.2, abs=0.01)
    assert "Look first whether O1 is dead now" in found.text()
    assert found.found.safer is not None
    assert found.found.safer.plugs == 2
    seen = note(day, "breaker P1 off: dark O1, lit O2 O3").day
    after = told(seen, since="SU1", off=("P1",))
    assert after.found is not None
    assert after.found.is_sure
    assert after.found.plugs == 2


def test_safety_is_taken_where_nearly_free_and_offered_where_not(tmp_path: Path) -> None:
    """One plug more for certainty is taken unasked; two are told of, and done when asked."""
    circuits = {"P1": circuit(10.0), "P2": circuit(7.0), "P3": circuit(10.0)}
    day = day_in(tmp_path, circuits=circuits, **doubtful(P1=80, P2=20))
    near = told(day, since="SU2")
    assert near.found is not None
    assert near.found.is_sure
    assert near.found.plugs == 1
    far = told(day, since="SU1")
    assert far.found is not None
    assert far.found.plugs == 0
    assert far.found.fails == pytest.approx(0.2, abs=0.01)
    assert far.found.safer is not None
    assert (far.found.safer.plugs, far.found.safer.fails) == (2, 0.0)
    assert "2 plugs in all would bring that to none of 100: --safe." in far.text()
    safe = told(day, since="SU1", is_safe=True)
    assert safe.found is not None
    assert safe.found.is_sure
    assert safe.found.plugs == 2
    judge = Judge(Facts.of(day.job))
    assert judge.judge(safe.found.plan).holds


def test_a_house_that_trips_on_the_likeliest_wiring_is_not_stirred_for_nothing(
    tmp_path: Path,
) -> None:
    """Where what is fixed overloads the likeliest wiring, plugs are not moved without a gain."""
    changes: dict[str, object] = {
        "outlets": {
            "O1": outlet(None, "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "lounge"),
        },
        "wiring": {"outlets": {"O1": {"P1": 30, "P2": 70}}},
        "departments": {
            "kettle": amps(5.0, kind="heater"),
            "heater": amps(6.0, kind="heater", outlet="O1"),
            "oven": amps(6.0, kind="heater", outlet="O2"),
        },
        "setups": [setup("SU1"), setup("SU2", on=["heater", "oven"], lamp={"lounge": 1})],
    }
    rigged = plan_of(
        put("lamp", "O3", name="SU2", place="lounge"),
        put("heater", "O1", name="SU2"),
        put("oven", "O2", name="SU2"),
    )
    found = replan(day_in(tmp_path, **changes), rigged, ReplanSaid("SU2"))
    assert found.found is not None
    assert found.found.replugs == ()
    assert found.found.fails == pytest.approx(0.7, abs=0.01)
    assert "counting what is sure" in found.text()


def test_no_head_is_put_where_it_is_likely_dark(tmp_path: Path) -> None:
    """Nothing holds on the likeliest wiring; heads still go where the power is."""
    changes: dict[str, object] = {
        "outlets": {
            "O1": outlet(None, "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "lounge"),
            "O4": outlet(None, "bed"),
        },
        "wiring": {"outlets": {"O1": {"P1": 60, "P3": 40}, "O4": {"P2": 60, "P1": 40}}},
        "departments": {
            "heater": amps(6.0, kind="heater", outlet="O4"),
            "oven": amps(6.0, kind="heater", outlet="O2"),
        },
        "setups": [setup("SU1", on=["heater", "oven"], lamp={"lounge": 1})],
    }
    rigged = plan_of(put("lamp", "O1", place="lounge"), put("heater", "O4"), put("oven", "O2"))
    day = day_in(tmp_path, **changes)
    found = replan(day, rigged, ReplanSaid("SU1", off=("P1",)))
    assert found.found is not None
    lamp = next(p for p in found.found.plan.placements if p.load == "lamp")
    assert lamp.point == "O3"
    assert found.found.look_at == ()
    assert found.found.plugs == 1
    assert not found.found.is_proven


def test_safe_steers_clear_of_wirings_that_starve_a_head(tmp_path: Path) -> None:
    """Breakers hold wherever the lamp hangs; volts do not, and an outlet more likely near is safer.

    O1 is at the far end of 50 m in 40 of 100 houses, O2 in 10 of 100: what the job states.
    """
    data = near_and_far(25.0)
    data["circuits"]["P3"] = circuit(25.0, **NEAR)
    data["outlets"] = {
        "O1": outlet(None, "lounge", plug="au-15", sockets=1, maybe_on=["P2", "P3"]),
        "O2": outlet(None, "lounge", plug="au-15", sockets=1, maybe_on=["P2", "P3"]),
        "O3": outlet("P1", "lounge", plug="au-15", sockets=1),
    }
    data["wiring"] = {"outlets": {"O1": {"P2": 0.4, "P3": 0.6}, "O2": {"P2": 0.1, "P3": 0.9}}}
    lamp = amps(9.0, kind="led", power_factor=1.0, min_v=219.0, count=2, plug="au-15")
    data |= {"heads": {"lamp": lamp}, "setups": [setup(n, lamp={"lounge": 2}) for n in ("1", "2")]}
    (tmp_path / "job.yaml").write_text(json.dumps(data), encoding="utf-8")
    rigged = plan_of(
        *(put("lamp", "O3", name=n, place="lounge") for n in ("1", "2")),
        *(put("lamp", "O1", unit=2, name=n, place="lounge") for n in ("1", "2")),
    )
    found = replan(load_day(tmp_path), rigged, ReplanSaid("2", is_safe=True))
    assert found.found is not None
    assert found.found.was_fails == pytest.approx(0.4)
    assert found.found.fails == pytest.approx(0.1)
    assert {p.point for p in found.found.plan.placements} == {"O2", "O3"}


def test_what_fails_on_nearly_every_wiring_is_no_plan(tmp_path: Path) -> None:
    """O3 is on P1, where a second lamp of 6 A is too much for 10 A, or on P2, which is dead.

    Moving the lamp there fails on every wiring there is; leaving it dark fails on none.
    """
    day = day_in(
        tmp_path,
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
        outlets={
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet(None, "lounge"),
        },
        heads={"lamp": amps(6.0, count=2)},
        departments={},
        setups=[setup("SU1", lamp={"lounge": 2}), setup("SU2", lamp={"lounge": 2})],
        wiring={"outlets": {"O3": {"P1": 55, "P2": 45}}},
    )
    found = told(day, off=("P2",))
    assert found.found is not None
    assert found.found.says is ReplanSays.CANNOT
    assert len(found.found.plan.left_out) == 1
    assert found.found.plugs == 0
    assert found.fails == 0.0
    assert found.found.look_at == ("O3",)
    assert "Look first whether O3 is dead now" in found.text()
    assert found.exit_code is ExitCode.BREAKS_A_LIMIT
