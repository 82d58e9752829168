"""A rough price of cable on the core model, so that its splits keep near and leave leads enough."""

from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.goals import BOARD_COST_M, LEAD_COST_M
from spreadload.solver.model.variables import Linear, Variables, weighted
from spreadload.units import whole_metres

_FAR_M = 60


def rough_cable(v: Variables, boards: list[Linear]) -> Linear:
    """Return metres of the shortest lead for each unit by itself, and a little for each board."""
    metres = [
        (rough_metres(v.facts, option), v.at[demand, option.point.id])
        for demand, options in v.options.items()
        for option in options
    ]
    return weighted([*metres, *((BOARD_COST_M, board) for board in boards)])


def rough_metres(facts: Facts, option: Candidate) -> int:
    """Return metres of the shortest lead that brings one unit to a point by itself."""
    straight = option.run(None)
    if straight is not None and not straight.leads:
        return 0
    runs = [straight] if straight is not None else [*option.runs, *option.remote]
    lengths = [facts.leads[lead].length_m for run in runs for lead in run.leads]
    return LEAD_COST_M + (whole_metres(min(lengths)) if lengths else _FAR_M)
