"""Every command that needs plans looks for them by the same door."""

from typing import Any

import pytest

from builders import (
    amps,
    circuit,
    circuits,
    job_of,
    outlet,
    plan_of,
    put,
    setup,
    small_data,
    small_job,
)
from spreadload import plan_job
from spreadload.app.may_i import may_i, question_of
from spreadload.app.planning import check_plan
from spreadload.app.volts import sag, turn
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, NoPlanError
from spreadload.explain.answer import Says, answer
from spreadload.job.job import Job
from spreadload.plan import Impossible, Solved, chance_shown
from spreadload.report.style import Style
from spreadload.report.what_if_text import rows_data, rows_text
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.compare import planned

QUICK = SolverConfig(time_limit_s=10, alternatives=0)


def open_house(**changes: Any) -> Job:  # noqa: ANN401 - any entry of a job file
    """Return two circuits of 10 A behind four outlets that nobody traced, and 14 A of lamps.

    No plan holds on every wiring: two of the lamps may always share a breaker with a third.
    """
    rooms = ("lounge", "lounge", "bed", "bed")
    data = small_data(
        outlets={f"O{n}": {"room": room, "sockets": 1} for n, room in enumerate(rooms, 1)},
        heads={"lamp": amps(4.0, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )
    return job_of(data | changes)


def test_open_wiring_is_planned_over_its_wirings() -> None:
    """A job that only fails on some wirings has a plan and a chance."""
    facts, outcome = look_for_plans(open_house(), QUICK)
    assert isinstance(outcome, Solved)
    chance = chance_shown(outcome)
    assert chance is not None
    assert 0 < chance.fails_pct < 100
    assert facts.points["O1"].exposure.left_to_maps


@pytest.mark.parametrize("lamps", [3, 4])
@pytest.mark.parametrize("current_a", [3.0, 4.0, 5.0, 6.0])
def test_an_outlet_is_only_advised_against_where_that_fails_less(
    lamps: int, current_a: float
) -> None:
    """Not using an outlet is no advice where the plan without it trips as often."""
    job = open_house(
        heads={"lamp": amps(current_a, count=lamps)}, setups=[setup(lamp={"lounge": lamps})]
    )
    _, outcome = look_for_plans(job, QUICK)
    chance = chance_shown(outcome)
    advised = [d.avoided_pct for d in chance.drivers if d.avoided_pct is not None] if chance else []
    assert chance is None or all(pct < chance.fails_pct for pct in advised)


def test_nothing_is_called_idle_that_hangs_on_the_wiring() -> None:
    """Where every plug is at an untraced outlet, no breaker and no phase is sure to carry any."""
    phases = {"P1": "L1", "P2": "L2"}
    job = open_house(
        supply={"system": "three-phase", "limit_a": 32.0, "limit_source": "fuse"},
        circuits={name: circuit(10.0, phase=phase) for name, phase in phases.items()},
    )
    told = plan_job(job, QUICK, reasons=False)
    kind = "FITS ONLY IF the wiring is kind"
    assert told.answer.text == f"{kind}: what is fullest depends on the wiring"


def test_a_leg_with_untraced_loads_does_not_look_free() -> None:
    """Of three lamps of 4 A at untraced outlets each may hang on either leg: up to 12 A on one."""
    job = open_house(
        supply={"system": "split-phase", "limit_a": 32.0, "limit_source": "fuse"},
        circuits={"P1": circuit(10.0, phase="A"), "P2": circuit(10.0, phase="B")},
    )
    told = plan_job(job, QUICK, reasons=False)
    assert "What is not traced may add up to 12.0 A to leg A or 12.0 A to leg B." in told.text()


@pytest.mark.parametrize(
    ("fails_pct", "says"),
    [
        (24.9, "FITS: "),
        (25.0, "FITS ONLY IF the wiring is kind: "),
        (66.7, "FITS ONLY IF the wiring is kind: "),
    ],
)
def test_a_plan_that_fails_more_often_than_not_is_no_plain_yes(fails_pct: float, says: str) -> None:
    """Of plans said to fail in 25 to 50 of 100, 56 of 100 failed on simulated houses.

    Source: practice/data/forecasts.yaml; of those said to fail in 10 to 25, 35 of 100.
    """
    facts, outcome = look_for_plans(open_house(), QUICK)
    assert isinstance(outcome, Solved)
    chance = chance_shown(outcome)
    assert chance is not None
    told = chance.model_copy(update={"fails_pct": fails_pct, "volts_pct": 0.0})
    found = answer(facts, outcome.model_copy(update={"chances": (told,)}))
    assert found.text.startswith(says)
    # One line carries what is on it whatever the wiring: no word of what a circuit may carry.
    on_the_wiring = found.text == f"{says}what is fullest depends on the wiring"
    assert on_the_wiring is (says != "FITS: ")
    assert found.says is (Says.FITS if says == "FITS: " else Says.FITS_ONLY_IF)


def test_the_judge_and_the_day_do_not_contradict_the_plan() -> None:
    """The same plan is no plain yes to ``check``, nor broken without its odds to ``ask``."""
    told = plan_job(open_house(), QUICK, reasons=False)
    assert told.plan is not None
    checked = check_plan(open_house(), told.plan)
    assert checked.answer.says is Says.HOLDS
    assert checked.answer.text.startswith("HOLDS ONLY IF the wiring is kind: ")
    asked = may_i(open_house(), told.plan, question_of(open_house(), "9A")).text()
    assert "the plan trips on" in " ".join(asked.split())
    assert "of 100 ways this house could be wired, the likeliest among them" in " ".join(
        asked.split()
    )
    assert "see `check`" not in asked


def test_nothing_is_plugged_in_where_it_is_likely_off_limits() -> None:
    """The bedroom most likely hangs on the way of that name: 1 A fits either, 7 A only there."""
    job = job_of(
        small_data(
            circuits={"P1": circuit(10.0), "P9": circuit(10.0, label="bed", use="off limits")},
            outlets={
                "O1": {"room": "lounge", "circuit": "P1", "known": "tested", "sockets": 2},
                "O2": {"room": "bed", "sockets": 2},
            },
        )
    )
    plan = plan_of(put("lamp", "O1", place="lounge"))

    def said(what: str) -> str:
        return " ".join(may_i(job, plan, question_of(job, what, "O2")).text().split())

    assert "O2 may be on P9 “bed”, which is off limits: find out" in said("1A")
    assert said("7A").startswith("NO")
    assert "O2 is most likely on a circuit that is off limits" in said("7A")


def test_known_wiring_needs_no_chance() -> None:
    """Where every circuit is known nothing is left to chance."""
    _, outcome = look_for_plans(small_job(), QUICK)
    assert isinstance(outcome, Solved)
    assert chance_shown(outcome) is None


def test_a_variant_says_how_often_it_fails() -> None:
    """One lamp fewer holds whatever the wiring; the table says what it buys."""
    base = planned("as asked", open_house(), QUICK)
    fewer = planned("one off", open_house(setups=[setup(lamp={"lounge": 2})]), QUICK)
    assert base.verdict == fewer.verdict == "fits"
    assert base.fails_pct
    assert fewer.fails_pct == 0
    text = rows_text(Facts.of(open_house()), (base, fewer), Style())
    assert "ways this house could be wired" in text
    assert "buys fails in no" in text
    assert rows_data((base, fewer))["variants"][0]["fails_pct"] == base.fails_pct


def test_a_variant_that_needs_something_off_says_so() -> None:
    """The word fits alone would hide what has to be off."""
    kettle = amps(9.0, policy="may be off", outlet="O1")
    row = planned(
        "as asked",
        small_job(
            departments={"kettle": kettle},
            setups=[setup(lamp="O1", on=["kettle"])],
            heads={"lamp": amps(4.0, cord_m=1)},
            outlets={"O1": {"sockets": 2, "circuit": "P1", "known": "tested"}},
        ),
        QUICK,
    )
    assert "only if kettle is off in SU1" in rows_text(Facts.of(small_job()), (row,), Style())


@pytest.mark.parametrize("look", [sag, turn])
def test_no_plan_to_look_at_is_an_answer_not_bad_input(look: Any) -> None:  # noqa: ANN401
    """A fixed kettle over its breaker: nothing can be left out, so there is nothing to look at."""
    kettle = amps(12.0, outlet="O1", plug="au-15")
    stated = small_job(departments={"kettle": kettle}, setups=[setup(lamp="lounge", on=["kettle"])])
    assert isinstance(look_for_plans(stated, QUICK)[1], Impossible)
    with pytest.raises(NoPlanError) as refused:
        look(stated, config=QUICK)
    assert refused.value.exit_code is ExitCode.BREAKS_A_LIMIT
    assert str(refused.value).startswith("CANNOT RUN AS ASKED: SU1")


def test_what_fits_is_never_what_fails_on_every_wiring() -> None:
    """Three lamps of 8 A have two sockets, and 9 A of heater sit on either circuit of 15 A.

    By hand: one lamp has no socket. With the other two each circuit carries 8 A, so that the
    heater makes 17 A of one of them on either wiring; with one it does so on one of the two.
    """
    job = small_job(
        circuits=circuits(P1=15.0, P2=15.0),
        outlets={
            "O1": outlet("P1", "lounge", sockets=1),
            "O2": outlet("P2", "bed", sockets=1),
            "O3": {"room": "bed", "sockets": 1, "maybe_on": ["P1", "P2"]},
        },
        heads={"lamp": amps(8.0, count=3)},
        departments={"heater": amps(9.0, outlet="O3")},
        setups=[setup(lamp={"lounge": 3}, on=["heater"])],
        power_boards=[],
    )
    facts, outcome = look_for_plans(job, SolverConfig(time_limit_s=10.0))
    assert isinstance(outcome, Impossible)
    assert outcome.reduced is not None
    assert len(outcome.reduced[0].left_out) == 2
    assert len({entry.unit for entry in outcome.reduced[0].left_out}) == 2
    assert outcome.chance is not None
    assert 0 < outcome.chance.fails_pct < 100
    assert Judge(facts).judge(outcome.reduced[0]).holds


def test_where_nothing_at_all_fits_no_plan_is_shown() -> None:
    """The heater alone is 16 A of 15 on either wiring: there is nothing to follow."""
    job = small_job(
        circuits=circuits(P1=15.0, P2=15.0),
        outlets={
            "O1": outlet("P1", "lounge", sockets=1),
            "O3": {"room": "bed", "sockets": 2, "maybe_on": ["P1", "P2"]},
        },
        heads={"lamp": amps(8.0, count=2)},
        departments={"heater": amps(8.0, outlet="O3", count=2)},
        setups=[setup(lamp={"lounge": 2}, on=["heater"])],
        power_boards=[],
    )
    told = plan_job(job, SolverConfig(time_limit_s=10.0))
    assert told.answer.text.startswith("CANNOT RUN AS ASKED")
    assert told.plan is None
    assert "Best possible split of everything: ." not in told.text()
