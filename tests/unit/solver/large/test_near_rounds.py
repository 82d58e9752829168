"""Rounds over neighbouring circuits: never worse, nothing lost, and the same again."""

import numpy as np
import pytest

from spreadload.check import Judge
from spreadload.job.preferences import Goal
from spreadload.plan import Search
from spreadload.solver.engine.calls import Effort
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.known import straight
from spreadload.solver.large.near_rounds import NearRounds
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Linear, Variables, evaluate, is_constant, total
from unit.solver.large.test_wide import proposal, site, wide

EFFORT = Effort(60.0, 1.0, 1, 7)


def laid(seed: int) -> tuple[Variables, dict[Goal, Linear], Ints]:
    """Return a first plan with every unit straight, its goals held, and cable to be shortened."""
    facts = site(seed)
    v = Variables.of(facts, None, frozenset())
    for rule in RULES:
        rule(v)
    sums = {goal: GOALS[goal](v) for goal in facts.job.rules.goals}
    search = wide(facts, Clock(3.0))
    values = search._filled(v, straight(v, proposal(facts).start), total(sums.values()))
    assert values is not None
    for goal, aim in sums.items():
        if goal is not Goal.CABLE and not is_constant(aim):
            v.model.add(aim <= evaluate(aim, values.tolist()))
    v.model.minimize(sums[Goal.CABLE])
    return v, sums, values


@pytest.mark.parametrize("seed", range(4))
def test_they_shorten_cable_and_worsen_nothing(seed: int) -> None:
    """The judge passes what they come to, with less cable and every other goal held."""
    v, sums, values = laid(seed)

    after = NearRounds(v, EFFORT, Clock(20.0)).run(values, 2)

    for goal, aim in sums.items():
        assert evaluate(aim, after.tolist()) <= evaluate(aim, values.tolist()), goal
    assert evaluate(sums[Goal.CABLE], after.tolist()) < evaluate(sums[Goal.CABLE], values.tolist())
    facts = v.facts
    verdict = Judge(facts).judge(read_plan(v, lambda x: int(after[x.index]), Search()))
    assert verdict.holds


def test_they_stop_where_nothing_is_left_to_gain_and_without_work() -> None:
    """A second run gains nothing more from single circuits, and no work leaves all as it is."""
    v, _, values = laid(1)
    once = NearRounds(v, EFFORT, Clock(20.0)).run(values, 1)
    late = Clock(20.0)
    late.spend_s(20.0)

    assert np.array_equal(NearRounds(v, EFFORT, late).run(values, 1), values)
    again = NearRounds(v, EFFORT, Clock(20.0))
    assert again._source.worth(again.run(once, 1)) == again._source.worth(once)


def test_the_same_plan_in_hand_gives_the_same_plan() -> None:
    """The order of rounds hangs on the seed alone."""
    v, _, values = laid(3)
    first, second = (NearRounds(v, EFFORT, Clock(20.0)).run(values, 2) for _ in range(2))

    assert np.array_equal(first, second)
