"""Offers, numbers of heads and moves heed the volts, held to the judge and to every split tried."""

from itertools import product

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup
from rule_cases.volts import FAR, NEAR, near_and_far
from spreadload.check import Judge
from spreadload.check import judge as judge_once
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, LeftOut, Plan, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.least_risk import find_robust_plans
from spreadload.solver.what_if.fewest_moves import fewest_moves
from spreadload.solver.what_if.most_light import Filling, how_many
from spreadload.solver.what_if.offers import find_offers
from spreadload.solver.why_not.volts_conflict import volts_conflict
from spreadload.wiring.maps import maps_of
from spreadload.wiring.model import WiringModel

QUICK = SolverConfig(time_limit_s=20.0)


def too_much_for_the_line(**lamp: float) -> Entry:
    """Return three regulated lamps that breakers allow and one ohm of supply does not."""
    data = near_and_far(16.0)
    data["heads"] = {
        "big": amps(9.0, kind="led", power_factor=1.0, min_v=224.0, priority=1),
        "mid": amps(6.0, kind="led", power_factor=1.0, min_v=224.0, priority=4),
        "dim": amps(3.0, kind="tungsten", priority=6),
        "tiny": amps(0.1, kind="tungsten", priority=9) | lamp,
    }
    data["setups"] = [setup(big="lounge", mid="lounge", dim="lounge", tiny="lounge")]
    return data


def test_every_offer_for_too_little_volts_is_judged_and_holds() -> None:
    """The list fits every breaker and no split keeps the volts; offers do, by the judge."""
    found = find_offers(job_of(too_much_for_the_line()), QUICK)
    assert found.in_trouble == ("SU1",)
    assert not found.unsure
    assert found.offers
    for offer in found.offers:
        assert judge_once(offer.job, offer.plan).holds


def test_a_list_that_keeps_its_volts_needs_no_offer() -> None:
    """Without the middle lamp there is nothing to offer."""
    data = too_much_for_the_line()
    data["setups"] = [setup(big="lounge", dim="lounge", tiny="lounge")]
    assert not find_offers(job_of(data), QUICK).in_trouble


def test_the_loads_that_clash_on_volts_are_as_few_as_can_be() -> None:
    """Together they fail even at the board itself; without any one of them the board holds up."""
    facts = Facts.of(job_of(too_much_for_the_line()))
    conflict = volts_conflict(facts, "SU1")
    assert conflict is not None
    named = [str(m.path[-1]) for m in conflict.members if m.path[0] == "setups"]
    house = Judge(facts).house

    def is_short(loads: list[str]) -> bool:
        return bool(house.at_the_board("SU1", [(load, 1) for load in loads]).short)

    assert is_short(named)
    for load in named:
        assert not is_short([other for other in named if other != load])
    assert "tiny" not in named
    assert conflict.kind == "volts"


def test_what_the_wiring_alone_loses_is_no_clash_of_the_supply() -> None:
    """A lamp too far along its cable is not told as too much for the supply."""
    data = near_and_far(16.0, min_v=228.0)
    data["outlets"] = {"O2": outlet("P2", "bed", plug="au-15")}
    assert volts_conflict(Facts.of(job_of(data)), "SU1") is None


@pytest.mark.parametrize("min_v", [200.0, 222.0, 226.0, 230.0, 236.0, 239.0])
def test_the_most_heads_are_those_of_every_split_tried(min_v: float) -> None:
    """Up to two lamps on either outlet: the number told is the largest that the judge passes."""
    data = near_and_far(16.0)
    data["heads"] = {"lamp": amps(4.0, kind="led", power_factor=1.0, min_v=min_v)}
    job = job_of(data)
    (holds,) = how_many(job, Filling("SU1", (("lamp", "lounge"),)), QUICK)
    asked = job_of(
        data
        | {"heads": {"lamp": data["heads"]["lamp"] | {"count": 4}}}
        | {"setups": [setup(lamp={"lounge": 4})]}
    )
    best = max(
        near + far
        for near, far in product(range(3), range(3))
        if judge_once(asked, _split(near, far)).holds
    )
    assert holds.most == best
    assert holds.bound >= best


def _split(near: int, far: int) -> Plan:
    spots = [("O1", n) for n in range(1, near + 1)] + [("O2", n) for n in range(1, far + 1)]
    placed = [
        put("lamp", point, unit=unit, socket=socket, place="lounge")
        for unit, (point, socket) in enumerate(spots, 1)
    ]
    dark = [
        LeftOut(setup="SU1", load="lamp", unit=unit, place="lounge")
        for unit in range(len(spots) + 1, 5)
    ]
    return plan_of(*placed, *dark)


def test_a_plan_short_of_volts_is_put_right_by_one_move() -> None:
    """The lamp at the end of the long cable goes to the outlet at the board."""
    facts = Facts.of(job_of(near_and_far(16.0, min_v=228.0)))
    (moves,) = fewest_moves(facts, plan_of(put("lamp", "O2", place="lounge")), QUICK)
    assert moves.moved == 1
    assert moves.plan is not None
    assert [p.point for p in moves.plan.placements] == ["O1"]


@pytest.mark.parametrize(("min_v", "is_doubted"), [(205.0, True), (198.0, False)])
def test_volts_that_hang_on_unknown_wiring_are_counted_in_the_chance(
    min_v: float, *, is_doubted: bool
) -> None:
    """There is a plan; it fails on the wirings on which the judge finds a lamp starved."""
    data = near_and_far(16.0)
    data["circuits"] = {"P1": circuit(25.0, **NEAR), "P2": circuit(25.0, **FAR)}
    data["outlets"] = {f"O{n}": outlet(None, "lounge", plug="au-15") for n in (1, 2, 3)}
    lamp = amps(9.0, kind="led", power_factor=1.0, min_v=min_v, count=2, plug="au-15")
    data["heads"] = {"lamp": lamp}
    data["setups"] = [setup(lamp={"lounge": 2})]
    job = job_of(data)
    outcome = find_robust_plans(WiringModel.of(job), QUICK)
    assert isinstance(outcome, Solved)
    plan, _ = outcome.plans[0]
    judge = Judge(Facts.of(job, unknown="maps"))
    told = [
        judge.judge(plan, dict(zip(("O1", "O2", "O3"), on, strict=True)))
        for on in product(("P1", "P2"), repeat=3)
    ]
    starved = [any(v.rule == "volts" for v in verdict.violations) for verdict in told]
    assert any(starved) is is_doubted
    assert not all(starved)
    (chance, *_) = outcome.chances
    assert chance.is_exact
    maps = maps_of(WiringModel.of(job), 1, 1)
    broken = [any(judge.judge(plan, maps.map(n)).violations) for n in range(len(maps))]
    assert chance.fails_pct == pytest.approx(100 * float(maps.weights @ broken))
    assert (chance.volts_pct > 0) is is_doubted


def test_unknown_wiring_that_cannot_keep_its_volts_is_told_in_volts() -> None:
    """A lamp that no wiring can give its volts ends in a plain no, not in a chance."""
    data = near_and_far(16.0, min_v=236.0)
    data["outlets"] = {f"O{n}": outlet(None, "lounge", plug="au-15") for n in (1, 2, 3)}
    outcome = find_robust_plans(WiringModel.of(job_of(data)), QUICK)
    assert isinstance(outcome, Impossible)
    assert "the volts say no" in outcome.reason
