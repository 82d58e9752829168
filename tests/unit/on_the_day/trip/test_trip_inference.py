"""What a trip and its clock say of the wiring, and what is done where nothing can be moved."""

import pytest

from builders import amps, circuits, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from spreadload.wiring.evidence import Fact
from spreadload.wiring.maps import listed_maps
from spreadload.wiring.model import WiringModel
from spreadload.wiring.taught import agrees
from trips import told


def unknown_house(**heads_a: float) -> Job:
    """Return four outlets of unknown wiring on two breakers of 10 A."""
    return small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={f"O{n}": outlet(None, "lounge" if n < 3 else "bed") for n in range(1, 5)},
        heads={name: amps(current_a) for name, current_a in heads_a.items()},
        setups=[setup(**dict.fromkeys(heads_a, "lounge"))],
    )


def tripped(after_s: float | None, *, open_a: float = 6.0) -> TripAnswer:
    """Return the answer where O1 is dark with 8 A on it and O2 was not looked at."""
    job = unknown_house(key=8.0, fill=open_a)
    rigged = (put("key", "O1", place="lounge"), put("fill", "O2", place="lounge"))
    return told(job, *rigged, dark=("O1",), device="P1", after_s=after_s)


def test_the_chance_of_a_statement_is_what_listing_every_wiring_says() -> None:
    """Summed over layouts, without drawing, a statement is as likely as on the whole list."""
    model = WiringModel.of(unknown_house(key=1.0))
    allowed = {"O1": frozenset({"P1"}), "O3": frozenset({"P2"}), "O4": frozenset({"P2"})}
    every = listed_maps(model)
    exact = float(every.weights @ agrees(Fact("", allowed), every))
    assert model.chance(allowed) == pytest.approx(exact, rel=1e-5)


def test_a_quick_trip_speaks_for_more_on_the_breaker() -> None:
    """8 A of 10 does not open a breaker in five minutes; with the 6 A beside it, 14 A does."""
    scene = tripped(300.0).scene
    assert scene.proof is not None
    doubt, before = (1 - maps.chances("O2")["P1"] for maps in (scene.maps, scene.proof))
    assert doubt < 0.7 * before


def test_what_the_clock_says_is_no_proof() -> None:
    """However well a wiring explains the time, an outlet nobody looked at is not proven by it."""
    answer = tripped(300.0)
    assert answer.scene.is_known("O1")
    assert not answer.scene.is_known("O2")
    assert "O2" not in answer.learnt.found


def test_a_breaker_that_went_on_holding_hardly_has_twice_its_rating_on_it() -> None:
    """20 A on the other breaker of 10 for an hour would have opened that one."""
    job = unknown_house(key=11.0, fill=10.0, back=10.0)
    rigged = [put(name, f"O{n}", place="lounge") for n, name in enumerate(job.heads, 1)]
    answer = told(job, *rigged, dark=("O1",), device="P1", after_s=3600.0)
    maps = answer.scene.maps
    o2, o3 = (maps.on[:, maps.outlets.index(o)] for o in ("O2", "O3"))
    both = float(maps.weights @ ((o2 == maps.circuits.index("P2")) & (o2 == o3)))
    assert both < 0.15


def test_a_rare_set_of_dark_outlets_is_still_weighed_and_not_called_sure() -> None:
    """Where no wiring drawn fits what is dark, every breaker keeps the chance the layouts give."""
    rooms = {f"r{n}": {"use": "bedroom", "at": [30.0 * n, 0.0]} for n in range(6)}
    outlets = {f"O{n}": outlet(None, f"r{n % 6}", at=[30.0 * (n % 6), n / 10]) for n in range(18)}
    job = small_job(
        circuits=circuits(**{f"P{n}": 10.0 for n in range(1, 7)}),
        rooms=rooms,
        outlets=outlets,
        heads={"lamp": amps(1.0)},
        setups=[setup(lamp="r0")],
    )
    dark, lit = ("O0", "O2", "O4"), ("O6", "O8", "O10")
    answer = told(job, put("lamp", "O0", place="r0"), dark=dark, lit=lit)
    assert sum(c.device in job.circuits for c in answer.causes) == len(job.circuits)
    assert not answer.is_certain


def test_heat_makers_are_asked_to_wait_before_any_head_goes_dark() -> None:
    """Nothing can move, and the dryer is not the plan's to switch off: somebody is asked."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge", sockets=3)},
        heads={"key": amps(6.0)},
        departments={"dryer": amps(8.0, kind="heater", outlet="O1")},
        setups=[setup(on=["dryer"], key="lounge")],
    )
    rigged = (put("key", "O1", place="lounge"), put("dryer", "O1", socket=2))
    answer = told(job, *rigged, device="P1")
    assert answer.shed is not None
    assert ([p.load for p in answer.shed.asked], answer.shed.dark) == (["dryer"], ())
    assert radio_line(answer) == "Ask to keep dryer off. PLUGS: 14.0 -> 6.0."


def test_an_overloaded_breaker_is_never_said_to_need_nothing() -> None:
    """Over its limit with things that must stay on: it stays off until somebody says what waits."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge", sockets=3)},
        departments={"pump": amps(12.0, kind="motor", outlet="O1", policy="must stay on")},
        setups=[setup(on=["pump"])],
    )
    answer = told(job, put("pump", "O1"), device="P1")
    assert radio_line(answer).startswith("Leave PLUGS off: 12.0 of 10.0 A by the plan")
    assert "Nothing of ours has to move" not in trip_text(answer, Style())


def test_the_walk_comes_before_the_move() -> None:
    """Most trips are an intruder, so the circuit is walked before a plug of ours is touched."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        heads={"key": amps(7.0), "fill": amps(5.0)},
        setups=[setup(key="lounge", fill="lounge")],
    )
    rigged = (put("key", "O1", place="lounge"), put("fill", "O1", place="lounge", socket=2))
    text = trip_text(told(job, *rigged, device="P1"), Style())
    assert text.index("Walk P1 first") < text.index(" to O2:")


def test_the_chance_of_a_second_trip_leaves_out_what_was_full_before() -> None:
    """A breaker that the move does not touch cannot make it a bad move, however full it is."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0, P3=10.0),
        outlets={"O1": outlet("P1"), "O2": outlet("P2"), "O3": outlet("P3")},
        heads={"key": amps(7.0), "fill": amps(5.0), "far": amps(12.0)},
        setups=[setup(key="lounge", fill="lounge", far="lounge")],
    )
    rigged = [
        put("key", "O1", place="lounge"),
        put("fill", "O1", place="lounge", socket=2),
        put("far", "O3", place="lounge"),
    ]
    answer = told(job, *rigged, device="P1")
    assert answer.move is not None
    assert answer.move.risk == 0


def test_scenes_with_known_wiring_take_a_statement_as_it_is() -> None:
    """A house that is fully known has one wiring: a statement is true or false of it."""
    job = small_job()
    scene = Scene.of(job, Log(), told(job, put("lamp", "O1")).scene.plan, "SU1")
    assert scene.given({"O1": frozenset({"P1"})})[0] == pytest.approx(1.0)
    assert scene.given({"O1": frozenset({"P2"})}) == (0.0, None)
