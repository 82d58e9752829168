"""Every soft rule on cases worked by hand: its exact value, its words, and switched off."""

import pytest

from builders import Entry, amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload import SolverConfig, plan_job
from spreadload.check import judge
from spreadload.check.goals import GOALS
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.plan import GoalValue, LeftOut, Plan, SwitchedOff

BIG: Entry = amps(3.0) | {"kind": "discharge", "big": True, "cool_down_min": 10.0}
TWO = setup(lamp={"lounge": 2})


def value(job: Job, plan: Plan, goal: Goal) -> int:
    """Return the value of one goal."""
    return goal_of(job, plan, goal).value


def goal_of(job: Job, plan: Plan, goal: Goal) -> GoalValue:
    """Return one goal as judged."""
    (found,) = [g for g in judge(job, plan).goals if g.goal == goal.value]
    return found


def left(load: str, unit: int = 1, name: str = "SU1") -> LeftOut:
    """Return one unit left out."""
    return LeftOut(setup=name, load=load, unit=unit)


def test_every_goal_is_judged_and_kept_by_an_empty_day() -> None:
    """With nothing asked every goal is zero and says that it is kept."""
    job = small_job(setups=[setup()])
    goals = judge(job, plan_of()).goals
    assert [goal.goal for goal in goals] == [goal.value for goal in Goal]
    assert {goal.value for goal in goals} == {0}
    assert all(goal.text for goal in goals)


def test_goals_follow_the_order_of_the_job_and_leave_out_what_is_off() -> None:
    """The job's order comes first; a goal switched off is not reported."""
    job = small_job(rules={"order": ["cable", "keep heads"], "off": ["balance"]})
    names = [goal.goal for goal in judge(job, plan_of(put("lamp", "O1"))).goals]
    assert names[:2] == ["cable", "keep heads"]
    assert "balance" not in names
    assert len(names) == len(GOALS) - 1


def test_a_head_is_worth_four_of_the_next_priority() -> None:
    """Of two equal heads, the one a priority higher costs four times as much to leave out."""
    heads = {"key": amps(4.0, priority=1), "fill": amps(4.0, priority=2)}
    job = small_job(heads=heads, setups=[setup(key="lounge", fill="lounge")])
    no_key = plan_of(left("key"), put("fill", "O1"))
    no_fill = plan_of(left("fill"), put("key", "O1"))
    assert value(job, no_key, Goal.KEEP_HEADS) == 4 * value(job, no_fill, Goal.KEEP_HEADS)
    assert value(job, plan_of(left("key"), left("fill")), Goal.KEEP_HEADS) == value(
        job, no_key, Goal.KEEP_HEADS
    ) + value(job, no_fill, Goal.KEEP_HEADS)


def test_leaving_a_lamp_out_costs_its_hundreds_of_watts() -> None:
    """4 A at 230 V is 920 W: ten hundreds, times 4 for each priority above the last."""
    job = small_job(heads={"lamp": amps(4.0, priority=8)})
    assert value(job, plan_of(left("lamp")), Goal.KEEP_HEADS) == 10 * 4


def test_what_is_switched_off_costs_one_a_unit() -> None:
    """Two urns that may be off count two, and need no placement."""
    job = small_job(
        house={"urn": amps(4.0, policy="may be off", count=2)}, setups=[setup(on=["urn"])]
    )
    plan = plan_of(SwitchedOff(setup="SU1", load="urn"))
    assert judge(job, plan).holds
    assert value(job, plan, Goal.KEEP_HOUSE_ON) == 2


def test_big_discharge_heads_beyond_one_on_a_circuit_count() -> None:
    """Three on one circuit are two too many; the words say so."""
    job = small_job(
        circuits={"P1": circuit(10.0, label="PLUGS"), "P2": circuit(10.0)},
        outlets={"O1": outlet("P1", sockets=3), "O2": outlet("P2")},
        rooms={"lounge": {}},
        heads={"big": BIG},
        setups=[setup(big={"lounge": 3})],
    )
    three = plan_of(*(put("big", "O1", unit=unit, socket=unit) for unit in (1, 2, 3)))
    found = goal_of(job, three, Goal.DISCHARGE_APART)
    assert found.value == 2
    assert found.text == "2 big discharge heads too many on P1 “PLUGS” in SU1"
    two = plan_of(put("big", "O1"), put("big", "O1", unit=2, socket=2), put("big", "O2", unit=3))
    assert value(job, two, Goal.DISCHARGE_APART) == 1


def test_big_discharge_heads_in_a_room_of_unproven_wiring_count() -> None:
    """Two in one room whose circuits are only guessed are one too many; proven ones are not."""
    for known, too_many in (("guessed", 1), ("tested", 0)):
        job = small_job(
            outlets={
                "O1": outlet("P1", "lounge", known=known),
                "O2": outlet("P2", "lounge", known=known),
            },
            heads={"big": BIG},
            setups=[setup(big={"lounge": 2})],
        )
        plan = plan_of(put("big", "O1"), put("big", "O2", unit=2))
        assert value(job, plan, Goal.DISCHARGE_APART) == too_many


