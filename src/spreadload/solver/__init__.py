"""Finding plans with CP-SAT. The solver proposes; only the judge says whether a plan holds.

Nothing here prints or reads files. ``search/ranked_plans.py`` is the door: ``find_plans(facts,
judge, ...)``.
"""
