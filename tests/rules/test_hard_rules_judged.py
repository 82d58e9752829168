"""Every hard rule: feasible when nothing is asked, refused when broken, its neighbour accepted."""

from collections.abc import Iterator

import pytest

from builders import plan_of
from rule_cases import CASES, Case
from spreadload.check import HARD_RULES, judge
from spreadload.check.rules import READING_RULES
from spreadload.check.state import SetupState
from spreadload.plan import Violation

each = pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.name}")


def no_rule(_state: SetupState) -> Iterator[Violation]:
    """Find nothing, in place of a rule that is taken away."""
    return iter(())


@each
def test_a_day_that_asks_for_nothing_holds(case: Case) -> None:
    """The empty plan of an empty day passes every rule in every house."""
    assert judge(case.nothing_asked, plan_of()).violations == ()


@each
def test_the_forbidden_plan_is_refused_with_its_figures(case: Case) -> None:
    """Exactly one violation, with the rule, the place, the value, the limit and the unit."""
    (found,) = judge(case.job, case.forbidden).violations
    assert (found.rule, found.where, found.unit) == (case.rule, case.where, case.unit)
    assert found.limit == pytest.approx(case.limit)
    assert case.value is None or found.value == pytest.approx(case.value)
    assert found.value > found.limit or case.rule in {"missing", "volts"}
    assert found.setup == "SU1"
    assert "SU1" in found.text
    assert found.source


@each
def test_the_allowed_neighbour_is_accepted(case: Case) -> None:
    """The nearest plan that keeps the rule passes every rule."""
    assert judge(case.job, case.allowed).violations == ()


@pytest.mark.parametrize(
    "case", [c for c in CASES if c.rule in HARD_RULES], ids=lambda c: f"{c.rule}: {c.name}"
)
def test_without_the_rule_the_forbidden_plan_passes(
    case: Case, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing else catches what the rule is there to catch."""
    monkeypatch.setitem(HARD_RULES, case.rule, no_rule)
    assert judge(case.job, case.forbidden).holds


def test_every_rule_has_a_case() -> None:
    """A rule without a forbidden plan does not exist."""
    assert {case.rule for case in CASES} == {*HARD_RULES, *READING_RULES}
