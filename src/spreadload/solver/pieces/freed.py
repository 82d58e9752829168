"""Which decisions follow when the units at some points may change."""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.solver.engine.excerpt import Flags, Source
from spreadload.solver.model.variables import Variables

Where = tuple[Demand, str]

# A row this short ties a figure to another one, such as steps of amps to the amps of two phases.
_SHORT = 16


class Freed:
    """Tells what is free beside the units of some demands at some points.

    A run belongs to its unit and point, a power board to its point and place; what belongs to
    nobody, such as how full the fullest device is, is free where a free decision counts for it.
    """

    def __init__(self, v: Variables, source: Source) -> None:
        """Look up what belongs to whom."""
        self._source = source
        self._at = {where: x.index for where, x in v.at.items()}
        self._runs: dict[Where, list[int]] = defaultdict(list)
        for demand, options in v.options.items():
            for option in options:
                spread = v.spread[demand, option.point.exposure]
                self._runs[demand, option.point.id].append(spread.index)
        for where, x in v.straight.items():
            self._runs[where].append(x.index)
        for (demand, point_id, _), x in (*v.boarded.items(), *v.remote.items()):
            self._runs[demand, point_id].append(x.index)
        self._lying: dict[tuple[str, str], list[int]] = defaultdict(list)
        for (setup_id, point_id), x in v.seated.items():
            self._lying[setup_id, point_id].append(x.index)
        for (setup_id, point_id, _, _), x in v.board_of.items():
            self._lying[setup_id, point_id].append(x.index)
        self._standing: dict[tuple[str, str, str | None], list[int]] = defaultdict(list)
        for key, x in v.remote_of.items():
            self._standing[key.setup, key.point, key.place].append(x.index)
        self._is_owned = np.zeros(len(source.low), dtype=bool)
        for owned in (self._at.values(), *self._runs.values()):
            self._is_owned[list(owned)] = True
        for owned in (*self._lying.values(), *self._standing.values()):
            self._is_owned[owned] = True

    def with_units(self, where: Iterable[Where]) -> Flags:
        """Return whether each decision is free when the units of some demands may move."""
        free = np.zeros(len(self._source.low), dtype=bool)
        for demand, point_id in where:
            free[self._at[demand, point_id]] = True
            free[self._runs[demand, point_id]] = True
            free[self._lying[demand.setup, point_id]] = True
            free[self._standing[demand.setup, point_id, demand.place]] = True
        rows = self._source.rows_with(free)
        self._free_figures(free, rows)
        rows = self._source.rows_with(free)
        short = rows[self._source.length(rows) <= _SHORT]
        self._free_figures(free, short)
        return free

    def _free_figures(self, free: Flags, rows: np.ndarray) -> None:
        """Free what belongs to nobody in some rows."""
        there = self._source.decisions_in(rows)
        free[there[~self._is_owned[there]]] = True
