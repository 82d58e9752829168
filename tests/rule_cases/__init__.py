"""One forbidden plan and its allowed neighbour for every hard rule, for judge and solver alike.

Each forbidden plan breaks exactly one rule, so a rule that is forgotten shows at once.
"""

from rule_cases.case import Case
from rule_cases.limits import LIMIT_CASES
from rule_cases.placing import PLACING_CASES
from rule_cases.runs import RUN_CASES
from rule_cases.volts import VOLTS_CASES

CASES: tuple[Case, ...] = (*PLACING_CASES, *RUN_CASES, *LIMIT_CASES, *VOLTS_CASES)

__all__ = ["CASES", "Case"]
