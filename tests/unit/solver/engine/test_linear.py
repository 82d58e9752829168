"""Linear programmes that their solver refuses."""

import pytest
from ortools.math_opt.python import mathopt

from spreadload.solver.engine.linear import ended


def test_a_programme_that_its_solver_refuses_ends_with_nothing() -> None:
    """A number that is none is refused by the library itself, in whatever error that comes out."""
    model = mathopt.Model()
    part = model.add_variable(lb=0.0)
    row = model.add_linear_constraint(lb=1.0)
    row.set_coefficient(part, 1.0)
    model.objective.set_linear_coefficient(part, 1.0)
    solver = mathopt.IncrementalSolver(model, mathopt.SolverType.GLOP)
    found = ended(solver)
    assert found is not None
    assert found.objective_value() == pytest.approx(1.0)

    row.set_coefficient(part, float("nan"))

    assert ended(solver) is None


def test_a_mistake_of_ours_is_no_refusal() -> None:
    """Only the library's own unreadable error stands for one."""
    with pytest.raises(AttributeError, match="solve"):
        ended(object())
