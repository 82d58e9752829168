"""What knowing more is worth: the risk of the best plan after it, averaged over its outcomes.

For every outcome a plan is chosen on the maps that plans were fitted to, and what it fails in is
measured on others.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from spreadload.solver.tracing.pool import Pool
from spreadload.wiring.maps import Maps
from spreadload.wiring.ties import evened
from spreadload.wiring.trials import Trial, one_hot, outcomes

_RATHER_THE_BEST = 1e-9

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Weighing:
    """Outcomes held against the plans of a pool."""

    pool: Pool

    @cached_property
    def maps(self) -> Maps:
        """The maps plans are chosen on, then those they are measured on, as one list."""
        chosen, fresh = self.pool.table.maps, self.pool.fresh.maps
        return Maps(
            chosen.outlets,
            chosen.circuits,
            np.concatenate([chosen.on, fresh.on]),
            np.concatenate([chosen.weights, fresh.weights]),
            is_exact=False,
            effective=fresh.effective,
            seed=fresh.seed,
        )

    @property
    def now(self) -> float:
        """Chance that the best plan trips as things stand."""
        return self.after_seeing(one_hot(np.zeros(len(self.maps), dtype=np.intp)))

    @property
    def known(self) -> float:
        """Chance that every plan of the pool trips: what is left once all is known."""
        return self.pool.fresh.maps.share(np.asarray(self.pool.fresh_fails.all(axis=0)))

    def after(self, *trials: Trial) -> float:
        """Return the chance that the best plan after one test, or several, still trips."""
        likely = outcomes(trials[0], self.maps)
        for trial in trials[1:]:
            more = outcomes(trial, self.maps)
            likely = (likely[:, None, :] * more[None, :, :]).reshape(-1, len(self.maps))
        return self.after_seeing(likely)

    def after_seeing(self, likely: Floats) -> float:
        """Return the chance that the best plan trips, averaged over outcomes.

        Args:
            likely: How likely each outcome is on each of ``maps``: a row per outcome.
        """
        split = len(self.pool.table.maps)
        joint = likely * self.maps.weights
        plans = chosen(self.pool.fails, joint[:, :split], self.pool.table.maps.weights)
        return evened(float((joint[:, split:] * self.pool.fresh_fails[plans]).sum()))

    def plans_after(self, trial: Trial) -> set[int]:
        """Return the plans that would be chosen after a test."""
        split = len(self.pool.table.maps)
        joint = (outcomes(trial, self.maps) * self.maps.weights)[:, :split]
        return set(chosen(self.pool.fails, joint, self.pool.table.maps.weights).tolist())

    def on_fitted(self, trial: Trial) -> float:
        """Return the chance on the maps plans were fitted to: quick, too low, good for ranking."""
        table = self.pool.table
        joint = outcomes(trial, table.maps) * table.maps.weights
        left = evened(joint @ self.pool.fails.T.astype(np.float64))
        return evened(float(left.min(axis=1).sum()))


def chosen(fails: Bools, joint: Floats, weights: Floats) -> NDArray[np.intp]:
    """Return the best plan for each outcome; of equals the best without knowing the outcome.

    Args:
        fails: Per plan and map, whether the plan trips there.
        joint: Per outcome and map, how likely both are.
        weights: Per map.
    """
    table = fails.T.astype(np.float64)
    left = evened(joint @ table) + _RATHER_THE_BEST * evened(weights @ table)
    plans: NDArray[np.intp] = left.argmin(axis=1)
    return plans
