"""Maps: exact weights by hand, sampler against exact, hard facts on every map, beliefs obeyed."""

from collections.abc import Iterable

import numpy as np
import pytest

from builders import circuit, outlet, small_job
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.wiring.maps import Maps, can_list, drawn_maps, listed_maps, maps_of
from spreadload.wiring.model import WiringModel

FAR = {
    "lounge": {"use": "living", "at": [0.0, 0.0]},
    "bed": {"use": "bedroom", "at": [5.0, 0.0]},
}


def two_rooms(**changes: object) -> Job:
    """Return two rooms with two open outlets each on two circuits, wired room by room."""
    stated: dict[str, object] = {
        "rooms": FAR,
        "outlets": {
            "L1": outlet(None, "lounge", at=[0.0, 0.0]),
            "L2": outlet(None, "lounge", at=[0.0, 3.0]),
            "B1": outlet(None, "bed", at=[5.0, 0.0]),
            "B2": outlet(None, "bed", at=[5.0, 3.0]),
        },
        "wiring": {"zones": {"front": ["lounge"], "back": ["bed"]}},
    }
    return small_job(**(stated | changes))


def share(maps: Maps, **circuits: str) -> float:
    """Return the weight of maps with the named outlets on the named circuits."""
    fits = np.ones(len(maps), dtype=bool)
    for name, on in circuits.items():
        fits &= maps.on[:, maps.outlets.index(name)] == maps.circuits.index(on)
    return float(maps.weights @ fits)


def test_exact_weights_follow_from_the_stated_prior_by_hand() -> None:
    """Two zones on two circuits, one stray in ten: (0.9 and 0.1 products) / 2 for each hand-out."""
    maps = listed_maps(WiringModel.of(two_rooms()))
    assert maps.is_exact
    assert len(maps) == 16
    assert share(maps, L1="P1", L2="P1", B1="P2", B2="P2") == pytest.approx(
        (0.9**4 + 0.1**4) / 2, rel=1e-5
    )
    assert share(maps, L1="P1", L2="P1") == pytest.approx((0.9**2 + 0.1**2) / 2, rel=1e-5)
    assert share(maps, L1="P1", B1="P1") == pytest.approx(0.9 * 0.1, rel=1e-5)


def test_a_known_outlet_pulls_its_zone_by_bayes_rule() -> None:
    """With L1 known on P1: the lounge is on P1 with 0.9, so L2 with 0.9² + 0.1²."""
    outlets = two_rooms().model_dump(mode="json", exclude_none=True)["outlets"]
    outlets["L1"] = outlet("P1", "lounge", at=[0.0, 0.0])
    maps = listed_maps(WiringModel.of(two_rooms(outlets=outlets)))
    assert maps.chances("L1") == {"P1": pytest.approx(1.0)}
    assert maps.chances("L2")["P1"] == pytest.approx(0.9 * 0.9 + 0.1 * 0.1, rel=1e-5)
    assert maps.chances("B1")["P1"] == pytest.approx(0.9 * 0.1 + 0.1 * 0.9, rel=1e-5)


def test_a_written_down_guess_is_odds_not_a_fact() -> None:
    """A guessed circuit becomes three times as likely as the other one, not certain."""
    outlets = two_rooms().model_dump(mode="json", exclude_none=True)["outlets"]
    outlets["L1"] = outlet("P1", "lounge") | {"known": "guessed", "at": [0.0, 0.0]}
    maps = listed_maps(WiringModel.of(two_rooms(outlets=outlets)))
    assert maps.chances("L1")["P1"] == pytest.approx(0.75, rel=1e-5)


def test_sampler_agrees_with_the_list() -> None:
    """Shares of 20,000 drawn maps are within four standard errors of the exact ones."""
    log = Log(
        observations=(
            Observation(what=Seen.STORY, circuits=("P1",), dark=("B1",)),
            Observation(
                what=Seen.HELD, circuits=("P1",), loads_a={"L1": 9.0, "B2": 6.0}, hours=4.0
            ),
            Observation(
                what=Seen.LOAD_STEP,
                loaded="L1",
                read="B2",
                idle_v=240.0,
                loaded_v=231.5,
                supply_drop_v=6.5,
            ),
        )
    )
    model = WiringModel.of(two_rooms(different_circuit=[["L1", "B1"]]), log)
    exact, drawn = listed_maps(model), drawn_maps(model, 20_000, seed=3)
    for name in ("L1", "L2", "B1", "B2"):
        for on in ("P1", "P2"):
            wanted = share(exact, **{name: on})
            error = (wanted * (1 - wanted) / drawn.effective) ** 0.5
            assert abs(share(drawn, **{name: on}) - wanted) < 4 * error + 1e-9


def test_effective_size_falls_when_maps_weigh_unequally() -> None:
    """Soft evidence over several outlets costs effective size, and that is reported."""
    held = Observation(what=Seen.HELD, circuits=("P1",), loads_a={"L1": 9.0, "L2": 8.0}, hours=8.0)
    plain = drawn_maps(WiringModel.of(two_rooms()), 4000, seed=1)
    weighed = drawn_maps(WiringModel.of(two_rooms(), Log(observations=(held,))), 4000, seed=1)
    assert plain.effective == pytest.approx(4000)
    assert weighed.effective < 0.9 * plain.effective


