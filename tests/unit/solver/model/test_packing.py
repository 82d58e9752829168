"""Dealing units out over the sockets and power boards of one plate."""

from random import Random

import pytest

from builders import amps, job_of, outlet, setup, small_data
from spreadload.derived.facts import Facts
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.feasible import solve
from spreadload.solver.model.packing import Bin, pack
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables

SOCKET, BOARD = Bin(None, 1, 10_000), Bin(0, 4, 10_000)


def test_sockets_go_to_those_that_choose_first() -> None:
    """A small heater gets the socket, the larger heads share the board."""
    assert pack([6_000, 3_000, 1_000], [SOCKET, BOARD], {1}) == [1, 0, 1]


def test_without_a_choice_the_largest_gets_the_socket() -> None:
    """What is named first in the bins is filled first, largest unit first."""
    assert pack([1_000, 6_000, 2_000], [SOCKET, BOARD]) == [1, 0, 1]


def test_a_choice_never_costs_the_packing() -> None:
    """The heater has to go on the board when only that way the rest fits."""
    tight = [Bin(None, 1, 10_000), Bin(0, 4, 5_000)]
    assert pack([9_000, 3_000, 2_000], tight, {1}) == [0, 1, 1]
    assert pack([9_000, 6_000], tight, {1}) is None


def test_choosing_first_never_changes_whether_it_fits() -> None:
    """On random plates the answer is the same whoever chooses first."""
    random = Random(7)
    for _ in range(300):
        sizes = [random.randrange(500, 9_000, 500) for _ in range(random.randint(1, 5))]
        bins = [SOCKET] * random.randint(0, 2) + [BOARD] * random.randint(0, 2)
        first = {n for n in range(len(sizes)) if random.random() < 0.4}
        assert (pack(sizes, bins) is None) == (pack(sizes, bins, first) is None)


@pytest.mark.parametrize("seed", range(12))
def test_what_is_counted_at_a_plate_can_be_dealt_out(seed: int) -> None:
    """With one board to spare the counts hold exactly when some dealing out does."""
    random = Random(seed)
    sockets = random.randint(1, 2)
    units_a = [random.choice([0.7, 1.6, 2.1, 3.0, 4.9, 6.0, 6.5, 8.7]) for _ in range(4)]
    facts = _plate(units_a, sockets)
    sizes_ma = [facts.unit_ma(f"h{n}", 1) for n in range(len(units_a))]
    board = Bin(0, 4, 10_000)
    plates = ([SOCKET] * sockets, [SOCKET] * (sockets - 1) + [board])
    can_be_dealt = any(pack(sizes_ma, bins) is not None for bins in plates)
    v = Variables.of(facts, None, frozenset())
    for rule in RULES:
        rule(v)
    assert v.stacked
    _, status = solve(v.model, 10.0, seed)
    assert status == (cp_model.OPTIMAL if can_be_dealt else cp_model.INFEASIBLE)


def _plate(units_a: list[float], sockets: int) -> Facts:
    """Return one outlet on a stout circuit with heads beside it and one power board."""
    data = small_data(
        circuits={"P1": {"breaker_a": 40, "feeds": "outlets"}},
        outlets={"O1": outlet("P1", "lounge", at=[0, 0], sockets=sockets, plate_a=40)},
        places={"here": {"at": [0, 1]}},
        heads={f"h{n}": amps(a, count=1, cord_m=3) for n, a in enumerate(units_a)},
        power_boards=[{"ways": 4, "rating_a": 10.0, "count": 1}],
        setups=[setup("SU1", **{f"h{n}": {"here": 1} for n in range(len(units_a))})],
    )
    return Facts.of(job_of(data))
