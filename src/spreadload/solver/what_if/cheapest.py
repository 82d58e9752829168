"""The cheapest package of changes, from a narrow menu first and then from everything.

The narrow menu holds what costs no new model entities: leaving dark, switching off, taking turns,
batteries. It is quick even for large halls, and its price bounds the search over the full menu so
tightly that most of that falls away.
"""

from dataclasses import dataclass

from spreadload.solver.engine.calls import hint_all
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.feasible import solve
from spreadload.solver.model.variables import evaluate
from spreadload.solver.what_if.priced import Priced

_NARROW_SHARE, _NARROW_S = 0.3, 10.0
_FULL_SHARE = 0.3
_ROOMY_SHARE, _ROOMY_S = 0.1, 2.0
# A per cent is worth more than all the metres that could be hired: of equals the shortest leads.
_SHORTEST = 100_000


@dataclass(frozen=True)
class Cheapest:
    """The decisions of a package.

    Attributes:
        priced: The model the decisions belong to.
        values: Value of every decision; none when it is proved that there is no package.
        is_proven: Whether no package costs less.
    """

    priced: Priced
    values: list[int]
    is_proven: bool


def cheapest_package(
    narrow: Priced | None, full: Priced, clock: Clock, seed: int
) -> Cheapest | None:
    """Return the cheapest package, the roomiest of those of one price with the shortest leads.

    None when it is not decided.

    Args:
        narrow: A model whose every package the full model has as well, at the same price, if any.
        full: The model that decides.
        clock: Time left for everything.
        seed: Seed of the solver's random choices.
    """
    share_s = min(clock.left_s * _NARROW_SHARE, _NARROW_S)
    first = None if narrow is None else _minimum(narrow, None, share_s, seed)
    bound = evaluate(narrow.price, first[0]) if narrow and first and first[0] else None
    best = _minimum(full, bound, clock.left_s * _FULL_SHARE, seed)
    if best is not None and best[0]:
        values, is_proven = best
        return Cheapest(full, _roomiest(full, values, clock, seed), is_proven)
    if bound is not None and first is not None and narrow is not None:
        values = _roomiest(narrow, first[0], clock, seed)
        return Cheapest(narrow, values, is_proven=best is not None)
    return None if best is None else Cheapest(full, [], is_proven=True)


def _minimum(
    priced: Priced, below: int | None, limit_s: float, seed: int
) -> tuple[list[int], bool] | None:
    """Return the cheapest decisions and whether that is proved; no decisions when none exist."""
    model = priced.v.model.clone()
    if below is not None:
        model.add(priced.price <= below - 1)
    model.minimize(priced.price)
    solver, status = solve(model, limit_s, seed)
    if status == cp_model.INFEASIBLE:
        return [], True
    values = _values(solver, status)
    return None if values is None else (values, status == cp_model.OPTIMAL)


def _roomiest(priced: Priced, best: list[int], clock: Clock, seed: int) -> list[int]:
    model = priced.v.model.clone()
    model.add(priced.price <= evaluate(priced.price, best))
    model.minimize(_SHORTEST * priced.fullest_pct + priced.hired_m)
    hint_all(model, best)
    solver, status = solve(model, min(clock.left_s * _ROOMY_SHARE, _ROOMY_S), seed)
    return _values(solver, status) or best


def _values(solver: cp_model.CpSolver, status: int) -> list[int] | None:
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return list(solver.response_proto.solution)
