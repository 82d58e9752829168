"""A part of a model cut out is the whole model with the rest held.

Source: CP-SAT itself on the whole model, with every decision that is not free fixed by hand.
"""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from spreadload.solver.engine.excerpt import Source

MOST = 3


@st.composite
def models(draw: st.DrawFn) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    """Draw a small model of every kind of row that the solver's rules write."""
    model = cp_model.CpModel()
    numbers = [model.new_int_var(0, MOST, "") for _ in range(draw(st.integers(1, 4)))]
    flags = [model.new_bool_var("") for _ in range(draw(st.integers(1, 4)))]
    every = [*numbers, *flags]
    coeffs = st.integers(-3, 3)
    for _ in range(draw(st.integers(1, 5))):
        terms = sum(draw(coeffs) * x for x in draw(st.lists(st.sampled_from(every), min_size=1)))
        low = draw(st.integers(-6, 6))
        row = model.add_linear_constraint(terms + 0 * every[0], low, low + draw(st.integers(0, 8)))
        if draw(st.booleans()):
            switch = draw(st.sampled_from(flags))
            row.only_enforce_if(switch if draw(st.booleans()) else ~switch)
    if draw(st.booleans()):
        some = draw(st.lists(st.sampled_from(flags), min_size=1, unique_by=id))
        literals = [x if draw(st.booleans()) else ~x for x in some]
        draw(st.sampled_from([model.add_at_most_one, model.add_bool_or]))(literals)
    model.minimize(sum(draw(coeffs) * x for x in every) + draw(coeffs))
    return model, every


def solved(model: cp_model.CpModel) -> tuple[int, list[int]] | None:
    """Return the least sum with values, or None when there is none."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return round(solver.objective_value), list(solver.response_proto.solution)


def hold(model: cp_model.CpModel, index: int, value: int) -> None:
    """Fix one decision."""
    model.add(model.get_int_var_from_proto_index(index) == value)


@given(models(), st.data())
def test_a_part_has_the_optimum_of_the_whole_with_the_rest_held(
    drawn: tuple[cp_model.CpModel, list[cp_model.IntVar]], data: st.DataObject
) -> None:
    """From any plan, whatever is free: same least sum, and the plan put together holds."""
    model, every = drawn
    other = model.clone()
    other.minimize(sum(data.draw(st.integers(-3, 3)) * x for x in every))
    start = solved(other)
    if start is None:
        return
    values = start[1]
    free = np.array([data.draw(st.booleans()) for _ in every])

    source = Source(model)
    part = source.excerpt(values, free)
    found = solved(part.model)

    held = model.clone()
    for index, value in enumerate(values):
        if not free[index]:
            hold(held, index, value)
    expected = solved(held)
    assert expected is not None
    assert found is not None
    assert found[0] == expected[0]
    together = part.whole(values, found[1])
    assert source.worth(together) == found[0]
    for index, value in enumerate(together.tolist()):
        hold(held, index, value)
    assert solved(held) is not None
    assert solved(source.excerpt(values, free, below=expected[0]).model) is None
