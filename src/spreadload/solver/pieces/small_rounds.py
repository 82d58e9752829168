"""Improving a whole plan piece by piece, each piece cut out as a small model of its own."""

from dataclasses import replace
from random import Random

from spreadload.solver.engine.calls import Answer, Status, solve
from spreadload.solver.engine.excerpt import Source
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S
from spreadload.solver.pieces.freed import Freed
from spreadload.solver.pieces.polish import Piece, Polish

_ROUND_DETERMINISTIC = 0.08


class SmallRounds(Polish):
    """Rounds of improvement that cost what their piece costs, however large the model is."""

    def __post_init__(self) -> None:
        """Read the model once."""
        self._share = self.clock.part(self.effort.deterministic / DETERMINISTIC_PER_S)
        self._random = Random(self.effort.seed)  # noqa: S311 - a search order, not a secret
        self._sorts = self._all_sorts()
        self._source = Source(self.v.model)
        self._freed = Freed(self.v, self._source)
        self._where = {x.index: where for where, x in self.v.at.items()}
        self._each = _ROUND_DETERMINISTIC

    def _round(self, answer: Answer, free: Piece, deterministic: float) -> tuple[Answer, bool]:
        """Return the better answer of one round, and whether the round was decided."""
        flags = self._freed.with_units(self._where[index] for index in sorted(free))
        part = self._source.excerpt(answer.values, flags, answer.best)
        effort = replace(self.effort, deterministic=deterministic, wall_s=self._share.left_s)
        found = solve(part.model, effort, self._share)
        was_decided = found.status in (Status.BEST, Status.NONE_EXISTS)
        if not found.values or found.best >= answer.best:
            return answer, was_decided
        values = tuple(part.whole(answer.values, found.values).tolist())
        return replace(answer, values=values, best=found.best), was_decided
