"""What the house has wired keeps to the breaker it was wired to, where only a habit says more."""

import pytest

from builders import Entry, amps, circuit, job_of, plan_of, put, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts

CHARGER: Entry = {"kind": "electronics", "plate_w": 7200, "circuit": "EV"}


def charged(**stated: object) -> Facts:
    """Return a flat with a car charger on a way of 32 A, on all day."""
    return Facts.of(
        job_of(
            small_data(
                supply={"limit_a": 80.0, "limit_source": "fuse", "planning_v": 230.0},
                circuits={"P1": circuit(10.0), "P2": circuit(10.0), "EV": {"breaker_a": 32.0}},
                house={"car": CHARGER | {"starts_by_itself": True} | stated},
                setups=[setup(lamp="lounge")],
            )
        )
    )


@pytest.mark.parametrize(
    ("stated", "drawn_ma"),
    [
        # 7,200 W at the 0.6 that is assumed of electronics would be 52.2 A; at 1 it is 31.3 A.
        ({}, 32_000),
        ({"power_factor": 0.95}, 32_952),
        ({"measured_a": 40.0}, 40_000),
        # 9,200 W are 40 A at any power factor: the breaker is no excuse.
        ({"plate_w": 9200}, 66_667),
        ({"plate_w": 3000}, 21_740),
    ],
)
def test_an_assumed_power_factor_does_not_overload_its_own_way(
    stated: Entry, drawn_ma: int
) -> None:
    """Sums of watts over volts and power factor (IEC 60050-131); what is stated always counts."""
    assert charged(**stated).loads["car"].unit_ma[1] == pytest.approx(drawn_ma, abs=1)


def test_its_source_says_so() -> None:
    """Nobody takes the figure for one that was read."""
    assert charged().loads["car"].draw.source.endswith("taken to keep to the 32 A of its way")


def test_a_way_with_nothing_of_ours_is_not_refused_under_sag() -> None:
    """A pump of 15.9 A on 16 A draws more as the board sags: the house lived with that before."""
    job = job_of(
        small_data(
            supply={
                "limit_a": 63.0,
                "planning_v": 230.0,
                "readings": [{"at": "board", "idle_v": 230.0, "loaded_v": 225.0, "load_a": 10.0}],
            },
            circuits={"P1": circuit(10.0), "P2": circuit(10.0), "W": {"breaker_a": 16.0}},
            house={"pump": amps(15.9, kind="motor", circuit="W", starts_by_itself=True)},
            setups=[setup(lamp="lounge")],
        )
    )
    judged = Judge(Facts.of(job)).judge(plan_of(put("lamp", "O1", place="lounge")))
    assert not [v for v in judged.violations if v.rule == "circuit under sag"]
