"""The smallest set of limits and wishes that clash, held to a search of every plan."""

from random import Random

import pytest

from small_houses import can_run, hungry_house
from spreadload.derived.facts import Facts
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.why_not.impossible import conflicts_of
from spreadload.solver.why_not.requirements import requirements

HOUSES = [h for h in map(hungry_house, map(Random, range(60))) if not can_run(h)]


def test_enough_houses_cannot_run() -> None:
    """The cases below are many, and of more than one kind."""
    assert len(HOUSES) >= 20


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_without_any_one_member_the_rest_can_hold(number: int) -> None:
    """What is named clashes by itself, and no member of it could be left away."""
    job = HOUSES[number]
    facts = Facts.of(job)
    (conflict,) = conflicts_of(facts, SolverConfig(), 20)
    members = {(m.path, m.words) for m in conflict.members}
    assert all(m.is_sure for m in conflict.members)
    every = requirements(facts, "SU1")
    kept = [r for r in every if (r.path, r.words) in members]
    assert len(kept) == len(members)
    bare = job
    for requirement in every:
        if requirement not in kept:
            bare = requirement.without(bare)
    assert not can_run(bare)
    for requirement in kept:
        assert can_run(requirement.without(bare)), requirement.words


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_arithmetic_is_a_sum_and_packing_is_not(number: int) -> None:
    """A clash is called arithmetic only where the named wishes are more than the named limits."""
    job = HOUSES[number]
    (conflict,) = conflicts_of(Facts.of(job), SolverConfig(), 20)
    wishes_a = sum(
        (job.heads.get(str(m.path[-1])) or job.departments[str(m.path[-1])]).measured_a or 0.0
        for m in conflict.members
        if m.path[0] == "setups"
    )
    if conflict.kind in ("arithmetic", "packing"):
        circuits = [m.path[1] for m in conflict.members if m.path[0] == "circuits"]
        named_a = [job.circuits[str(c)].breaker_a or 0.0 for c in circuits]
        if any(m.path[0] == "supply" for m in conflict.members):
            named_a.append(job.supply.limit_a or 0.0)
        if conflict.kind == "arithmetic":
            assert wishes_a > min([sum(named_a), *named_a[-1:]])
        elif len(circuits) > 1 and len(circuits) == len(job.circuits):
            assert wishes_a <= sum(named_a)
