"""Tight jobs: circuits that have to be filled to the brim."""

from itertools import product
from random import Random
from typing import Any

import pytest

from builders import amps, outlet, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Impossible, Solved
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.variables import Variables
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.solver.staged.filling import filled, patterns

FULL_MA = 10_000


@pytest.mark.parametrize("seed", range(20))
def test_every_way_to_fill_a_circuit_is_listed_once(seed: int) -> None:
    """The ways are those of trying every number of every kind."""
    random = Random(seed)
    sizes = sorted((random.randint(1, 9) for _ in range(4)), reverse=True)
    most = [random.randint(1, 3) for _ in sizes]
    room, seats, slack = random.randint(8, 20), random.randint(2, 8), random.randint(0, 3)
    tried = [
        each
        for each in product(*(range(n + 1) for n in most))
        if sum(each) <= seats
        and room - slack <= sum(u * s for u, s in zip(each, sizes, strict=True)) <= room
    ]
    found = patterns(sizes, most, room, seats, slack)
    assert found is not None
    assert sorted(found) == sorted(tried)


def brimful(circuits: int, seed: int) -> Job:
    """Return a job of circuits that three heads each fill to the last milliamp."""
    random = Random(seed)
    sizes_ma: list[int] = []
    for _ in range(circuits):
        first = random.randint(2600, 4000)
        second = random.randint(2600, FULL_MA - first - 2600)
        sizes_ma += [first, second, FULL_MA - first - second]
    heads = {f"H{n}": amps(size / 1000, cord_m=20) for n, size in enumerate(sizes_ma)}
    names = [f"P{n}" for n in range(circuits)]
    stated: dict[str, Any] = {
        "supply": {"limit_a": 10.0 * circuits, "limit_source": "stated"},
        "circuits": {name: {"breaker_a": 10, "feeds": "outlets"} for name in names},
        "outlets": {f"O{name}": outlet(name, "lounge", sockets=3) for name in names},
        "heads": heads,
        "setups": [setup(**dict.fromkeys(heads, "lounge"))],
    }
    return small_job(**stated)


@pytest.mark.parametrize("seed", range(2))
def test_circuits_filled_to_the_brim_are_planned(seed: int) -> None:
    """Sixteen circuits without a milliamp to spare: there is a plan by how they were made."""
    facts = Facts.of(brimful(16, seed))
    outcome = find_plans(facts, Judge(facts), SolverConfig(alternatives=0))
    assert isinstance(outcome, Solved)
    plan, verdict = outcome.plans[0]
    assert verdict.holds
    assert len(plan.placements) == 3 * 16


def test_one_circuit_less_is_refused() -> None:
    """What fills sixteen circuits does not go on fifteen."""
    job = brimful(16, 1)
    without = {"P15"}
    fewer = job.model_copy(
        update={
            "circuits": {k: c for k, c in job.circuits.items() if k not in without},
            "outlets": {k: o for k, o in job.outlets.items() if o.circuit not in without},
        }
    )
    facts = Facts.of(fewer)
    assert filled(Variables.of(facts), Clock(5.0)) is None
    config = SolverConfig(alternatives=0, time_limit_s=5)
    assert isinstance(find_plans(facts, Judge(facts), config), Impossible)


def test_a_filling_places_every_unit_and_overloads_nothing() -> None:
    """Each unit once, each circuit within its limit."""
    facts = Facts.of(brimful(12, 7))
    split = filled(Variables.of(facts), Clock(10.0))
    assert split is not None
    placed: dict[str, int] = {}
    on: dict[str, int] = {}
    for (demand, exposure), units in split.items():
        ((name, _),) = exposure.circuits
        placed[demand.load] = placed.get(demand.load, 0) + units
        on[name] = on.get(name, 0) + units * facts.counted_ma("SU1", demand.load, 1)
    assert placed == dict.fromkeys(facts.loads, 1)
    assert all(load_ma <= facts.circuits[name].cap_ma for name, load_ma in on.items())
