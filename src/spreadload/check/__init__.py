"""The judge: from a job and a plan to every limit passed and every goal's value, from scratch.

It reads the worked-out facts (``derived``) and the rules in DEVELOPERS.md, never the solver, so
that a mistake of one is caught by the other. One rule is one small function; ``HARD_RULES`` and
``GOALS`` list them all.
"""

from spreadload.check.judge import Judge, judge
from spreadload.check.rules import HARD_RULES

__all__ = ["HARD_RULES", "Judge", "judge"]
