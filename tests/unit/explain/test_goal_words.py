"""What a further plan costs against the first."""

from spreadload.explain.goal_words import price_of_another
from spreadload.plan import Chance, GoalValue, Plan, Solved, Verdict
from spreadload.units import METRIC


def verdict(cable_m: int) -> Verdict:
    """Return a verdict that differs in cable alone."""
    return Verdict(
        violations=(), usages=(), goals=(GoalValue(goal="cable", value=cable_m, text=""),)
    )


def chance(pct: float) -> Chance:
    """Return a chance of a trip."""
    return Chance(certificate=False, fails_pct=pct, low_pct=pct, high_pct=pct)


def solved(*chances: Chance) -> Solved:
    """Return two plans, the second with less cable."""
    plans = ((Plan(), verdict(20)), (Plan(), verdict(10)))
    return Solved(plans=plans, proven=False, chances=chances)


def test_a_plan_that_fails_more_often_is_never_called_as_good() -> None:
    """The chance comes before every rule, and less cable is only what one has in return."""
    said = price_of_another(solved(chance(2.1), chance(3.0)), 1, METRIC)
    assert said == (
        "fails in 3.0 of 100 possible wirings instead of 2.1; "
        "in return lead to run 10 m instead of 20 m"
    )


def test_known_wiring_has_no_chance_to_tell() -> None:
    """Without chances, and where they are the same, only the rules count."""
    plain = "lead to run 10 m instead of 20 m"
    assert price_of_another(solved(), 1, METRIC) == plain
    assert price_of_another(solved(chance(2.1), chance(2.1)), 1, METRIC) == plain
