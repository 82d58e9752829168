"""The best fill of one circuit by prices, held to trying every choice of shares."""

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from spreadload.solver.large.fills import PRICE, Knapsack
from spreadload.solver.large.shares import Shares

STEP_MA = 100
PLACES = 3


@st.composite
def places(draw: st.DrawFn) -> tuple[Shares, ...]:
    """Draw up to three places, each with one demand of up to two units."""
    found = []
    for number in range(draw(st.integers(1, PLACES))):
        units = np.array([[n] for n in range(1, draw(st.integers(1, 2)) + 1)], dtype=np.int64)
        metres = np.array([draw(st.integers(0, 30)) for _ in units], dtype=np.int64)
        unit_ma = draw(st.integers(1, 60)) * STEP_MA
        is_big = draw(st.integers(0, 1))
        demands = np.array([number], dtype=np.int64)
        boards = np.array([draw(st.integers(0, 2)) for _ in units], dtype=np.int64)
        amps_ma, big = units[:, 0] * unit_ma, units[:, 0] * is_big
        found.append(Shares(demands, units, metres, amps_ma, big, boards))
    return tuple(found)


@given(
    there=places(),
    prices_m=st.lists(st.integers(0, 40), min_size=PLACES, max_size=PLACES),
    room=st.integers(0, 120),
    board_m=st.integers(0, 20),
    one_big=st.booleans(),
)
def test_nothing_that_fits_is_worth_more(
    there: tuple[Shares, ...], prices_m: list[int], room: int, board_m: int, *, one_big: bool
) -> None:
    """With amps in whole steps the knapsack is exact, for every amount of room at once."""
    prices = np.array(prices_m, dtype=np.int64) * PRICE
    knapsack = Knapsack(STEP_MA, one_big)

    worths = knapsack.worths(there, prices, room * STEP_MA, board_m * PRICE)

    for steps in {0, room // 2, room}:
        best = 0
        for chosen in product(*(range(-1, len(shares.metres)) for shares in there)):
            taken = [(s, n) for s, n in zip(there, chosen, strict=True) if n >= 0]
            big = sum(int(s.big[n]) for s, n in taken)
            if sum(int(s.amps_ma[n]) for s, n in taken) <= steps * STEP_MA and (
                not one_big or big <= 1
            ):
                gains = (int(s.units[n] @ prices[s.demands]) for s, n in taken)
                metres = sum(int(s.metres[n] + board_m * s.boards[n]) for s, n in taken)
                best = max(best, sum(gains) - PRICE * metres)
        assert int(worths[steps]) == best


@given(places(), st.lists(st.integers(0, 40), min_size=PLACES, max_size=PLACES))
def test_the_fill_told_is_worth_what_is_said(
    there: tuple[Shares, ...], prices_m: list[int]
) -> None:
    """Units, metres and amps of the fill belong together."""
    prices = np.array(prices_m, dtype=np.int64) * PRICE
    knapsack = Knapsack(STEP_MA, one_big=False)

    worths = knapsack.worths(there, prices, 60 * STEP_MA)
    fill = knapsack.fill()

    gains = sum(int(prices[k]) * count for k, count in fill.units.items())
    assert gains - PRICE * fill.metres == int(worths[-1])
    assert fill.amps_ma <= 60 * STEP_MA
