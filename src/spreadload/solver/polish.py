"""Improving a whole plan piece by piece: everything stays where it is but one piece.

A piece is a set-up, or a few places in all set-ups: a small exact problem. Pieces come in an
order that depends on the seed alone, and a round that gains nothing leaves the plan as it was.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from random import Random

from spreadload.solver.calls import Answer, Effort, solve
from spreadload.solver.limits import DETERMINISTIC_PER_S, Clock
from spreadload.solver.variables import Variables

_SETUP_DETERMINISTIC = 1.0
# Places at a time, how many rounds may gain nothing, and the deterministic limit of one round.
_SIZES = ((4, 20, 0.2), (6, 20, 0.6))

Piece = frozenset[int]


@dataclass
class Polish:
    """Rounds of improvement of the sum that the model minimises.

    Attributes:
        v: The decisions.
        effort: Seed and workers of every round, and the work and wall time of all together.
        clock: The clock of the whole search.
    """

    v: Variables
    effort: Effort
    clock: Clock

    def __post_init__(self) -> None:
        """Start the share of the work."""
        self._share = self.clock.part(self.effort.deterministic / DETERMINISTIC_PER_S)

    def by_setups(self, answer: Answer) -> Answer:
        """Return the best answer after a pass over the set-ups, the smallest first."""
        by_setup: dict[str, list[int]] = defaultdict(list)
        units: dict[str, int] = defaultdict(int)
        for (demand, _), variable in self.v.at.items():
            by_setup[demand.setup].append(variable.index)
        for demand in self.v.options:
            units[demand.setup] += demand.count
        order = sorted(by_setup, key=lambda setup_id: units[setup_id])
        pieces = [frozenset(by_setup[setup_id]) for setup_id in order]
        return self._rounds(answer, pieces, len(pieces), _SETUP_DETERMINISTIC)

    def by_places(self, answer: Answer) -> Answer:
        """Return the best answer after rounds that end when nothing gains any more."""
        for size, patience, deterministic in _SIZES:
            answer = self._rounds(answer, self._places(size), patience, deterministic)
        return answer

    def _rounds(
        self, answer: Answer, pieces: Iterable[Piece], patience: int, deterministic: float
    ) -> Answer:
        effort = replace(self.effort, deterministic=deterministic, is_fixed=True)
        idle = 0
        for free in pieces:
            if not self._share.left_s or not self._share.work_left_s:
                break
            if answer.best <= answer.bound or idle >= patience:
                break
            better = self._round(answer, free, replace(effort, wall_s=self._share.left_s))
            idle = 0 if better.best < answer.best else idle + 1
            answer = better
        return answer

    def _round(self, answer: Answer, free: Piece, effort: Effort) -> Answer:
        model = self.v.model
        model.clear_hints()
        for variable in (*self.v.at.values(), *self.v.off.values(), *self.v.left_out.values()):
            if variable.index not in free:
                model.add_hint(variable, answer.values[variable.index])
        found = solve(model, effort, self._share)
        if found.values and found.best < answer.best:
            return replace(answer, values=found.values, best=found.best)
        return answer

    def _places(self, size: int) -> Iterator[Piece]:
        """Yield the decisions of a few places at a time, for ever."""
        by_place: dict[str, list[int]] = defaultdict(list)
        for (demand, _), variable in self.v.at.items():
            by_place[demand.place or demand.load].append(variable.index)
        random = Random(self.effort.seed)  # noqa: S311 - a search order, not a secret
        while by_place:
            order = sorted(by_place)
            random.shuffle(order)
            for start in range(0, len(order), size):
                places = order[start : start + size]
                yield frozenset(index for place in places for index in by_place[place])