def test_same_seed_draws_the_same_maps() -> None:
    """Drawing is reproducible, and another seed draws others."""
    model = WiringModel.of(two_rooms())
    one, same, other = (drawn_maps(model, 500, seed) for seed in (1, 1, 2))
    assert (one.on == same.on).all()
    assert (one.on != other.on).any()


@pytest.mark.parametrize("draw", [True, False])
def test_hard_facts_hold_on_every_map(draw: bool) -> None:  # noqa: FBT001 - both doors
    """Tested circuits, ruled-out circuits, same and different statements hold on every map."""
    log = Log(
        observations=(
            Observation(what=Seen.BREAKER_OFF, circuits=("P1",), dark=("L1",), still_on=("B1",)),
        )
    )
    job = two_rooms(
        circuits={name: circuit(10.0) for name in ("P1", "P2", "P3")},
        same_circuit=[["L1", "L2"]],
        different_circuit=[["B1", "B2"]],
    )
    model = WiringModel.of(job, log)
    maps = drawn_maps(model, 3000, seed=5) if draw else listed_maps(model)
    assert share(maps, L1="P1", L2="P1") == pytest.approx(1.0)
    assert share(maps, B1="P1") == 0
    assert _never_together(maps, ("B1", "B2"))


def _never_together(maps: Maps, names: Iterable[str]) -> bool:
    a, b = (maps.on[:, maps.outlets.index(n)] for n in names)
    return bool((a != b).all())


def test_labels_bring_their_rooms_with_them() -> None:
    """A circuit labelled for a room feeds that room's outlets on most maps."""
    job = two_rooms(
        wiring={},
        circuits={"P1": circuit(10.0, label="GPO"), "P2": circuit(10.0, label="BEDROOM")},
    )
    maps = listed_maps(WiringModel.of(job))
    assert maps.chances("B1")["P2"] > 0.8
    assert maps.chances("L1")["P1"] > 0.8


def test_own_odds_of_a_job_replace_the_prior() -> None:
    """Weights stated for an outlet are used as they stand; a zone stands for its circuit."""
    job = two_rooms(
        wiring={
            "zones": {"front": ["lounge"], "back": ["bed"]},
            "outlets": {"B2": {"front": 3.0, "back": 1.0}, "L2": {"P2": 1.0}},
        }
    )
    maps = listed_maps(WiringModel.of(job))
    assert maps.chances("L2") == {"P2": pytest.approx(1.0)}
    together = share(maps, B2="P1", L1="P1") + share(maps, B2="P2", L1="P2")
    assert together == pytest.approx(0.75 * 0.9 + 0.25 * 0.1, rel=1e-5)


def test_maps_are_listed_only_while_they_are_few() -> None:
    """Sixteen maps are listed; twenty open outlets on two circuits are drawn."""
    many = {f"O{n}": outlet(None, "lounge", at=[float(n), 0.0]) for n in range(20)}
    small, large = WiringModel.of(two_rooms()), WiringModel.of(two_rooms(outlets=many))
    assert can_list(small)
    assert maps_of(small, 100, 1).is_exact
    assert not can_list(large)
    assert len(maps_of(large, 100, 1)) == 100


def test_strays_rise_where_outlets_stand_back_to_back() -> None:
    """An outlet half a metre from the next room's follows that room more often."""
    near = two_rooms().model_dump(mode="json", exclude_none=True)["outlets"]
    near["L2"] = outlet(None, "lounge", at=[4.6, 0.0])
    maps = listed_maps(WiringModel.of(two_rooms(outlets=near)))
    apart = 1 - share(maps, L1="P1", L2="P1") - share(maps, L1="P2", L2="P2")
    plain = listed_maps(WiringModel.of(two_rooms()))
    usual = 1 - share(plain, L1="P1", L2="P1") - share(plain, L1="P2", L2="P2")
    assert apart > 1.5 * usual


def test_facts_win_over_odds_that_exclude_them() -> None:
    """Odds that give an outlet no chance of what was tested make it surprising, not impossible."""
    log = Log(
        observations=(Observation(what=Seen.BREAKER_OFF, circuits=("P2",), still_on=("L2",)),)
    )
    job = two_rooms(
        circuits={name: circuit(10.0) for name in ("P1", "P2", "P3")},
        wiring={"outlets": {"L2": {"P2": 1.0}}},
    )
    maps = drawn_maps(WiringModel.of(job, log), 500, seed=1)
    assert set(maps.chances("L2")) <= {"P1", "P3"}


def test_an_outlet_found_on_a_lighting_way_is_on_it_on_every_map() -> None:
    """A way read as lighting is nobody's home, yet holds the outlet that was found on it."""
    lights = {"LT": {"label": "LIGHTS", "breaker_a": 10.0, "feeds": "lighting"}}
    log = Log(observations=(Observation(what=Seen.BREAKER_OFF, circuits=("LT",), dark=("L1",)),))
    job = two_rooms(circuits={"P1": circuit(10.0), "P2": circuit(10.0)} | lights)
    maps = maps_of(WiringModel.of(job, log), 500, 1)
    assert maps.chances("L1") == {"LT": pytest.approx(1.0)}
    assert "LT" not in maps.chances("L2")


def test_a_board_without_power_circuits_is_no_crash() -> None:
    """Where no way can feed outlets the maps still exist, for what they are worth."""
    job = two_rooms(circuits={"OV": {"label": "OVEN", "breaker_a": 32.0}})
    assert len(maps_of(WiringModel.of(job), 50, 1)) >= 1
