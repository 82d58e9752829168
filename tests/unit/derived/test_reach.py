"""How long a lead has to be."""

import pytest

from builders import outlet, small_job
from spreadload.derived.reach import floor_level, outlet_spot, route_rule, spot
from spreadload.job.job import Job


def between(job: Job, outlet_id: str, place_id: str) -> float:
    """Return the route from an outlet to a place [m]."""
    return route_rule(job).length_m(outlet_spot(job, outlet_id), spot(job, place_id))


def test_route_follows_walls_with_detour_and_slack() -> None:
    """3 m across and 4 m along is 1.3 x 7 + 2 = 11.1 m.

    Source: common practice, no source.
    """
    job = small_job(
        outlets={"O1": outlet("P1", at=[0.0, 0.0])}, places={"spot": {"at": [3.0, 4.0]}}
    )
    assert between(job, "O1", "spot") == pytest.approx(11.1)


def test_each_floor_adds_its_height() -> None:
    """One floor up costs four metres more."""
    job = small_job(
        outlets={"O1": outlet("P1", at=[0.0, 0.0], floor="1")}, places={"spot": {"at": [3.0, 4.0]}}
    )
    assert between(job, "O1", "spot") == pytest.approx(15.1)


def test_without_positions_room_decides() -> None:
    """Same room and other room have stated lengths when nobody measured."""
    job = small_job()
    assert between(job, "O1", "lounge") == pytest.approx(5.0)
    assert between(job, "O1", "bed") == pytest.approx(15.0)


def test_a_job_may_change_the_route_rule() -> None:
    """Stated numbers replace the habits one by one."""
    job = small_job(
        outlets={"O1": outlet("P1", at=[0.0, 0.0])},
        places={"spot": {"at": [3.0, 4.0]}},
        rules={"route": {"detour": 1.0, "slack_m": 0.5}},
    )
    assert between(job, "O1", "spot") == pytest.approx(7.5)


def test_a_room_stands_in_the_middle_of_its_outlets() -> None:
    """A room without a position of its own takes the mean of its outlets."""
    job = small_job(
        outlets={
            "O1": outlet("P1", "lounge", at=[0.0, 0.0]),
            "O2": outlet("P1", "lounge", at=[4.0, 2.0]),
        }
    )
    assert spot(job, "lounge").at == (2.0, 1.0)


@pytest.mark.parametrize(
    ("name", "level"),
    [("G", 0), ("1", 1), ("2", 2), ("B", -1), ("-1", -1), ("EG", 0), ("attic", 0)],
)
def test_floor_names(name: str, level: int) -> None:
    """Floors are read as crews write them; an unknown word counts as the ground floor."""
    assert floor_level(name) == level
