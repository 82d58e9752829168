"""Bin packing instances with known optima, asked through the door every command takes.

Instances and their sources: ``benchmarks/packing_data/README.md``.
"""

import pytest

import packing
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.why_not.arithmetic import plain_reason


def test_cutting_stock_example_fits_its_optimum_and_no_less() -> None:
    """198 pieces of six lengths need 33 stocks; 32 are shorter together than the pieces."""
    instance = packing.read("web_csp")
    config = SolverConfig(time_limit_s=30, alternatives=0)

    _, enough = look_for_plans(packing.job_of(instance, 33), config)
    _, short = look_for_plans(packing.job_of(instance, 32), config)

    assert isinstance(enough, Solved)
    assert isinstance(short, Impossible)


@pytest.mark.parametrize("name", ["BPPC_1_0_1", "BPPC_1_0_2", "BPPC_5_0_1", "BPPC_5_0_2"])
def test_one_bin_less_than_published_is_impossible(name: str) -> None:
    """One circuit less than the published optimum is refused, by sums alone."""
    instance = packing.read(name)
    facts = Facts.of(packing.job_of(instance, instance.optimum - 1))

    assert plain_reason(facts) is not None
