"""Why not there: prices goal by goal, and the chance that unknown wiring breaks it comes first."""

import pytest

from builders import amps, circuits, plan_of, put, setup, small_job
from spreadload.app.planning import SolverConfig, why_not
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, InputError
from spreadload.explain.goal_words import Change, chance_change, price_words
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.why_not import Why, legal_alone, priced
from spreadload.job.job import Job

QUICK = SolverConfig(time_limit_s=5.0)
QUESTION = ("SU1", "lamp", "O2")


def judged(job: Job) -> JudgedPlan:
    """Return the lamp at O1, judged."""
    facts = Facts.of(job)
    return JudgedPlan.of(facts, Judge(facts), plan_of(put("lamp", "O1", place="lounge")))


def test_a_choice_that_costs_nothing_is_as_good() -> None:
    """Two equal outlets on two equal circuits: no goal differs."""
    plan = judged(small_job())
    (other,) = legal_alone(plan, QUESTION)
    why = priced(plan, QUESTION, other)
    assert why.says is Why.AS_GOOD
    assert why.text == "lamp at O2 in SU1: possible, and just as good by every rule"


def test_a_smaller_breaker_is_the_price() -> None:
    """4 A is 40 % of 10 A and 50 % of 8 A."""
    plan = judged(small_job(circuits=circuits(P1=10.0, P2=8.0)))
    (other,) = legal_alone(plan, QUESTION)
    why = priced(plan, QUESTION, other)
    assert why.says is Why.WORSE
    assert "tightest 50 % instead of 40 %" in why.text


def test_chance_outweighs_every_other_goal() -> None:
    """A roomier circuit is no gain where more wirings fail."""
    plan = judged(small_job(circuits=circuits(P1=10.0, P2=16.0)))
    (other,) = legal_alone(plan, QUESTION)
    why = priced(plan, QUESTION, other, chance_change(2.0, 3.1))
    assert why.says is Why.WORSE
    assert "fails in 3.1 of 100 possible wirings instead of 2.0; in return" in why.text
    assert why.alone is None


def test_equal_chances_leave_the_other_goals_to_decide() -> None:
    """A chance that does not change is no cost."""
    plan = judged(small_job())
    (other,) = legal_alone(plan, QUESTION)
    assert priced(plan, QUESTION, other, chance_change(2.0, 2.0)).says is Why.AS_GOOD


def test_gains_and_losses_are_told_apart() -> None:
    """What comes first decides which of the two is the price."""
    worse, better = Change("tightest", 40, 50), Change("cable", 9, 5)
    assert price_words([worse, better]) == (
        "tightest 50 % instead of 40 %; in return lead to run 5 m instead of 9 m"
    )
    assert price_words([better, worse]) == (
        "lead to run 5 m instead of 9 m; at the price of tightest 50 % instead of 40 %"
    )


def test_impossible_is_proved_by_planning_again() -> None:
    """6 A and 6 A never share 10 A, wherever the rest goes."""
    job = small_job(
        outlets={
            "O1": {"room": "lounge", "sockets": 2, "circuit": "P1", "known": "tested"},
            "O2": {"room": "bed", "sockets": 2, "circuit": "P2", "known": "tested"},
        },
        heads={"lamp": amps(6.0), "key": amps(6.0)},
        departments={"urn": amps(6.0, outlet="O2", policy="must stay on")},
        setups=[setup(lamp="lounge", on=["urn"])],
    )
    told = why_not(job, "lamp", "O2", config=QUICK)
    assert told.exit_code is ExitCode.BREAKS_A_LIMIT
    (why,) = told.answers
    assert why.says is Why.IMPOSSIBLE
    assert "P2 “PLUGS” would carry 12.0 A of 10.0 A" in why.text


def test_what_belongs_elsewhere_is_told_before_what_it_would_carry() -> None:
    """The urn is the bedroom's by the job; that 9 A more would be too much for P1 comes second."""
    job = small_job(
        departments={"urn": amps(9.0, room="bed")}, setups=[setup(lamp="lounge", on=["urn"])]
    )
    (why,) = why_not(job, "urn", "O1", config=QUICK).answers
    assert why.says is Why.IMPOSSIBLE
    assert "urn is at O1 in SU1, but belongs at bed" in why.text


def test_a_job_without_any_plan_says_so() -> None:
    """There is nothing to hold a choice against."""
    job = small_job(departments={"urn": amps(30.0, outlet="O1", policy="must stay on")})
    told = why_not(job, "lamp", "O2", config=QUICK)
    assert told.answers == ()
    assert told.exit_code is ExitCode.BREAKS_A_LIMIT
    assert "CANNOT RUN AS ASKED" in told.text()


def test_a_load_nobody_asks_for_is_bad_input() -> None:
    """The kettle is in the job but on in no set-up."""
    job = small_job(departments={"kettle": amps(2.0)})
    with pytest.raises(InputError, match="no set-up asks for it"):
        why_not(job, "kettle", "O1", config=QUICK)


def test_a_wired_load_has_no_outlet_to_ask_about() -> None:
    """A cylinder is wired to its circuit."""
    job = small_job(
        circuits=circuits(P1=10.0, P2=10.0) | {"HW": {"breaker_a": 20.0, "feeds": "water"}},
        house={"cylinder": amps(13.0, circuit="HW", policy="must stay on")},
    )
    with pytest.raises(InputError, match="wired to its circuit"):
        why_not(job, "cylinder", "O1", config=QUICK)


def test_unknown_wiring_is_priced_too() -> None:
    """Two lamps of 6 A on outlets that may share 10 A fail in some wirings; the answer says so."""
    unknown = {"room": "bed", "sockets": 1, "maybe_on": ["P1", "P2"]}
    job = small_job(
        outlets={"O1": unknown, "O2": unknown, "O3": unknown},
        heads={"lamp": amps(6.0), "key": amps(6.0)},
        setups=[setup(lamp="lounge", key="lounge")],
    )
    told = why_not(job, "lamp", "O3", config=QUICK)
    (why,) = told.answers
    assert why.says in (Why.IS_THERE, Why.AS_GOOD, Why.WORSE, Why.BETTER)
    assert told.exit_code is ExitCode.HOLDS


def test_without_any_plan_the_first_line_says_so() -> None:
    """Nothing can be held against a day that cannot run at all; the answer is no empty line."""
    kettle = amps(11.0, kind="heater", outlet="O1")
    job = small_job(departments={"kettle": kettle}, setups=[setup(lamp="lounge", on=["kettle"])])
    told = why_not(job, "lamp", "O1")
    assert told.text().startswith("There is no plan to hold it against. CANNOT RUN AS ASKED: ")
