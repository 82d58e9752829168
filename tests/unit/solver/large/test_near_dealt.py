"""Units dealt out over circuits by prices, mended in whole units, and put at outlets."""

from collections import Counter

import numpy as np
import pytest

from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import Effort
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.dealing import Dealing
from spreadload.solver.large.dive import Dive, missing
from spreadload.solver.large.held import Held
from spreadload.solver.large.mending import Mending
from spreadload.solver.large.placing import Placing
from spreadload.solver.large.proof import Range
from spreadload.solver.large.shares import sharing
from spreadload.solver.large.terms import Terms
from spreadload.solver.model.candidates import all_candidates
from unit.solver.large.test_wide import site

FULL = {"SU0": 90, "SU1": 90}


@pytest.mark.parametrize("seed", range(3))
def test_what_is_dealt_and_mended_holds_and_finds_outlets(seed: int) -> None:
    """Every unit has a circuit with room for it, and an outlet of that circuit."""
    facts = site(seed)
    options = all_candidates(facts)
    clock = Clock(30.0)
    terms = Terms(facts, options, sharing(facts, options), Held(FULL, 100, one_big=False))
    dealing = Dealing(terms, clock)
    dealing.settle()
    barred = {where: np.zeros(len(terms.counts), dtype=bool) for where in terms.bins}

    dealt = Dive(dealing, barred, clock).run()
    dealt = Mending(terms, barred, dealt).run(Effort(30.0, 1.0, 1, 7), clock)

    assert not missing(terms, dealt)
    for where in terms.bins:
        load_ma = sum(
            units * facts.counted_ma(demand.setup, demand.load, 1)
            for (demand, there), units in dealt.items()
            if there == where
        )
        assert load_ma <= terms.room_ma(where, 90)
    placed_at = Placing(facts, options, FULL).place(dealt, {}, {})
    assert placed_at is not None
    asked = {demand: demand.count for each in facts.demands.values() for demand in each}
    placed: Counter[object] = Counter()
    for (demand, _), units in placed_at.split.items():
        placed[demand] += units
    assert dict(placed) == asked


def test_per_cents_are_shared_out_as_far_as_the_goals_before_leave_them() -> None:
    """Of 66 and 34 reached, 65 and 33 proved: one set-up may have what the other does not need."""
    reached = {Goal.TIGHTEST: 66, Goal.EACH_SETUP: 100}

    within = Range.of({"A": 65, "B": 33}, reached)

    assert (within.least, within.most) == ({"A": 65, "B": 33}, {"A": 66, "B": 35})
    assert within.together == 100
    assert Range.of({"A": 65}, {}).most == {"A": 100}


def test_a_programme_whose_solver_gives_up_is_begun_afresh(monkeypatch: pytest.MonkeyPatch) -> None:
    """One error of the linear solver costs a new start, not the prices; two end in no prices."""
    facts = site()
    options = all_candidates(facts)
    held = Held(FULL, 100, one_big=False)
    dealing = Dealing(Terms(facts, options, sharing(facts, options), held), Clock(30.0))
    programme = dealing.programme
    whole, cost_m = programme.solve()
    assert whole is not None

    def gives_up() -> None:
        raise RuntimeError("no basis")

    monkeypatch.setattr(programme._solver, "solve", gives_up)
    again, again_m = programme.solve()
    assert again is not None
    assert again_m == pytest.approx(cost_m)

    class Never:
        def __init__(self, *_: object) -> None:
            self.solve = gives_up

    monkeypatch.setattr(programme._solver, "solve", gives_up)
    monkeypatch.setattr("spreadload.solver.large.programme.mathopt.IncrementalSolver", Never)
    assert programme.solve() == (None, 0.0)
