"""What cannot matter to the solver, what can only help, and what must halve."""

import pytest

from builders import Entry, job_of
from oracle.random_jobs import random_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Outcome, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans

CONFIG = SolverConfig(alternatives=0)
SEEDS = range(500, 516)
BY_NAME = ("circuits", "outlets", "heads", "rooms", "places", "departments", "house")
TIGHTEST = 7


def plain(job: Job) -> Entry:
    """Return a job as plain data, the way a file states it."""
    data: Entry = job.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    return data


def outcome(job: Job) -> Outcome:
    """Return what the solver answers."""
    facts = Facts.of(job)
    return find_plans(facts, Judge(facts), CONFIG)


def values(job: Job) -> tuple[int, ...] | None:
    """Return the goal values of the best plan, or None without one."""
    found = outcome(job)
    return tuple(g.value for g in found.plans[0][1].goals) if isinstance(found, Solved) else None


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_a_file_does_not_matter(seed: int) -> None:
    """Everything listed backwards, except the set-ups, has the same verdict and goal values."""
    job = random_job(seed)
    data = plain(job)
    for name in BY_NAME:
        if name in data:
            data[name] = dict(reversed(data[name].items()))
    assert values(job_of(data)) == values(job)


@pytest.mark.parametrize("seed", SEEDS)
def test_names_do_not_matter(seed: int) -> None:
    """Outlets named the other way round have the same verdict and goal values."""
    job = random_job(seed)
    data = plain(job)
    outlets = data["outlets"]
    data["outlets"] = {f"Z{9 - n}": entry for n, entry in enumerate(outlets.values())}
    assert values(job_of(data)) == values(job)


@pytest.mark.parametrize("seed", SEEDS)
def test_more_capacity_never_hurts(seed: int) -> None:
    """Every breaker 10 A larger: what could be done still can, and no higher goal gets worse."""
    job = random_job(seed)
    data = plain(job)
    for circuit in data["circuits"].values():
        circuit["breaker_a"] += 10.0
    before, after = values(job), values(job_of(data))
    if before is not None:
        assert after is not None
        assert after[:TIGHTEST] <= before[:TIGHTEST]


@pytest.mark.parametrize("seed", SEEDS)
def test_more_leads_never_hurt(seed: int) -> None:
    """One more lead of each kind: every goal in order is as good or better."""
    job = random_job(seed)
    data = plain(job)
    for lead in data["leads"]:
        lead["count"] = lead.get("count", 1) + 1
    before, after = values(job), values(job_of(data))
    if before is not None:
        assert after is not None
        assert after <= before


def test_doubling_the_volts_halves_the_amps() -> None:
    """Loads stated in watts draw half the current at twice the volts, on every device."""
    used = {}
    for planning_v in (115.0, 230.0):
        data = plain(random_job(503))
        data["supply"] = {"planning_v": planning_v, "limit_a": 100.0}
        data["circuits"] = {"P1": {"label": "PLUGS", "breaker_a": 63.0, "feeds": "outlets"}}
        for outlet in data["outlets"].values():
            outlet.pop("maybe_on", None)
            outlet |= {"circuit": "P1", "socket_a": 40.0, "plate_a": 80.0}
        data["region"] = "AU"
        data["departments"] = {}
        data["leads"] = [{"length_m": 20.0, "size_mm2": 10.0, "rating_a": 60.0, "count": 20}]
        data["rules"] = {"lead_drop_pct": 20.0}
        for head in data["heads"].values():
            head.pop("measured_a")
            head |= {"plate_w": 690.0, "power_factor": 1.0}
        for setup in data["setups"]:
            setup["on"] = []
        found = outcome(job_of(data))
        assert isinstance(found, Solved)
        used[planning_v] = [u.current_a for u in found.plans[0][1].usages if u.kind == "circuit"]
    assert used[230.0] == pytest.approx([each / 2 for each in used[115.0]], abs=0.002)


@pytest.mark.parametrize("seed", [501, 507])
def test_the_same_input_gives_the_same_plan(seed: int) -> None:
    """Two searches in a row end with the very same plan, socket by socket."""
    job = random_job(seed)
    first, second = outcome(job), outcome(job)
    assert first == second
