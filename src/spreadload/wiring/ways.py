"""How many rounds it takes to place every lamp: one by one, by the last round, and at the least.

Imports its neighbours and numpy only.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import combinations
from math import log2

import numpy as np
from numpy.typing import NDArray

from spreadload.wiring.colours import fewest_rounds
from spreadload.wiring.rounds import Board, Off, State
from spreadload.wiring.ties import evened

# Up to so many open circuits every set of them is looked at.
_ALL_SUBSETS = 8
# So many rounds are tried to the end; more where only few wirings are left.
_AHEAD = 4
_AHEAD_OF_FEW = 12
_FEW_ROWS = 16
# Of wirings that are only a sample, so many tell roughly what a state still takes.
_SOME_ROWS = 8
# Wirings looked at before a search takes what tells most, untried.
_LOOKS = 100_000

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Rounds:
    """How many rounds a way takes: on average, and on the worst wiring looked at."""

    mean: float = 0.0
    most: int = 0


def one_by_one(board: Board) -> tuple[Rounds, Off]:
    """Return the rounds of switching the busiest first until all is known, and the order."""
    on = {n: float(board.maps.weights @ (board.maps.on == n).sum(axis=1)) for n in board.switches}
    order = tuple(sorted(board.switches, key=lambda n: (-on[n], n)))
    return _in_order(board, board.start, order), order


def _in_order(board: Board, state: State, order: Off) -> Rounds:
    if state.is_known or not order:
        return Rounds()
    if not board.tells(state, order[:1]):
        return _in_order(board, state, order[1:])
    return _mean(board, state, order[:1], lambda part: _in_order(board, part, order[1:]))


def _mean(board: Board, state: State, off: Off, then: Callable[[State], Rounds]) -> Rounds:
    """Return one round and what follows it, averaged over what it may show."""
    whole = board.weight(state)
    mean, most = 0.0, 0
    for part in board.after(state, off):
        rounds = then(part)
        mean += board.weight(part) / whole * rounds.mean
        most = max(most, rounds.most)
    return Rounds(1.0 + mean, 1 + most)


@dataclass
class Search:
    """Choosing each round by what the last one showed.

    The rounds that tell most are tried to the end, as long as there are looks left; then the one
    that tells most is taken untried. Counts wirings looked at, never seconds.
    """

    board: Board
    looks: int = _LOOKS
    _found: dict[State, tuple[Rounds, Off]] = field(default_factory=dict)

    def run(self) -> tuple[Rounds, Off]:
        """Return the rounds it takes, and the first of them."""
        return self._best(self.board.start)

    def _best(self, state: State) -> tuple[Rounds, Off]:
        if state.is_known:
            return Rounds(), ()
        if state not in self._found:
            self._found[state] = self._searched(state)
        return self._found[state]

    def _searched(self, state: State) -> tuple[Rounds, Off]:
        if len(state.rows) == 1 and not self.board.maps.is_exact:
            # Only one of the wirings looked at is left: what it takes to see that for sure.
            least = fewest_rounds(self.board.to_part(state, state.rows[0]))
            return Rounds(float(least), least), ()
        useful = {off for off in self._options(state) if self.board.tells(state, off)}
        options = sorted(useful, key=lambda off: (self._unknown(state, off), len(off), off))
        if not options:
            return Rounds(), ()
        ahead = _AHEAD if len(state.rows) > _FEW_ROWS else _AHEAD_OF_FEW
        ahead = ahead if self.looks > 0 else 1
        tried = [(self._try(state, off), off) for off in options[:ahead]]
        return min(tried, key=lambda pair: (evened(pair[0].mean), len(pair[1]), pair[1]))

    def _try(self, state: State, off: Off) -> Rounds:
        self.looks -= len(state.rows)
        return _mean(self.board, state, off, lambda part: self._best(part)[0])

    def _options(self, state: State) -> Iterator[Off]:
        """Yield rounds worth looking at; all of them where the circuits are few."""
        circuits = self.board.open_circuits(state)
        if self.looks <= 0:
            # Half of them, and each alone: enough to go on with.
            yield circuits[: max(len(circuits) // 2, 1)]
            yield from combinations(circuits, 1)
            return
        if len(circuits) <= _ALL_SUBSETS:
            for size in range(1, len(circuits) // 2 + 2):
                yield from combinations(circuits, size)
            return
        chosen: Off = ()
        while len(chosen) <= len(circuits) // 2:
            more = [tuple(sorted((*chosen, n))) for n in circuits if n not in chosen]
            yield from more
            chosen = min(more, key=lambda off: (self._unknown(state, off), off))

    def _unknown(self, state: State, off: Off) -> float:
        """Return how many rounds, roughly, would be left after one: the least known lamp's."""
        self.looks -= len(state.rows)
        whole = self.board.weight(state)
        return evened(
            sum(
                self.board.weight(part) / whole * self._roughly(part)
                for part in self.board.after(state, off)
            )
        )

    def _roughly(self, state: State) -> float:
        if state.is_known:
            return 0.0
        left = sum(log2(some.bit_count()) for some in state.left) / len(state.left)
        if not self.board.maps.is_exact:
            some = state.rows[:_SOME_ROWS]
            parted = [fewest_rounds(self.board.to_part(state, row)) for row in some]
            return sum(parted) / len(parted) + left / 2
        rows = list(state.rows)
        weights = self.board.maps.weights[rows]
        each = [entropy_of(column, weights) for column in self.board.numbers[rows].T]
        return 1.0 + max(each) + left / 2


def least(board: Board) -> float:
    """Return a number of rounds that no way can do without, on average.

    Source:
        A yes-or-no question gives at most one bit (C. E. Shannon, A mathematical theory of
        communication, 1948): a round shows a bit per lamp. Where each lamp has to be seen for
        itself, every pair of circuits that must be parted needs a round (``colours``).
    """
    if board.start.is_known:
        return 0.0
    weights = board.maps.weights
    bound = max(1.0, bits_of(board) / len(board.possible))
    if board.maps.is_exact:
        return bound
    parted = [fewest_rounds(board.to_part(board.start, n)) for n in range(len(board.maps))]
    return max(bound, float(weights @ np.array(parted, dtype=float)))


def bits_of(board: Board) -> float:
    """Return what is not known of the lamps' wiring [bit], as far as switching can tell."""
    _, index = np.unique(board.numbers, axis=0, return_inverse=True)
    return entropy_of(index.ravel(), board.maps.weights)


def entropy_of(labels: NDArray[np.intp], weights: Floats) -> float:
    """Return the entropy of labels, small numbers, that come with weights [bit]."""
    share = np.bincount(labels, weights)
    share = share[share > 0] / share.sum()
    return float(-(share * np.log2(share)).sum()) + 0.0