@pytest.mark.parametrize(
    "changes",
    [
        {"outlets": {"O1": outlet("P1", use="last resort")}},
        {"circuits": {"P1": circuit(10.0, use="last resort")}, "outlets": {"O1": outlet("P1")}},
        {"rooms": {"lounge": {"use": "kitchen"}}, "outlets": {"O1": outlet("P1", "lounge")}},
        {"rooms": {"lounge": {"use": "pantry"}}, "outlets": {"O1": outlet("P1", "lounge")}},
    ],
    ids=["outlet", "circuit", "kitchen", "pantry"],
)
def test_heads_on_last_resort_outlets_count(changes: Entry) -> None:
    """Outlet, circuit, kitchen and pantry each make a head cost one."""
    job = small_job(setups=[TWO], **changes)
    plan = plan_of(put("lamp", "O1"), put("lamp", "O1", unit=2, socket=2))
    assert value(job, plan, Goal.LAST_RESORT) == 2


def test_an_ordinary_outlet_is_no_last_resort() -> None:
    """A lounge outlet costs nothing."""
    assert value(small_job(), plan_of(put("lamp", "O1")), Goal.LAST_RESORT) == 0


def test_heads_that_might_share_a_circuit_with_heat_count() -> None:
    """A head on make-up's circuit costs one, also when it only might be on it."""
    dryer = amps(2.0, by="make-up", outlet="O1") | {"kind": "heater"}
    job = small_job(
        outlets={
            "O1": outlet("P1"),
            "O2": outlet("P2"),
            "O3": outlet(None, maybe_on=["P1", "P2"]),
        },
        departments={"dryer": dryer},
        setups=[setup(on=["dryer"], lamp="lounge")],
    )
    hot = put("dryer", "O1")
    assert value(job, plan_of(hot, put("lamp", "O1", socket=2)), Goal.HEAT_APART) == 1
    assert value(job, plan_of(hot, put("lamp", "O3")), Goal.HEAT_APART) == 1
    assert value(job, plan_of(hot, put("lamp", "O2")), Goal.HEAT_APART) == 0


def test_a_circuit_that_would_take_every_light_counts() -> None:
    """Two lamps on one circuit leave none if it drops; a single lamp cannot do better."""
    job = small_job(setups=[TWO])
    together = plan_of(put("lamp", "O1"), put("lamp", "O1", unit=2, socket=2))
    apart = plan_of(put("lamp", "O1"), put("lamp", "O2", unit=2))
    assert value(job, together, Goal.LIGHT_STAYS) == 1
    assert value(job, apart, Goal.LIGHT_STAYS) == 0
    assert value(small_job(), plan_of(put("lamp", "O1")), Goal.LIGHT_STAYS) == 0


def test_circuits_on_tied_handles_are_no_spare_for_each_other() -> None:
    """P1 and P2 share a neutral and P3 stands alone: of two lamps one belongs on P3.

    Source: NEC 210.4(B), all conductors of a multiwire circuit are opened together; from memory.
    """
    ways = {"P1": circuit(10.0, phase="A"), "P3": circuit(10.0, phase="A")}
    tied = {"P2": circuit(10.0, phase="B", shares_neutral_with="P1")}
    job = small_job(
        region="US",
        supply={"limit_a": 100.0, "limit_source": "main breaker"},
        circuits=ways | tied,
        outlets={
            name: outlet(way, "lounge", plug="us-15")
            for name, way in (("O1", "P1"), ("O2", "P2"), ("O3", "P3"))
        },
        heads={"lamp": amps(2.0, count=2, plug="us-15")},
        setups=[TWO],
    )
    on_both = plan_of(put("lamp", "O1"), put("lamp", "O2", unit=2))
    apart = plan_of(put("lamp", "O1"), put("lamp", "O3", unit=2))
    # Either handle takes both lamps.
    assert value(job, on_both, Goal.LIGHT_STAYS) == 2
    assert value(job, apart, Goal.LIGHT_STAYS) == 0
    found = plan_job(job, SolverConfig(time_limit_s=10.0, alternatives=0)).plan
    assert found is not None
    assert {p.point for p in found.placements} >= {"O3"}
    assert value(job, found, Goal.LIGHT_STAYS) == 0


def test_leakage_above_the_guide_counts_in_whole_milliamps() -> None:
    """IEC 60364-5-53, 531.3.2: 30 % of 30 mA is 9 mA; 10.1 mA is 2 whole milliamps above."""
    job = small_job(
        rcds={"R1": {}},
        circuits={"P1": circuit(10.0, rcd="R1"), "P2": circuit(10.0)},
        heads={"lamp": amps(4.0) | {"leakage_ma": 10.1}},
    )
    assert value(job, plan_of(put("lamp", "O1")), Goal.LEAKAGE_GUIDE) == 2
    assert value(job, plan_of(put("lamp", "O2")), Goal.LEAKAGE_GUIDE) == 0


