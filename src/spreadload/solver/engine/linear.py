"""What a linear programme that is solved again and again ends with."""

from ortools.math_opt.python import mathopt

# OR-Tools 9.15 looks for this in the error its solvers hand to Python, where it is not: whatever
# they refuse comes through as this name missing.
_UNREADABLE = "canonical_code"


def ended(solver: mathopt.IncrementalSolver) -> mathopt.SolveResult | None:
    """Return what a programme ends with, or None where its solver gives up."""
    try:
        return solver.solve()
    except (RuntimeError, ValueError):
        return None
    except AttributeError as fault:
        if fault.name != _UNREADABLE:
            raise
        return None
