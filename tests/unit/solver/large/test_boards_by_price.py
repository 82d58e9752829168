"""Power boards that are scarce have a price: what a place costs with it, and what it proves."""

from dataclasses import replace
from itertools import product

import pytest

from spreadload.derived.facts import Facts
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.cable_bound import BOARD_PRICES_M, serving_costs
from spreadload.solver.large.dealing import Dealing
from spreadload.solver.large.held import Held
from spreadload.solver.large.proof import Range, proved_m
from spreadload.solver.large.shares import sharing
from spreadload.solver.large.terms import Terms
from spreadload.solver.model.candidates import all_candidates
from unit.solver.large.test_wide import site

FULL = {"SU0": 90, "SU1": 90}


def settled(facts: Facts) -> Dealing:
    """Return a programme with its prices."""
    options = all_candidates(facts)
    held = Held(FULL, 100, one_big=False)
    dealing = Dealing(Terms(facts, options, sharing(facts, options), held), Clock(30.0))
    dealing.settle()
    return dealing


def with_boards(facts: Facts, count: int) -> Facts:
    """Return the same day with so many power boards on the van."""
    return replace(facts, boards=tuple(replace(board, count=count) for board in facts.boards))


@pytest.mark.parametrize("seed", range(4))
def test_at_every_price_a_share_is_served_its_cheapest_way(seed: int) -> None:
    """More boards never cost less, and no way is kept that another beats in metres and boards."""
    facts = site(seed)
    options = all_candidates(facts)
    for setup_id, asked in facts.demands.items():
        for place in {demand.place for demand in asked}:
            there = [demand for demand in asked if demand.place == place]
            near = {demand: options[demand] for demand in there}
            costs = serving_costs(facts, there, near, {})
            assert set(costs) == set(product(*(range(d.count + 1) for d in there))), setup_id
            for ways in costs.values():
                for (metres, boards), (other_m, others) in product(ways, ways):
                    assert boards == others or (metres < other_m) == (boards > others)
                    assert (metres, boards) == (other_m, others) or boards != others


@pytest.mark.parametrize("seed", range(3))
def test_with_the_price_among_the_metres_each_share_stands_once(seed: int) -> None:
    """The way that is kept is the cheapest at that price, whichever price it is."""
    facts = site(seed)
    for each in sharing(facts, all_candidates(facts)).bins.values():
        for shares in each:
            for board_m in BOARD_PRICES_M:
                least: dict[tuple[int, ...], int] = {}
                for units, metres, boards in zip(
                    shares.units.tolist(),
                    shares.metres.tolist(),
                    shares.boards.tolist(),
                    strict=True,
                ):
                    price = metres + board_m * boards
                    least[tuple(units)] = min(price, least.get(tuple(units), price))
                priced = shares.at_price(board_m)
                kept = zip(priced.units.tolist(), priced.metres.tolist(), strict=True)
                assert {tuple(units): metres for units, metres in kept} == least
                assert not priced.boards.any()
                assert len(priced.metres) == len(least)


def test_fewer_boards_prove_more_cable() -> None:
    """What no plan is below rises as boards get scarce, and boards get a price."""
    facts = site(2)
    least = dict.fromkeys(FULL, 0)
    proved = []
    for count in (9, 1, 0):
        dealing = settled(with_boards(facts, count))
        proved.append(proved_m(dealing.terms, dealing.prices, Range(least, FULL, None)))
        assert (float(dealing.prices.boards.sum()) > 0) == (count == 0) or count == 1

    assert proved[0] <= proved[1] <= proved[2]
    assert proved[0] < proved[2]
