"""Reasons: the binding limit, the nearest outlet and the next best are what the judge says."""

from collections.abc import Callable

from builders import amps, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.reasons import Reason, reasons
from spreadload.explain.sentences import headline, reason_text
from spreadload.job.job import Job
from spreadload.plan import Plan


def explained(job: Job, plan: Plan) -> tuple[JudgedPlan, dict[str, Reason]]:
    """Return a judged plan and the reason for each load by its id."""
    facts = Facts.of(job)
    judged = JudgedPlan.of(facts, Judge(facts), plan)
    return judged, {reason.load: reason for reason in reasons(judged)}


def house(**changes: object) -> Job:
    """Return two rooms in a row: the lamp stands in the lounge by O1."""
    data = {
        "outlets": {
            "O1": outlet("P1", "lounge", at=[0, 0]),
            "O2": outlet("P2", "bed", at=[9, 0]),
        },
        "places": {"sofa": {"room": "lounge", "at": [1, 0]}},
        "heads": {"key": amps(6.0), "fill": amps(5.0)},
        "setups": [setup(key="sofa", fill="sofa")],
    }
    return small_job(**(data | changes))


BOTH = plan_of(put("key", "O1", place="sofa"), put("fill", "O2", place="sofa"))


def test_nearest_outlet_is_refused_with_the_limit_it_would_break() -> None:
    """5 A beside 6 A on a 10 A breaker is 11 A, and the sentence says so."""
    _, found = explained(house(), BOTH)
    nearest = found["fill"].nearest
    assert nearest is not None
    assert (nearest.point, nearest.holds) == ("O1", False)
    assert nearest.text == "P1 “PLUGS” would carry 11.0 A of 10.0 A"


def test_a_unit_at_its_nearest_outlet_needs_no_excuse() -> None:
    """The key is beside O1 and sits there."""
    judged, found = explained(house(), BOTH)
    assert found["key"].is_nearest
    assert found["key"].nearest is None
    assert "Nothing it can use is nearer" in reason_text(judged.facts, found["key"])


def test_next_best_names_the_soft_rule_that_gets_worse() -> None:
    """With breakers of 20 A the fill could join the key, but one drop would then dark the set."""
    _, found = explained(house(circuits=circuits(P1=20.0, P2=20.0)), BOTH)
    best = found["fill"].next_best
    assert best is not None
    assert best.holds
    assert best.text == "circuits whose loss leaves a set dark 1 instead of 0"


def test_next_best_tells_the_tightest_where_nothing_above_it_differs() -> None:
    """With that rule off, joining the key costs 55 % instead of 30 %: 11 A and 6 A of 20 A."""
    job = house(circuits=circuits(P1=20.0, P2=20.0), rules={"off": ["light stays"]})
    _, found = explained(job, BOTH)
    best = found["fill"].next_best
    assert best is not None
    assert best.text == "tightest 55 % instead of 30 %"


def test_fullest_limit_is_found_wherever_it_is() -> None:
    """6 A is 60 % of a 10 A socket but 30 % of a 20 A breaker."""
    judged, found = explained(house(circuits=circuits(P1=20.0, P2=20.0)), BOTH)
    assert (found["key"].fullest.kind, found["key"].fullest.used_pct) == ("socket", 60)
    circuit = found["key"].circuit
    assert circuit is not None
    assert circuit.used_pct == 30
    assert "6.0 of 10.0 A" in reason_text(judged.facts, found["key"])


def test_a_full_outlet_is_said_to_be_taken() -> None:
    """Where no socket is free the answer names who holds them."""
    job = house(
        outlets={
            "O1": outlet("P1", "lounge", at=[0, 0], sockets=1),
            "O2": outlet("P2", "bed", at=[9, 0]),
        }
    )
    _, found = explained(job, BOTH)
    nearest = found["fill"].nearest
    assert nearest is not None
    assert nearest.text == "its socket is taken by key"


def test_identical_units_at_one_point_are_explained_together() -> None:
    """Two of three lamps at O1 make one reason with both numbers in its headline."""
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        heads={"lamp": amps(4.0, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )
    units = [
        put("lamp", "O1", place="lounge"),
        put("lamp", "O1", unit=2, socket=2, place="lounge"),
        put("lamp", "O2", unit=3, place="lounge"),
    ]
    facts = Facts.of(job)
    judged = JudgedPlan.of(facts, Judge(facts), plan_of(*units))
    found = {reason.point: reason for reason in reasons(judged)}
    assert found["O1"].units == (1, 2)
    assert headline(facts, found["O1"]) == "lamp #1-2 → O1 (P1)"
    assert headline(facts, found["O2"]) == "lamp #3 → O2 (P2)"


def test_strangers_in_a_plan_are_passed_over() -> None:
    """A plan with unknown loads and outlets is still explained as far as it makes sense."""
    plan = plan_of(put("key", "O1", place="sofa"), put("ghost", "O1"), put("fill", "nowhere"))
    _, found = explained(house(), plan)
    assert set(found) == {"key"}


def fails_of(told: dict[bool, float]) -> Callable[[Plan], float]:
    """Return a chance that only knows the plan above from any other."""
    return lambda plan: told[plan == BOTH]


def test_where_circuits_are_not_known_the_chance_of_a_trip_decides() -> None:
    """A move that every rule likes is still told by what it does to the chance, either way."""
    facts = Facts.of(house(circuits=circuits(P1=20.0, P2=20.0)))
    for after_pct, said in (
        (9.0, "fails in 9.0 of 100 possible wirings instead of 2.0"),
        (1.0, "even better: fails in 1.0 of 100 possible wirings instead of 2.0"),
        (2.0, "circuits whose loss leaves a set dark 1 instead of 0"),
    ):
        told = {True: 2.0, False: after_pct}
        judged = JudgedPlan.of(facts, Judge(facts), BOTH, fails_of(told))
        best = {reason.load: reason for reason in reasons(judged)}["fill"].next_best
        assert best is not None
        assert best.text == said
