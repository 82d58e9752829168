"""What the load flow refuses, the solver avoids, or says in volts why it cannot."""

from pathlib import Path

import pytest

from builders import amps, circuit, job_of, outlet, setup
from rule_cases.volts import FAR, NEAR, READ, near_and_far
from spreadload.app.planning import load_job
from spreadload.check import Judge
from spreadload.check.rules import HARD_RULES
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search import ranked_plans
from spreadload.solver.volts.cuts import is_about_volts

JOBS = Path(__file__).parents[3] / "jobs"
QUICK = SolverConfig(time_limit_s=10.0, alternatives=1)


def look(data: dict[str, object]) -> object:
    """Return what comes of looking for plans."""
    facts = Facts.of(job_of(data))
    return ranked_plans.find_plans(facts, Judge(facts), QUICK)


@pytest.mark.parametrize(("breaker_a", "min_v"), [(16.0, 228.0), (10.0, 100.0)])
def test_the_only_split_that_keeps_the_volts_is_found(breaker_a: float, min_v: float) -> None:
    """Only the outlet near the board will do, and every plan told keeps the volts."""
    found = look(near_and_far(breaker_a, min_v=min_v))
    assert isinstance(found, Solved)
    for plan, verdict in found.plans:
        assert [p.point for p in plan.placements] == ["O1"]
        assert verdict.holds
        assert verdict.volts


def test_no_split_that_keeps_the_volts_is_told_in_volts() -> None:
    """Every breaker says yes: the answer is no, with amps, board volts and the volts needed."""
    found = look(near_and_far(16.0, min_v=236.0))
    assert isinstance(found, Impossible)
    assert "the volts say no" in found.reason
    assert "236.0 V" in found.reason
    assert found.nearest is not None
    assert is_about_volts(found.nearest[1])
    assert found.reduced is not None
    assert found.reduced[1].holds
    assert len(found.reduced[0].left_out) == 1


def test_with_heads_left_out_the_rest_keeps_its_volts() -> None:
    """Two regulated lamps are one too many for the supply, whichever way they are split."""
    data = near_and_far(16.0)
    data["heads"] = {
        "big": amps(10.0, kind="led", power_factor=1.0, min_v=226.0, priority=1, plug="au-15"),
        "small": amps(8.0, kind="led", power_factor=1.0, min_v=200.0, priority=5),
    }
    data["setups"] = [setup(big="lounge", small="lounge")]
    found = look(data)
    assert isinstance(found, Impossible)
    assert found.reduced is not None
    plan, verdict = found.reduced
    assert [entry.load for entry in plan.left_out] == ["small"]
    assert verdict.holds


def test_thicker_leads_are_taken_before_a_plan_is_given_up() -> None:
    """The thin lead loses too much, the thick one on the van does not."""
    data = near_and_far(16.0, min_v=224.0)
    data["supply"] = READ | {"min_v": None}
    data["heads"] = {"lamp": amps(8.0, kind="led", power_factor=1.0, min_v=229.0, cord_m=1.0)}
    data["outlets"] = {"O1": outlet("P1", "lounge", at=[0, 0])}
    data["circuits"] = {"P1": circuit(16.0, **NEAR), "P2": circuit(16.0, **FAR)}
    data["places"] = {"far end": {"room": "lounge", "at": [9, 0]}}
    data["leads"] = [
        {"length_m": 15.0, "size_mm2": 1.0, "count": 1},
        {"length_m": 20.0, "size_mm2": 4.0, "count": 1},
    ]
    data["setups"] = [setup(lamp="far end")]
    found = look(data)
    assert isinstance(found, Solved)
    (placement,) = found.plans[0][0].placements
    assert placement.lead == 1


def test_without_loaded_readings_nothing_is_cut() -> None:
    """An assumed supply never refuses a plan."""
    data = near_and_far(16.0, min_v=236.0)
    data["supply"] = {"limit_a": 63.0, "planning_v": 230.0}
    assert isinstance(look(data), Solved)


def test_a_head_that_works_at_no_volts_of_this_house_is_told_at_once() -> None:
    """With nothing on the house has 242 V; a head that needs 245 V works nowhere."""
    found = look(near_and_far(16.0, min_v=245.0))
    assert isinstance(found, Impossible)
    assert "245.0 V" in found.reason


def nearly_full_plug() -> dict[str, object]:
    """Return a 9.8 A lamp on a 10 A plug that stands beside the far outlet."""
    data = near_and_far(16.0)
    data["heads"] = {
        "lamp": amps(9.8, kind="led", power_factor=1.0, min_v=100.0, plug="au-10", cord_m=1.0)
    }
    data["outlets"] = {
        "O1": outlet("P1", "lounge", at=[0, 0]),
        "O2": outlet("P2", "lounge", at=[9, 0]),
    }
    data["places"] = {"window": {"room": "lounge", "at": [9, 0]}}
    data["leads"] = [{"length_m": 20.0, "size_mm2": 2.5, "count": 1}]
    data["setups"] = [setup(lamp="window")]
    return data


@pytest.mark.parametrize(("is_held", "point"), [(True, "O1"), (False, "O2")])
def test_a_plug_that_sagging_amps_overload_goes_where_the_volts_are_better(
    monkeypatch: pytest.MonkeyPatch, *, is_held: bool, point: str
) -> None:
    """At the far outlet the lamp draws more than its plug carries; only the rule forbids it."""
    if not is_held:
        monkeypatch.delitem(HARD_RULES, "gear under sag")
    found = look(nearly_full_plug())
    assert isinstance(found, Solved)
    assert [p.point for p in found.plans[0][0].placements] == [point]


def test_gear_no_split_can_spare_is_told_with_its_amps() -> None:
    """With the far outlet alone there is no plan, and the answer names the gear and its amps."""
    data = nearly_full_plug()
    data["outlets"] = {"O2": outlet("P2", "lounge", at=[9, 0])}
    found = look(data)
    assert isinstance(found, Impossible)
    assert "O2 socket 1 carries 10.4 A" in found.reason
    assert "it is rated 10.0 A" in found.reason


def test_a_head_far_from_its_limit_is_no_reason_to_fail() -> None:
    """A panel on one leg that hardly loses a volt, beside tungsten on the other that loses many.

    What the panel could still lose would put the tungsten below nothing; the answer comes all the
    same: the big head is too much for any socket and any way of this house.
    """
    _, outcome = look_for_plans(load_job(JOBS / "us_two_storey.yaml"), QUICK)
    assert isinstance(outcome, Impossible)
    too_much = "set-up 1 cannot have D18 (discharge head 1800 W) lit at yard window"
    assert outcome.reason.startswith(too_much)
    assert outcome.reduced is not None
    assert outcome.reduced[1].holds
