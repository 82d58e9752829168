"""Improving a whole plan piece by piece: everything stays where it is but one piece.

A piece is a few places, a few outlets or a few sorts of load, each in all set-ups: a small exact
problem that asks for less than the plan in hand has. Units of one place, or of one sort, may go
anywhere; units on a few outlets may change among them. What one kind of piece cannot gain, another
often can. Pieces come in an order that depends on the seed alone; they grow while they are solved
easily.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from random import Random

from spreadload.solver.engine.calls import Answer, Effort, Status, asking_for_less, rows_of, solve
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, PER_ROW_S, Clock
from spreadload.solver.model.variables import Variables

_SETUP_DETERMINISTIC = 1.0
_ROUND_DETERMINISTIC = 0.3
_ROUND_SHARE = 0.07
_LEAST_DETERMINISTIC = 0.1
# A piece grows by this factor when its round was decided, and shrinks by it when it was not.
_GROWTH = 1.15
_FIRST_PLACES = 5.0
_FIRST_OUTLETS = 7.0
_FIRST_LOADS = 1.0
# So many rounds without gain, and nothing more is to be had.
PATIENCE = 60

Piece = frozenset[int]


@dataclass
class _Sort:
    """Pieces of one sort: the decisions of every part, and how many parts go together."""

    parts: dict[str, list[int]]
    size: float
    waiting: list[str] = field(default_factory=list)

    def next_piece(self, random: Random) -> Piece:
        """Return the decisions of the next few parts; every part has its turn."""
        size = min(round(self.size), len(self.parts))
        if len(self.waiting) < size:
            again = sorted(self.parts.keys() - set(self.waiting))
            random.shuffle(again)
            self.waiting += again
        chosen, self.waiting = self.waiting[:size], self.waiting[size:]
        return frozenset(index for part in chosen for index in self.parts[part])

    def learn(self, *, was_decided: bool) -> None:
        """Take larger pieces after a round that was decided, else smaller ones."""
        self.size = self.size * _GROWTH if was_decided else max(1.0, self.size / _GROWTH)
        self.size = min(self.size, float(len(self.parts)))


@dataclass
class Polish:
    """Rounds of improvement of the sum that the model minimises.

    Attributes:
        v: The decisions.
        effort: Seed and workers of every round, and the work and wall time of all together.
        clock: The clock of the whole search.
        has_loads: Whether all units of a load are pieces too.
    """

    v: Variables
    effort: Effort
    clock: Clock
    has_loads: bool = False

    def __post_init__(self) -> None:
        """Start the share of the work."""
        self._share = self.clock.part(self.effort.deterministic / DETERMINISTIC_PER_S)
        self._random = Random(self.effort.seed)  # noqa: S311 - a search order, not a secret
        self._sorts = self._all_sorts()
        self._model, self._ask_below = asking_for_less(self.v.model)
        # A round searches at least as long as it takes to read the model in.
        reading = rows_of(self._model) * PER_ROW_S * DETERMINISTIC_PER_S
        most = self.effort.deterministic * _ROUND_SHARE
        self._each = max(min(_ROUND_DETERMINISTIC, most), _LEAST_DETERMINISTIC, reading)

    def by_setups(self, answer: Answer) -> Answer:
        """Return the best answer after a pass over the set-ups, the smallest first."""
        by_setup: dict[str, list[int]] = defaultdict(list)
        units: dict[str, int] = defaultdict(int)
        for (demand, _), variable in self.v.at.items():
            by_setup[demand.setup].append(variable.index)
        for demand in self.v.options:
            units[demand.setup] += demand.count
        for setup_id in sorted(by_setup, key=lambda setup_id: units[setup_id]):
            if self._is_over(answer):
                break
            answer, _ = self._round(answer, frozenset(by_setup[setup_id]), _SETUP_DETERMINISTIC)
        return answer

    def by_pieces(
        self,
        answer: Answer,
        proved: Callable[[], int] = lambda: 0,
        patience: int = PATIENCE,
    ) -> Answer:
        """Return the best answer after rounds of all sorts, until nothing gains any more.

        Args:
            answer: The plan in hand.
            proved: What another search has proved by now that no plan falls below.
            patience: So many rounds without gain end it.
        """
        idle = 0
        while self._sorts and idle < patience:
            for sort in self._sorts:
                if self._is_over(answer) or answer.best <= proved():
                    return answer
                free = sort.next_piece(self._random)
                better, was_decided = self._round(answer, free, self._each)
                if was_decided and len(free) == len(self.v.at):
                    return better  # every smaller piece is part of this one
                sort.learn(was_decided=was_decided)
                idle = 0 if better.best < answer.best else idle + 1
                answer = better
        return answer

    def more(self, share: Clock) -> None:
        """Let the rounds go on with the work of a part of the search."""
        self._share = share

    def _all_sorts(self) -> tuple[_Sort, ...]:
        places: dict[str, list[int]] = defaultdict(list)
        outlets: dict[str, list[int]] = defaultdict(list)
        loads: dict[str, list[int]] = defaultdict(list)
        for (demand, point_id), variable in self.v.at.items():
            places[demand.place or demand.load].append(variable.index)
            outlets[self.v.facts.points[point_id].outlet].append(variable.index)
            loads[demand.load].append(variable.index)
        if not places:
            return ()
        sorts = (_Sort(places, _FIRST_PLACES), _Sort(outlets, _FIRST_OUTLETS))
        return (*sorts, _Sort(loads, _FIRST_LOADS)) if self.has_loads else sorts

    def _is_over(self, answer: Answer) -> bool:
        if not self._share.left_s or not self._share.work_left_s:
            return True
        return answer.best <= answer.bound

    def _round(self, answer: Answer, free: Piece, deterministic: float) -> tuple[Answer, bool]:
        """Return the better answer of one round, and whether the round was decided."""
        self._model.clear_hints()
        for variable in (*self.v.at.values(), *self.v.off.values(), *self.v.left_out.values()):
            if variable.index not in free:
                kept = self._model.get_int_var_from_proto_index(variable.index)
                self._model.add_hint(kept, answer.values[variable.index])
        self._ask_below(answer.best)
        effort = replace(
            self.effort, deterministic=deterministic, is_fixed=True, wall_s=self._share.left_s
        )
        found = solve(self._model, effort, self._share)
        was_decided = found.status in (Status.BEST, Status.NONE_EXISTS)
        if found.values and found.best < answer.best:
            return replace(answer, values=found.values, best=found.best), was_decided
        return answer, was_decided
