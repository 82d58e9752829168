"""Offers held to the judge and to every single change tried one by one."""

from collections.abc import Iterator
from random import Random

import pytest

from small_houses import can_run, hungry_house
from spreadload.changes import ChangeKind, drop_heads, price_of, swap_heads, without_load
from spreadload.changes.edits import allow, set_free
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import find_offers
from spreadload.solver.what_if.package import kinds_of

HOUSES = [h for h in map(hungry_house, map(Random, range(100, 130))) if not can_run(h)]
CENT = 0.11


def single_changes(job: Job) -> Iterator[tuple[ChangeKind, float, Job]]:
    """Yield every change that touches one thing, with its price, on its own reading of prices."""
    costs, facts = job.costs, Facts.of(job)
    for head_id, head in job.heads.items():
        load = facts.loads[head_id]
        dark = price_of(
            costs, light_w=load.draw.power_w.likely, priority=head.priority, is_dark=True
        )
        without = drop_heads(job, "SU1", head_id, "lounge", 1)
        yield ChangeKind.DROP, dark.price, without
        small = job.stock.get("small")
        if small is not None and (head.measured_a or 0) > (small.measured_a or 0):
            changed = swap_heads(job, "SU1", (head_id, "lounge", 1), "small", small)
            lost_w = load.draw.power_w.likely - Facts.of(changed).loads["small"].draw.power_w.likely
            swap = price_of(costs, minutes=costs.swap_min, light_w=lost_w, priority=head.priority)
            yield ChangeKind.SWAP, swap.price, changed
    off = without_load(job, "SU1", "cart")
    yield ChangeKind.OFF, costs.off_min * costs.minute, off
    if facts.loads["cart"].power_w <= costs.battery_max_w:
        yield ChangeKind.BATTERY, costs.battery + costs.battery_min * costs.minute, off
    if job.departments["cart"].room:
        yield ChangeKind.MOVE, costs.move_min * costs.minute, set_free(job, "cart")
    if "P9" in job.circuits:
        yield ChangeKind.LEAVE, costs.leave_min * costs.minute, allow(job, circuits=("P9",))


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_offers_hold_and_no_single_change_is_cheaper(number: int) -> None:
    """The judge passes every offer; what one change can do for less would have been offered."""
    job = HOUSES[number]
    found = find_offers(job, SolverConfig(time_limit_s=20))
    assert found.in_trouble == ("SU1",)
    assert found.offers
    for offer in found.offers:
        verdict = judge(offer.job, offer.plan)
        assert verdict.holds
        assert can_run(offer.job) or any(c.kind is ChangeKind.LEADS for c in offer.changes)
        assert offer.cost.price == pytest.approx(sum(c.cost.price for c in offer.changes))
    working = [price for _, price, changed in single_changes(job) if can_run(changed)]
    cheapest = found.offers[0]
    assert cheapest.is_proven
    if working:
        assert cheapest.cost.price <= min(working) + CENT


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_no_offer_is_a_shade_of_another(number: int) -> None:
    """Among those that just fit, none has all the kinds of change of a cheaper one."""
    offers = find_offers(HOUSES[number], SolverConfig(time_limit_s=20)).offers
    fitting = [kinds_of(o.changes) for o in offers if o.target_pct == 100]
    for index, kinds in enumerate(fitting):
        assert not any(earlier <= kinds for earlier in fitting[:index])