def test_the_tightest_device_is_named_in_whole_per_cent() -> None:
    """4 A on a 15 A breaker is 26.7 %, shown as 27; a supply of 5 A is tighter with 80 %."""
    one = {"P1": circuit(15.0, label="PLUGS")}
    wide = small_job(circuits=one, outlets={"O1": outlet("P1")})
    found = goal_of(wide, plan_of(put("lamp", "O1")), Goal.TIGHTEST)
    assert (found.value, found.text) == (27, "P1 “PLUGS” is at 27 % in SU1")
    narrow = small_job(circuits=one, outlets={"O1": outlet("P1")}, supply={"limit_a": 5.0})
    found = goal_of(narrow, plan_of(put("lamp", "O1")), Goal.TIGHTEST)
    assert (found.value, found.text) == (80, "The supply is at 80 % in SU1")


def test_phases_apart_count_in_steps_of_5_a_of_every_set_up() -> None:
    """5.5 A against nothing is 5 in each of two set-ups; a second lamp on L2 leaves L3 empty."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0},
        circuits={"P1": circuit(10.0, phase="L1"), "P2": circuit(10.0, phase="L2")},
        heads={"lamp": amps(5.5)},
        setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp={"lounge": 2})],
    )
    plan = plan_of(
        put("lamp", "O1"), put("lamp", "O1", name="SU2"), put("lamp", "O2", unit=2, name="SU2")
    )
    assert value(job, plan, Goal.BALANCE) == 5 + 5


@pytest.mark.parametrize(("current_a", "counts"), [(4.999, 0), (5.0, 5), (9.999, 5), (10.0, 10)])
def test_less_than_a_step_of_5_a_does_not_count(current_a: float, counts: int) -> None:
    """Phases less than 5 A apart are even; the next step begins at 10 A."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0},
        circuits={"P1": circuit(10.0, phase="L1"), "P2": circuit(10.0, phase="L2")},
        heads={"lamp": amps(current_a)},
    )
    assert value(job, plan_of(put("lamp", "O1")), Goal.BALANCE) == counts


def test_a_single_phase_has_nothing_to_balance() -> None:
    """One phase is even by itself."""
    assert value(small_job(), plan_of(put("lamp", "O1")), Goal.BALANCE) == 0


DAY = [setup("SU1", big="lounge"), setup("SU2"), setup("SU3", big="lounge")]


def test_a_discharge_head_that_moves_costs_its_cool_down() -> None:
    """One re-plug and ten minutes of cool-down make 11, also across a set-up without it."""
    job = small_job(heads={"big": BIG}, setups=DAY)
    moves = plan_of(put("big", "O1"), put("big", "O2", name="SU3"))
    stays = plan_of(put("big", "O1"), put("big", "O1", name="SU3", socket=2))
    assert value(job, moves, Goal.REPLUGS) == 11
    assert value(job, stays, Goal.REPLUGS) == 0


def test_identical_lamps_that_swap_outlets_do_not_move() -> None:
    """Lamp 1 and lamp 2 trading numbers is no work for anyone."""
    job = small_job(setups=[TWO, TWO | {"id": "SU2"}])
    swapped = plan_of(
        put("lamp", "O1", unit=1),
        put("lamp", "O2", unit=2),
        put("lamp", "O2", unit=1, name="SU2"),
        put("lamp", "O1", unit=2, name="SU2"),
    )
    assert judge(job, swapped).holds
    assert value(job, swapped, Goal.REPLUGS) == 0


def test_lamps_added_later_are_not_re_plugged() -> None:
    """From one lamp to two, only the smaller number can have moved."""
    job = small_job(setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp={"lounge": 2})])
    first = put("lamp", "O1")
    more = plan_of(first, put("lamp", "O1", name="SU2"), put("lamp", "O2", unit=2, name="SU2"))
    away = plan_of(
        first,
        put("lamp", "O2", name="SU2"),
        put("lamp", "O2", unit=2, socket=2, name="SU2"),
    )
    assert value(job, more, Goal.REPLUGS) == 0
    assert value(job, away, Goal.REPLUGS) == 1


def test_cable_counts_whole_metres_and_pieces() -> None:
    """Two leads of 7.5 m count 8 + 2 each, one power board 2: 22; the board's lead counts once."""
    job = small_job(
        heads={"lamp": amps(2.0)},
        places={"sofa": {"room": "lounge"}},
        leads=[{"length_m": 7.5, "size_mm2": 1.5, "count": 3}],
        power_boards=[{"ways": 4}],
        setups=[setup(lamp={"sofa": 2})],
    )
    own = plan_of(*(put("lamp", "O1", unit=unit, board=0, lead=0) for unit in (1, 2)))
    shared = plan_of(*(put("lamp", "O1", unit=unit, board=0, board_lead=0) for unit in (1, 2)))
    assert judge(job, own).holds
    assert judge(job, shared).holds
    assert value(job, own, Goal.CABLE) == 22
    assert value(job, shared, Goal.CABLE) == 12
