"""Ties between equally good plans go to the nearest outlet."""

from typing import Any

from builders import amps, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Plan
from spreadload.solver.search.nearer import nearest_of_equals


def settled(plan: Plan, *, same_circuits: bool = False, **changes: Any) -> list[str]:  # noqa: ANN401
    """Return the points of a plan after ties went to the nearest outlet."""
    row: dict[str, Any] = {
        "circuits": circuits(P1=10.0, P2=10.0),
        "outlets": {
            "far": outlet("P1", at=[20.0, 0.0]),
            "near": outlet("P1", at=[1.0, 0.0]),
            "other": outlet("P2", at=[0.5, 0.0]),
        },
        "places": {"spot": {"at": [0.0, 0.0]}},
        "heads": {"lamp": amps(4.0)},
        "setups": [setup(lamp="spot")],
    }
    facts = Facts.of(small_job(**(row | changes)))
    judge = Judge(facts)
    verdict = judge.judge(plan)
    assert verdict.holds
    moved, _ = nearest_of_equals(facts, judge, plan, verdict, same_circuits=same_circuits)
    return [p.point for p in moved.placements]


def test_the_nearest_of_equal_outlets_is_taken() -> None:
    """With one lamp both circuits are as good, and the nearest outlet wins."""
    assert settled(plan_of(put("lamp", "far", place="spot"))) == ["other"]


def test_a_move_may_be_held_to_the_same_circuits() -> None:
    """Held to its circuit, the lamp goes to the nearest outlet of that circuit."""
    assert settled(plan_of(put("lamp", "far", place="spot")), same_circuits=True) == ["near"]


def test_nothing_moves_at_the_price_of_a_goal() -> None:
    """Two lamps stay on two circuits, though one of them stands nearer to the other's outlet."""
    two = plan_of(put("lamp", "near", place="spot"), put("lamp", "other", unit=2, place="spot"))
    heads = {"lamp": amps(4.0, count=2)}
    found = settled(two, heads=heads, setups=[setup(lamp={"spot": 2})])
    assert sorted(found) == ["near", "other"]


def test_a_full_outlet_takes_nobody_in() -> None:
    """Where both sockets are taken the lamp looks at the next nearest outlet."""
    kept = amps(0.1, outlet="near", policy="must stay on", count=2)
    plan = plan_of(
        put("lamp", "far", place="spot"),
        put("radio", "near", unit=1),
        put("radio", "near", unit=2, socket=2),
    )
    found = settled(plan, same_circuits=True, house={"radio": kept})
    assert found[0] == "far"
