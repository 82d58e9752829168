"""The judge on one map of the wiring says what it says where the job states that wiring."""

from collections.abc import Mapping

import pytest

from builders import amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Usage, Verdict

FIVE_PIN = {"plug": "au-32-5pin", "at": [0, 0]}
NOBODY_KNOWS: Mapping[str, None] = {"A": None, "B": None, "K": None}
PLAN = plan_of(
    put("lamp", "A/box/L1", unit=1, place="hall"),
    put("lamp", "A/box/L2", unit=2, place="hall"),
    put("lamp", "B/box/L3", unit=3, place="hall"),
    put("lamp", "K", unit=4, place="hall"),
)


def hall(circuit_of: Mapping[str, str | None], rcd_of_outlets: str | None) -> Facts:
    """Return a hall on three phases with RCDs of circuits, of outlets and of boxes."""
    rcd = {} if rcd_of_outlets is None else {"rcd": rcd_of_outlets}
    box = {"inlet": "au-32-5pin", "outlet": "au-10", "outlets_per_phase": 2}
    return Facts.of(
        small_job(
            supply={"system": "three-phase", "limit_a": 63.0, "planning_v": 230.0},
            rcds={name: {"trips_at_ma": 30, "rating_a": 25.0} for name in ("R1", "R2")},
            circuits={
                "T1": circuit(32.0, phase="L1 L2 L3", rcd="R1"),
                "T2": circuit(32.0, phase="L1 L2 L3"),
                "P1": circuit(16.0, phase="L1", rcd="R1", use="last resort"),
                "P2": circuit(20.0, phase="L2"),
            },
            rooms={"hall": {"use": "other"}, "kitchen": {"use": "kitchen"}},
            outlets={
                "A": outlet(circuit_of["A"], "hall", **FIVE_PIN, **rcd),
                "B": outlet(circuit_of["B"], "hall", **FIVE_PIN),
                "K": outlet(circuit_of["K"], "kitchen", at=[4, 0], **rcd),
            },
            boxes={"box": box | {"rcd_ma": 30, "count": 2}},
            heads={"lamp": amps(4.0, count=4, leakage_ma=8.0)},
            setups=[setup("SU1", lamp={"hall": 4})],
        )
    )


def carried(verdict: Verdict) -> list[Usage]:
    """Return what every device carries; which may feed outlets a map alone does not say."""
    return [usage.model_copy(update={"takes_plugs": True}) for usage in verdict.usages]


@pytest.mark.parametrize("rcd_of_outlets", [None, "R2"])
@pytest.mark.parametrize("at_kitchen", ["P1", "P2"])
@pytest.mark.parametrize("at_box", ["T1", "T2"])
def test_a_map_says_what_a_job_says_that_knows_it(
    at_box: str, at_kitchen: str, rcd_of_outlets: str | None
) -> None:
    """Every device, with what it carries, every goal and every fault are the same."""
    wired = {"A": at_box, "B": "T2", "K": at_kitchen}

    on_map = Judge(hall(NOBODY_KNOWS, rcd_of_outlets)).judge(PLAN, wired)
    stated = Judge(hall(wired, rcd_of_outlets)).judge(PLAN)

    assert carried(on_map) == carried(stated)
    assert on_map.violations == stated.violations
    assert [(g.goal, g.value) for g in on_map.goals] == [(g.goal, g.value) for g in stated.goals]


@pytest.mark.parametrize(
    "stated", [{"use": "off limits"}, {"feeds": "air"}, {"use": "last resort"}]
)
def test_what_is_taken_last_is_so_on_a_map_too(stated: dict[str, str]) -> None:
    """An outlet stated on what is off limits, or feeds no outlets, counts alike on that map."""
    own = circuit(10.0) | stated
    job = small_job(circuits={"P1": own, "P2": circuit(10.0)})
    plan = plan_of(put("lamp", "O1", place="lounge"))
    judge = Judge(Facts.of(job))
    assert judge.judge(plan, {"O1": "P1"}) == judge.judge(plan)
    assert {g.goal: g.value for g in judge.judge(plan).goals}["last resort"] == 1
