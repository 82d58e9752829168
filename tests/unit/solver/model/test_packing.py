"""Dealing units out over the sockets and power boards of one plate."""

from random import Random

from spreadload.solver.model.packing import Bin, pack

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
