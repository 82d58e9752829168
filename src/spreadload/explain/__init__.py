"""Why a plan is as it is, in plain words with numbers.

Works on any judged plan, whoever made it, by changing one thing and having the judge look again.
Never imports the solver.
"""

from spreadload.explain.assumed import Assumption, assumptions
from spreadload.explain.briefing import Briefing, brief
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.off import Idle, must_be_off, must_stay_on
from spreadload.explain.reasons import Elsewhere, Reason, reasons

__all__ = [
    "Assumption",
    "Briefing",
    "Elsewhere",
    "Idle",
    "JudgedPlan",
    "Reason",
    "assumptions",
    "brief",
    "must_be_off",
    "must_stay_on",
    "reasons",
]
