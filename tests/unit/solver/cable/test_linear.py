"""A tree of linear rows asked for less of a sum, first little above the relaxation, then more."""

from random import Random
from typing import Any

import pytest
from ortools.sat.python import cp_model

from spreadload.solver.cable import linear
from spreadload.solver.cable.linear import bounded
from spreadload.solver.engine.calls import Answer, Effort, Status, solve
from spreadload.solver.engine.limits import Clock

WORK_S = 20.0
EFFORT = Effort(WORK_S, WORK_S, workers=1, seed=1)


def random_cover(seed: int) -> cp_model.CpModel:
    """Return a covering of rows by whole numbers that costs more than its relaxation."""
    random = Random(seed)
    model = cp_model.CpModel()
    xs = [model.new_int_var(0, 3, f"x{n}") for n in range(12)]
    flag = model.new_bool_var("flag")
    for _ in range(9):
        some = random.sample(xs, 4)
        model.add(sum(random.randint(2, 5) * x for x in some) >= random.randint(3, 11))
    model.add(xs[0] + xs[1] >= 2).only_enforce_if(flag)
    model.add_at_most_one(flag, ~flag)
    model.minimize(sum(random.randint(3, 9) * x for x in xs) - 2 * flag + 4)
    return model


def worst(model: cp_model.CpModel) -> Answer:
    """Return a legal plan that costs much, with nothing proved of it."""
    full = [max(x.domain) for x in model.proto.variables]
    aim = model.proto.objective
    cost = sum(c * full[x] for x, c in zip(aim.vars, aim.coeffs, strict=True))
    return Answer(Status.GOOD, tuple(full), int(cost + aim.offset))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("first_above", [0.001, 0.04, 1.0])
def test_the_least_is_found_and_proved_wherever_the_questions_begin(
    seed: int, first_above: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """CP-SAT over everything names the same least; no question that is too low is believed."""
    monkeypatch.setattr(linear, "_FIRST_ABOVE", first_above)
    model = random_cover(seed)
    least = solve(model, EFFORT, Clock(WORK_S))
    assert least.status is Status.BEST
    found = bounded(model, worst(model), WORK_S, Clock(WORK_S)).answer
    assert (found.best, found.bound) == (least.best, least.best)


@pytest.mark.parametrize("seed", range(12))
def test_a_tree_cut_short_never_proves_too_much(seed: int) -> None:
    """With work for one node only, the bound is at most the least there is."""
    model = random_cover(seed)
    least = solve(model, EFFORT, Clock(WORK_S)).best
    found = bounded(model, worst(model), 0.0, Clock(WORK_S)).answer
    assert found.bound <= least <= found.best


def test_questions_rise_until_one_has_an_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each asks for more than the one before, the last for enough, none for the plan in hand."""
    asked: list[int] = []
    tree = linear._tree

    def told(*given: Any) -> Any:  # noqa: ANN401 - whatever a tree is asked
        asked.append(given[3])
        return tree(*given)

    monkeypatch.setattr(linear, "_FIRST_ABOVE", 0.001)
    monkeypatch.setattr(linear, "_tree", told)
    model = random_cover(3)
    start = worst(model)
    least = solve(model, EFFORT, Clock(WORK_S)).best
    bounded(model, start, WORK_S, Clock(WORK_S))
    assert len(asked) > 1
    assert asked == sorted(set(asked))
    assert all(most < least for most in asked[:-1])
    assert least <= asked[-1] < start.best
