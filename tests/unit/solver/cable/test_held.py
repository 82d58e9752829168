"""Narrowing decisions by what held goals leave: nothing that keeps them is lost."""

from itertools import product
from random import Random

import pytest
from ortools.sat.python import cp_model

from spreadload.solver.cable.held import narrow
from spreadload.solver.engine.calls import Effort, Status, solve
from spreadload.solver.engine.limits import Clock

WORK_S = 5.0
TOP = 2
Decisions = list[cp_model.IntVar]


def random_model(
    seed: int,
) -> tuple[cp_model.CpModel, Decisions, Decisions]:
    """Return rows over a few whole numbers, the decisions, and those that a goal counts."""
    random = Random(seed)
    model = cp_model.CpModel()
    xs = [model.new_int_var(0, TOP, f"x{n}") for n in range(6)]
    for _ in range(4):
        some = random.sample(xs, 3)
        model.add(sum(random.randint(1, 4) * x for x in some) >= random.randint(2, 6))
    flag = model.new_bool_var("flag")
    model.add(xs[0] + xs[1] <= 1).only_enforce_if(flag)
    return model, [*xs, flag], random.sample(xs, 4)


def values_of(model: cp_model.CpModel, decisions: Decisions) -> set[tuple[int, ...]]:
    """Return every way to keep the rows of a model, by trying all."""
    found = set()
    ends = [tuple(model.proto.variables[x.index].domain) for x in decisions]
    for values in product(*(range(low, high + 1) for low, high in ends)):
        if all(_keeps(row, values) for row in model.proto.constraints):
            found.add(values)
    return found


def _keeps(row: object, values: tuple[int, ...]) -> bool:
    switches = list(row.enforcement_literal)  # type: ignore[attr-defined]
    if any(not values[x] for x in switches):
        return True
    linear = row.linear  # type: ignore[attr-defined]
    worth = sum(c * values[x] for x, c in zip(linear.vars, linear.coeffs, strict=True))
    return bool(linear.domain[0] <= worth <= linear.domain[1])


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize("above", [0, 1])
def test_no_way_to_keep_what_is_held_is_lost(seed: int, above: int) -> None:
    """Trying everything finds the same ways before and after, at the least sum and above it."""
    model, decisions, counted = random_model(seed)
    goal = sum((n % 3 + 1) * x for n, x in enumerate(counted))
    every = values_of(model, decisions)
    worth = {way: sum((n % 3 + 1) * way[x.index] for n, x in enumerate(counted)) for way in every}
    most = min(worth.values()) + above
    model.add(goal <= most)
    narrow(model, [(goal, most)])
    assert values_of(model, decisions) == {way for way in every if worth[way] <= most}


def chain() -> tuple[cp_model.CpModel, cp_model.LinearExprT, Decisions]:
    """Return what was gained and lost at each point, where growth by two is the least gained."""
    model = cp_model.CpModel()
    gains = [model.new_int_var(0, 5, f"gain {n}") for n in range(4)]
    losses = [model.new_int_var(0, 5, f"loss {n}") for n in range(4)]
    model.add(sum(gains) - sum(losses) == TOP)
    return model, sum(gains), losses


def test_what_no_single_row_shows_is_settled() -> None:
    """Where the growth is all that is gained nothing is lost, which takes two rows to see."""
    model, goal, losses = chain()
    model.add(goal <= TOP)
    assert narrow(model, [(goal, TOP)]) >= len(losses)
    assert all(tuple(model.proto.variables[x.index].domain) == (0, 0) for x in losses)


def test_a_goal_above_its_least_leaves_as_much_room() -> None:
    """One more gained leaves one to be lost, and no more."""
    model, goal, losses = chain()
    model.add(goal <= TOP + 1)
    narrow(model, [(goal, TOP + 1)])
    assert all(tuple(model.proto.variables[x.index].domain) == (0, 1) for x in losses)


@pytest.mark.parametrize("seed", range(10))
def test_the_least_of_another_sum_stays(seed: int) -> None:
    """What is minimised afterwards is as small as without narrowing."""
    least = []
    for is_narrowed in (False, True):
        model, decisions, counted = random_model(seed)
        goal = sum(counted)
        model.minimize(goal)
        effort = Effort(WORK_S, WORK_S, workers=1, seed=1)
        most = solve(model, effort, Clock(WORK_S)).best
        model.add(goal <= most)
        if is_narrowed:
            narrow(model, [(goal, most)])
        model.minimize(sum((n + 1) * x for n, x in enumerate(decisions)))
        found = solve(model, effort, Clock(WORK_S))
        assert found.status is Status.BEST
        least.append(found.best)
    assert least[0] == least[1]
