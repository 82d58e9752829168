"""Heat-makers sold with the everyday plug may fill a socket for minutes, and nothing else may.

NEC table 210.21(B)(2) and 210.23(A)(1): one cord-and-plug load takes 12 A of a 15 A receptacle and
80 % of a branch circuit. Hair dryers up to 1875 W, 15 A at the 125 V on their plates, and kettles
of 1500 W, 12.5 A at 120 V, are sold with the 15 A plug all the same (electrical trade forums) and
run for minutes in every American bathroom and kitchen (common practice, no source).
"""

from dataclasses import replace
from typing import Any

import pytest

from builders import Entry, amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.app.planning import SolverConfig, plan_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.on_the_day.ask.asking import ask
from spreadload.on_the_day.ask.question import read_question
from spreadload.on_the_day.ask.reply import Says
from spreadload.plan import Impossible

QUICK = SolverConfig(time_limit_s=5.0, alternatives=0)


def bathroom(
    *,
    breaker_a: float = 20.0,
    plate: Entry | None = None,
    **changes: Any,  # noqa: ANN401
) -> Job:
    """Return one American outlet with a dryer that has to go there."""
    dryer = {"kind": "heater", "plate_w": 1875.0, "outlet": "O1", "intermittent": True}
    stated = {
        "region": "US",
        "supply": {"system": "single-phase", "limit_a": 100.0, "planning_v": 120.0},
        "circuits": {"P1": circuit(breaker_a)},
        "outlets": {"O1": outlet("P1", "bed", **({"plug": None} | (plate or {})))},
        "heads": {},
        "departments": {"dryer": dryer},
        "setups": [setup(on=["dryer"])],
    }
    return small_job(**(stated | changes))


def broken(job: Job, *placements: Any) -> set[str]:  # noqa: ANN401 - placements
    """Return the rules that a plan of it passes."""
    judge = Judge(Facts.of(job))
    return {violation.rule for violation in judge.judge(plan_of(*placements)).violations}


@pytest.mark.parametrize("breaker_a", [15.0, 20.0])
def test_a_dryer_goes_into_an_everyday_outlet(breaker_a: float) -> None:
    """15.0 A on a socket and a breaker of 15 A: judge and solver agree that it may."""
    job = bathroom(breaker_a=breaker_a)
    assert broken(job, put("dryer", "O1")) == set()
    found = plan_job(job, QUICK)
    assert found.plan is not None
    assert [p.point for p in found.plan.placements] == ["O1"]


FOR_HOURS = {"kind": "heater", "plate_w": 1500.0, "outlet": "O1"}


@pytest.mark.parametrize(
    ("job", "rules"),
    [
        (bathroom(departments={"dryer": FOR_HOURS}), {"socket amps"}),
        (
            bathroom(breaker_a=15.0, departments={"dryer": FOR_HOURS}),
            {"socket amps", "single load", "circuit"},
        ),
        (bathroom(plate={"socket_a": 10.0}), {"socket amps"}),
        (bathroom(breaker_a=15.0, rules={"single_load_fraction": 0.8}), {"single load"}),
    ],
)
def test_what_runs_for_hours_keeps_to_its_share(job: Job, rules: set[str]) -> None:
    """12.5 A for hours, a socket of 10 A, or a share that the job itself states: refused by both.

    By hand: 1500 W / 120 V is 12.5 A, more than 12 A; for three hours it counts as 15.625 A.
    """
    assert broken(job, put("dryer", "O1")) == rules
    assert isinstance(plan_job(job, QUICK).outcome, Impossible)


def test_a_head_of_the_same_amps_keeps_to_its_share() -> None:
    """Tungsten of 13 A burns as long as the set-up lasts, however it is called."""
    job = bathroom(heads={"lamp": amps(13.0)}, departments={}, setups=[setup(lamp="bed")])
    assert {"socket amps"} <= broken(job, put("lamp", "O1", place="bed"))
    assert isinstance(plan_job(job, QUICK).outcome, Impossible)


def test_nothing_goes_beside_it_on_a_board() -> None:
    """A dryer fills its socket: a lamp of a tenth of an amp on one board with it is too much."""
    job = bathroom(
        plate={"sockets": 1},
        heads={"lamp": amps(0.1)},
        power_boards=[{"ways": 4, "rating_a": 20.0}],
        setups=[setup(lamp="bed", on=["dryer"])],
    )
    on_board = (put("dryer", "O1", board=0), put("lamp", "O1", place="bed", board=0))
    assert "socket amps" in broken(job, *on_board)
    assert isinstance(plan_job(job, QUICK).outcome, Impossible)


def test_two_of_them_are_too_much_for_one_plate() -> None:
    """Two kettles of 12.5 A make 25 A on a plate for 20 A."""
    kettles = {**FOR_HOURS, "intermittent": True, "count": 2}
    job = bathroom(
        circuits={"P1": circuit(30.0)},
        departments={"dryer": kettles},
        setups=[setup(on={"dryer": 2})],
    )
    both = (put("dryer", "O1"), put("dryer", "O1", unit=2, socket=2))
    assert broken(job, *both) == {"plate amps"}
    assert isinstance(plan_job(job, QUICK).outcome, Impossible)


def test_without_the_right_to_fill_it_the_dryer_is_refused() -> None:
    """The rule is what lets it in: the same load without it passes both shares."""
    facts = Facts.of(bathroom(breaker_a=15.0))
    assert facts.loads["dryer"].may_fill_socket
    facts.loads["dryer"] = replace(facts.loads["dryer"], may_fill_socket=False)
    told = Judge(facts).judge(plan_of(put("dryer", "O1")))
    assert {v.rule for v in told.violations} == {"socket amps", "single load"}


def test_asked_on_the_day_it_has_the_whole_socket() -> None:
    """One more kettle of 12.5 A at a free socket is a yes; 12.5 A of anybody's is not."""
    job = bathroom(
        departments={"kettle": {"kind": "heater", "plate_w": 1500.0, "intermittent": True}},
        setups=[setup()],
    )
    facts, nothing_on = Facts.of(job), plan_of()
    kettle, anybody = (
        ask(job, nothing_on, read_question(facts, what, "O1")) for what in ("kettle", "12.5A")
    )
    assert kettle.says is Says.YES
    assert kettle.spot is not None
    assert [link.room_ma for link in kettle.spot.chain if "one socket" in link.name] == [15_000]
    assert anybody.says is Says.NO
