"""“May I plug this in here?” on a long supply: the volts decide, held to a full re-check."""

import pytest

from builders import amps, job_of, plan_of, put, setup
from rule_cases.volts import near_and_far
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.on_the_day.ask.asking import ask
from spreadload.on_the_day.ask.question import read_question
from spreadload.on_the_day.ask.reply import Says

AMPS = (0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)


def house(extra_a: float | None) -> dict[str, object]:
    """Return a lamp at the far outlet, and perhaps so many amps more that are on as well."""
    data = near_and_far(16.0)
    data["heads"] = {"lamp": amps(6.0, kind="led", power_factor=1.0, min_v=226.0)}
    data["setups"] = [setup(lamp="lounge")]
    if extra_a is not None:
        extra = {"measured_a": extra_a, "power_factor": 1.0}
        data |= {"departments": {"extra": extra}, "setups": [setup(lamp="lounge", on=["extra"])]}
    return data


def test_the_lamp_alone_keeps_its_volts() -> None:
    """What the questions below start from holds."""
    assert judge(job_of(house(None)), plan_of(put("lamp", "O2", place="lounge"))).holds


@pytest.mark.parametrize("extra_a", AMPS)
@pytest.mark.parametrize("point", ["O1", "O2"])
def test_yes_exactly_where_the_lamp_keeps_its_volts(extra_a: float, point: str) -> None:
    """Every breaker and socket would take the load; the lamp's volts say how much is too much."""
    job, lamp = job_of(house(None)), put("lamp", "O2", place="lounge")
    question = read_question(Facts.of(job), f"{extra_a:g}A", point)
    reply = ask(job, plan_of(lamp), question)
    verdict = judge(job_of(house(extra_a)), plan_of(lamp, put("extra", point, socket=2)))
    assert (reply.says is Says.YES) is verdict.holds
    if not verdict.holds:
        assert any("works from" in reason for reason in reply.reasons)


def test_both_answers_are_given() -> None:
    """The amps above are neither all fine nor all too much."""
    lamp = put("lamp", "O2", place="lounge")
    holds = {
        judge(job_of(house(a)), plan_of(lamp, put("extra", "O2", socket=2))).holds for a in AMPS
    }
    assert holds == {True, False}
