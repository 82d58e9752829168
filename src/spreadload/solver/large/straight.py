"""The model of a site too large to be handed whole to CP-SAT: every unit straight, no power boards.

Where a plan made without a search has placed every unit, straight runs are enough to level circuits
with; power boards, which make most of the rows, come afterwards and only near by.
"""

from dataclasses import replace

from spreadload.derived.facts import Facts
from spreadload.solver.engine.limits import PER_ROW_S
from spreadload.solver.model.candidates import Options
from spreadload.solver.model.rules import CORE_RULES
from spreadload.solver.model.run_rules import share_sockets, stock_leads
from spreadload.solver.model.variables import Variables

# The usual search reads its model about so often; a site is wide where that takes all the time.
_READINGS = 40
# Decisions and rules for each way of a demand to a point, with boards (fitted to nine sites).
_ROWS_PER_OPTION = 7.7
# What building the model takes for each such way [s].
BUILD_S_PER_OPTION = 0.3e-3


def is_wide(options: Options, limit_s: float) -> bool:
    """Whether a site is too large for a search that reads its whole model for every call.

    Args:
        options: Everything each plugged-in demand may use.
        limit_s: What the search may take [s].
    """
    count = sum(len(each) for each in options.values())
    return _READINGS * count * _ROWS_PER_OPTION * PER_ROW_S > limit_s


def build_s(options: Options) -> float:
    """Return about what building the whole model takes, before anything is asked of it [s]."""
    return sum(len(each) for each in options.values()) * BUILD_S_PER_OPTION


def straight_model(facts: Facts, options: Options) -> Variables:
    """Return the decisions and rules of a day on which nothing is on a power board."""
    straight = {
        demand: tuple(
            replace(option, runs=(run,), remote=())
            for option in each
            if (run := option.run(None)) is not None
        )
        for demand, each in options.items()
    }
    v = Variables.of(replace(facts, boards=()), options=straight)
    for rule in CORE_RULES:
        rule(v)
    v.straight = dict(v.at)
    share_sockets(v)
    stock_leads(v)
    return v
