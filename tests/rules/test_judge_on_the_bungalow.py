"""The shipped bungalow by hand: what was worked out on paper before any solver saw it.

Figures: amps added by hand from plate watts, power factors and 230 V.
"""

from pathlib import Path

import pytest

from builders import plan_of, put
from spreadload.check import judge
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.plan import Placement, Usage

FOLDER = Path(__file__).parents[2] / "scenarios" / "bungalow"
ON_P1, ON_P2 = "A2", "A8"


@pytest.fixture(scope="module")
def bungalow() -> Job:
    """The job as shipped."""
    return load_job(FOLDER)


def with_led_at_the_dining_window(job: Job) -> Job:
    """Return the job with the dining window's discharge head swapped for the spare LED head."""
    return job.model_copy(update={"heads": job.heads | {"DH1200": job.stock["LED600 spare"]}})


def midday(on_p2: set[str]) -> list[Placement]:
    """Return the main set-up with the named loads on P2 and all others on P1."""
    stands = {
        "DH1800 1": "lounge window W",
        "DH1800 2": "lounge window E",
        "DH1200 1": "dining window",
        "LED600 1": "lounge floor",
        "LED300 1": "lounge corner",
        "LED300 2": "hall end",
        "LED150 1": "dining table",
        "practicals 1": "shelf",
        "video 1": "village",
        "chargers 1": "kit corner",
    }
    plugged = [
        put(
            name.split()[0],
            ON_P2 if name in on_p2 else ON_P1,
            unit=int(name.split()[1]),
            name="SU2",
            place=place,
        )
        for name, place in stands.items()
    ]
    return [*plugged, put("fridge", "A11", name="SU2"), put("router", "A1", name="SU2")]


def power_circuits(job: Job, on_p2: set[str]) -> tuple[Usage, ...]:
    """Return what P1 and P2 carry in the main set-up."""
    used = judge(job, plan_of(*midday(on_p2))).usages
    return tuple(u for u in used if u.setup == "SU2" and u.id in {"P1", "P2"})


def test_the_main_set_up_asks_for_more_than_both_circuits_give(bungalow: Job) -> None:
    """40.8 A on two breakers of 20 A: whatever the split, one is passed."""
    for on_p2 in (set[str](), {"DH1800 1", "DH1200 1"}, {"DH1800 1", "DH1200 1", "video 1"}):
        used = power_circuits(bungalow, on_p2)
        assert sum(u.current_a for u in used) == pytest.approx(40.8, abs=0.05)
        assert max(u.used_pct for u in used) > 100


def test_an_led_head_at_the_dining_window_makes_it_fit_at_87_per_cent(bungalow: Job) -> None:
    """Swapped for a 600 W class LED the day is 34.7 A and splits to 17.4 and 17.3 A, 87 %."""
    on_p2 = {"DH1800 1", "DH1200 1", "chargers 1", "LED150 1", "practicals 1"}
    used = power_circuits(with_led_at_the_dining_window(bungalow), on_p2)
    assert sum(u.current_a for u in used) == pytest.approx(34.7, abs=0.05)
    assert [u.current_a for u in used] == pytest.approx([17.4, 17.3], abs=0.05)
    assert max(u.used_pct for u in used) <= 88


def test_a_corrected_ballast_makes_it_fit_at_94_per_cent(bungalow: Job) -> None:
    """The same head on a corrected ballast: 37.5 A, 18.7 and 18.8 A, 94 %."""
    heads = bungalow.heads | {"DH1200": bungalow.stock["DH1200 corrected"]}
    on_p2 = {"DH1800 1", "DH1200 1", "chargers 1"}
    used = power_circuits(bungalow.model_copy(update={"heads": heads}), on_p2)
    assert sum(u.current_a for u in used) == pytest.approx(37.5, abs=0.05)
    assert [u.current_a for u in used] == pytest.approx([18.7, 18.8], abs=0.06)


def test_hot_water_that_starts_by_itself_stays_under_the_service_fuse(bungalow: Job) -> None:
    """40.8 A and 13.0 A of hot water are 53.8 A of 60 A: the circuits are the limit."""
    used = judge(bungalow, plan_of(*midday({"DH1800 1"}))).usages
    (supply,) = [u for u in used if u.setup == "SU2" and u.kind == "phase"]
    assert supply.current_a == pytest.approx(53.8, abs=0.06)
    assert supply.limit_a == 60.0
